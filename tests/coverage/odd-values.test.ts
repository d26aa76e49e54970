import { expect, test } from "vitest";
import { CoverageRecord } from "../../src/coverage/index.js";

const odd: readonly unknown[] = [
  undefined,
  null,
  Number.NaN,
  Infinity,
  -1,
  "x",
  {},
  [],
  [null],
  Symbol("s"),
  1n,
  Object.create(null),
  () => 1,
];

test.for(odd.map((value, i) => [i, value] as const))(
  "odd value %i: set-up verbs give the one error or go on",
  ([, v]) => {
    const n = v as never;
    const record = new CoverageRecord();
    for (const call of [
      () => new CoverageRecord(n),
      () => new CoverageRecord({ cellSize: n }),
      () => new CoverageRecord({ maximumExtent: n }),
      () => new CoverageRecord({ origin: n }),
      () => new CoverageRecord({ origin: { latitude: n, longitude: n, altitude: n } }),
      () => record.outline({ of: n }),
      () => record.outline({ within: n }),
      () => record.outline({ tolerance: n, leastArea: n }),
      () => record.cellRuns({ within: { minX: n, minY: n, maxX: n, maxY: n } }),
      () => record.areasWithin(n),
      () => record.areasWithin([n]),
      () => record.missed([{ exterior: n, holes: n }]),
      () => CoverageRecord.restore(n),
    ]) {
      try {
        call();
      } catch (error) {
        expect((error as Error).name, String(error)).toBe("FeeringError");
      }
    }
  },
);

test.for(odd.map((value, i) => [i, value] as const))("odd value %i: live verbs refuse it and never throw", ([, v]) => {
  const n = v as never;
  const record = new CoverageRecord();
  record.mark(n, n, n, n, n, n, n, n);
  record.markFrom(n, n);
  record.coveredShare(n, n, n, n, n, n, n, n);
  record.coveredShares(n, n, n);
  record.coveredAlong(n, n, n, n);
  record.isCovered(n, n);
  expect(record.mark(0, 0, 3, 0, 3, 0.5, n, n)).toBeLessThanOrEqual(150);
  record.mark(0, 0, 3, 0, 3, 0.5, 0, 0.5);
  expect(record.coveredShare(0, 0, 3, 0, 3, 0.5, 0, 0.5)).toBe(1);
  expect(record.areas().worked).toBeGreaterThanOrEqual(1.5);
});
