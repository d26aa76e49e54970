import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { CoverageRecord, sharedArea } from "../../src/coverage/index.js";
import { expectCode } from "../helpers/within.js";

type Quad = Parameters<CoverageRecord["mark"]>;

const coordinate = fc.double({ min: -60, max: 60, noNaN: true });
const quad = fc.array(coordinate, { minLength: 8, maxLength: 8 }).map((q) => q as unknown as Quad);
const quads = fc.array(quad, { maxLength: 6 });

function recordOf(marks: readonly Quad[]): CoverageRecord {
  const record = new CoverageRecord({ cellSize: 0.5 });
  for (const mark of marks) record.mark(...mark);
  return record;
}

/** Cells of a record as keys, the slow plain way. */
function cellsOf(record: CoverageRecord, of: "worked" | "twice"): Set<string> {
  const { rows, starts, ends } = record.cellRuns({ of });
  const cells = new Set<string>();
  for (let i = 0; i < rows.length; i++) {
    for (let k = starts[i]!; k < starts[i + 1]!; k++) {
      for (let column = ends[2 * k]!; column < ends[2 * k + 1]!; column++) cells.add(`${column},${rows[i]!}`);
    }
  }
  return cells;
}

describe("merge", () => {
  test("gives the union of both planes, cell by cell", () => {
    fc.assert(
      fc.property(quads, quads, (a, b) => {
        const [one, other] = [recordOf(a), recordOf(b)];
        const merged = recordOf(a);
        expect(merged.merge(other)).toBe(merged);
        for (const of of ["worked", "twice"] as const) {
          const union = new Set([...cellsOf(one, of), ...cellsOf(other, of)]);
          expect(cellsOf(merged, of)).toEqual(union);
          const area = of === "worked" ? merged.areas().worked : merged.areas().workedTwice;
          expect(area).toBe(union.size / 4);
        }
      }),
      { numRuns: 40, seed: 53 },
    );
  });

  test("is commutative, associative and idempotent", () => {
    fc.assert(
      fc.property(quads, quads, quads, (a, b, c) => {
        const left = recordOf(a).merge(recordOf(b)).merge(recordOf(c));
        const right = recordOf(c).merge(recordOf(b).merge(recordOf(a)));
        expect(right.hash()).toBe(left.hash());
        expect(right.areas()).toEqual(left.areas());
        const once = left.snapshot();
        left.merge(recordOf(b)).merge(left).merge(right);
        expect(left.snapshot()).toEqual(once);
        // an older copy of a record holds nothing that is new
        const late = recordOf([...a, ...b]);
        const before = late.snapshot();
        expect(late.merge(recordOf(a)).snapshot()).toEqual(before);
      }),
      { numRuns: 100, seed: 54 },
    );
  });

  test("does not depend on how the tiles lie in memory", () => {
    fc.assert(
      fc.property(quads, quads, (a, b) => {
        // restored: blocks in another order; worked far away first: other slots
        const apart = new CoverageRecord({ cellSize: 0.5 });
        for (const mark of [...b].reverse()) apart.mark(...mark);
        const one = recordOf(a).merge(recordOf(b));
        const two = CoverageRecord.restore(recordOf(a).snapshot()).merge(apart);
        expect(two.hash()).toBe(one.hash());
      }),
      { numRuns: 60, seed: 55 },
    );
  });

  test("leaves the other alone and goes on like any record", () => {
    const a = recordOf([[0, 0, 64, 0, 64, 64, 0, 64]]);
    const b = recordOf([[32, 0, 96, 0, 96, 64, 32, 64]]);
    const before = b.snapshot();
    const painted = a.revision;
    a.merge(b);
    expect(b.snapshot()).toEqual(before);
    expect(a.areas()).toEqual({ worked: 96 * 64, workedTwice: 0, marked: 96 * 64 });
    expect(a.revision).toBe(painted + 1);
    // cells of 0.5 m, tiles of 32 m: the third column of two rows
    expect(a.changedTiles(painted).map((key) => a.tileBounds(key).minX)).toEqual([64, 64]);
    expect(a.mark(0, 0, 100, 0, 100, 64, 0, 64)).toBe(4 * 64 * 4);
    expect(a.areas()).toEqual({ worked: 100 * 64, workedTwice: 96 * 64, marked: 196 * 64 });
    expect(a.merge(a).revision).toBe(painted + 2);
  });

  test("refuses another cell size, another frame and what is no record, and changes nothing then", () => {
    const origin = { latitude: 48.1, longitude: 11.5 };
    const a = new CoverageRecord({ origin });
    const other = new CoverageRecord({ origin: { latitude: 48.1, longitude: 11.6 } });
    other.mark(0, 0, 1, 0, 1, 1, 0, 1);
    const high = new CoverageRecord({ origin: { ...origin, altitude: 500 } });
    for (const bad of [other, high, new CoverageRecord({ cellSize: 0.2 }), undefined, null, {}, 3]) {
      expectCode(() => a.merge(bad as CoverageRecord), "out-of-range");
      expectCode(() => sharedArea(a, bad as CoverageRecord), "out-of-range");
      expectCode(() => sharedArea(bad as CoverageRecord, a), "out-of-range");
    }
    expect(a.areas().worked).toBe(0);
    // a record that does not name its frame fits, and takes the name
    const plain = new CoverageRecord().merge(a);
    expect(plain.origin).toEqual({ ...origin, altitude: 0 });
    expectCode(() => plain.merge(other), "out-of-range");
    expect(CoverageRecord.restore(plain.snapshot()).origin).toEqual(plain.origin);
    expect(CoverageRecord.restore(new CoverageRecord().snapshot()).origin).toBeUndefined();
    expectCode(() => new CoverageRecord({ origin: { latitude: 91, longitude: 0 } }), "out-of-range");
  });
});

describe("sharedArea", () => {
  test("is the ground that both worked: worked apart less worked together", () => {
    fc.assert(
      fc.property(quads, quads, (a, b) => {
        const [one, other] = [recordOf(a), recordOf(b)];
        const shared = sharedArea(one, other);
        expect(sharedArea(other, one)).toBe(shared);
        const apart = one.areas().worked + other.areas().worked;
        expect(apart - recordOf(a).merge(other).areas().worked).toBe(shared);
        expect(sharedArea(one, one)).toBe(one.areas().worked);
      }),
      { numRuns: 100, seed: 56 },
    );
  });
});
