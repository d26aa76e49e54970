import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { FieldJob, type JobState } from "../../src/job/index.js";
import type { Fix } from "../../src/receiver/index.js";
import { definition, northward } from "./drive.js";

/** Every number in the state, however deep. */
function numbersOf(value: unknown, into: number[] = []): number[] {
  if (typeof value === "number") into.push(value);
  else if (typeof value === "object" && value !== null) for (const part of Object.values(value)) numbersOf(part, into);
  return into;
}

// distances to an end that is not there are infinite by their definition
function expectFinite(state: JobState): void {
  const { guidance, ...rest } = state;
  const { distanceToEnd, distanceToStart, ...numbers } = guidance;
  for (const number of numbersOf([rest, numbers])) expect(Number.isFinite(number)).toBe(true);
  expect(Number.isNaN(distanceToEnd) || Number.isNaN(distanceToStart)).toBe(false);
}

const base = [...northward({ from: 5, to: 60 })];

/** Drive well, meet the fault, and look at the next state; then drive on well and expect to work again. */
function meet(fault: Fix[], expected: string): void {
  const job = new FieldJob(definition());
  for (const fix of base.slice(0, 40)) job.update(fix);
  expect(job.state.sections.ordered.every(Boolean), "works before").toBe(true);
  const worked = job.state.totals.workedArea;
  for (const fix of fault) {
    const state = job.update(fix);
    expectFinite(state);
    expect(state.fix.status).toBe(expected);
    if (expected !== "duplicate" && expected !== "out-of-order") {
      expect(state.sections.ordered.some(Boolean), "off at once").toBe(false);
      expect(state.sections.reasons.every((reason) => reason !== "working")).toBe(true);
    }
  }
  expect(job.state.totals.workedArea - worked, "nothing is marked by a fault").toBeLessThan(24 * 0.41 * 2);
  for (const fix of base.slice(40, 80)) job.update(fix);
  expect(job.state.sections.ordered.every(Boolean), "works again").toBe(true);
  expectFinite(job.state);
}

const next = base[40]!;
const at = (change: Partial<Fix>): Fix => ({ ...next, time: next.time - 0.05, ...change });

describe("a fault in the loop", () => {
  it("NaN is invalid, and off", () => meet([at({ latitude: Number.NaN })], "invalid"));
  it("null island without a fix is invalid, and off", () =>
    meet([at({ latitude: 0, longitude: 0, quality: 0 })], "invalid"));
  it("a poor quality is off, and still guided by", () => meet([at({ quality: 1 })], "poor-quality"));
  it("a jump of 10 km is refused, and off", () => meet([at({ latitude: next.latitude + 0.09 })], "jump"));
  it("a repeated fix changes nothing", () => meet([{ ...base[39]! }], "duplicate"));
  it("an earlier fix is dropped", () => meet([{ ...base[35]! }], "out-of-order"));

  it("ground across a gap is not marked", () => {
    const job = new FieldJob(definition());
    const fixes = [...northward({ from: 5, to: 80 })];
    for (const fix of [...fixes.slice(0, 50), ...fixes.slice(100)]) job.update(fix);
    // 49 intervals before, 87 after; 50 left out: 20 m of 24 m width are missing
    const driven = (fixes.length - 1) * 0.4;
    expect(job.coverage.areas().worked).toBeLessThan(24 * (driven - 50 * 0.4));
    expect(job.coverage.isCovered(0, 5 + 75 * 0.4)).toBe(false);
  });

  it("two jumps meet no quad that joins the places", () => {
    const job = new FieldJob(definition({ fixes: { acceptJumpAfter: 3, recoverAfter: 1, recoverTime: 0 } }));
    const here = [...northward({ from: 5, to: 40 })];
    const there = [...northward({ from: 5, to: 40, east: 150 })].map((fix) => ({ ...fix, time: fix.time + 100 }));
    for (const fix of [...here, ...there]) job.update(fix);
    expect(job.coverage.isCovered(75, 20)).toBe(false);
    expect(job.coverage.isCovered(150, 35)).toBe(true);
  });

  it("anything at all neither throws nor makes a number that is none", () => {
    const odd = fc.oneof(
      fc.double(),
      fc.constantFrom(0, Number.NaN, Number.POSITIVE_INFINITY, -1e300, 47.25, 47.2503, 20.75, 1e9, -0),
    );
    const fix = fc.record({
      time: fc.oneof(odd, fc.double({ min: 1000, max: 1010, noNaN: true })),
      dated: fc.boolean(),
      latitude: fc.oneof(odd, fc.double({ min: 47.25, max: 47.251, noNaN: true })),
      longitude: fc.oneof(odd, fc.double({ min: 20.75, max: 20.7501, noNaN: true })),
      quality: fc.oneof(fc.constantFrom(4, 4, 4, 5, 0, 1), odd),
      speed: fc.option(odd, { nil: undefined }),
      course: fc.option(odd, { nil: undefined }),
      heading: fc.option(odd, { nil: undefined }),
      roll: fc.option(odd, { nil: undefined }),
      pitch: fc.option(odd, { nil: undefined }),
      horizontalAccuracy: fc.option(odd, { nil: undefined }),
    });
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fix, fc.option(fc.boolean(), { nil: undefined }), odd), { maxLength: 40 }),
        (steps) => {
          const job = new FieldJob(definition());
          for (const one of base.slice(0, 10)) job.update(one);
          for (const [one, reversing, time] of steps) {
            const state = job.update(one, reversing);
            expectFinite(state);
            if (!state.fix.usable) expect(state.sections.ordered.some(Boolean)).toBe(false);
            expectFinite(job.tick(time));
          }
          expect(job.coverage.areas().marked).toBeLessThan(24 * 2000);
        },
      ),
      { numRuns: 300 },
    );
  });
});
