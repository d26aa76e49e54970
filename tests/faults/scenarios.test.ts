import { describe, expect, it } from "vitest";
import type { CoverageRecord } from "../../src/coverage/index.js";
import { random } from "../helpers/random.js";
import { areaBeyond, driveAlong, jobOn, makeWay, sweptBy, WIDTH } from "./drive.js";
import { assertFive } from "./five.js";
import { originOf, scenarios } from "./scenarios.js";

/** Three curved passes of 100 m and the turns between them: 109 s, 435 m. */
const way = makeWay(3, 100);
const clean = assertFive(jobOn(way), driveAlong(way), 0, "clean");
const most = new Map<number, CoverageRecord>();
/** ground that may be marked, with a margin: found once for each */
function groundWithin(margin: number): CoverageRecord {
  if (!most.has(margin)) most.set(margin, sweptBy(way, margin));
  return most.get(margin)!;
}
/** m beside the true way: a cell, the chord of a turn, the lag of a heading that is found anew */
const MARGIN = 0.5;

describe("the clean drive", () => {
  it("works the field, and nothing beside the true way", () => {
    const { worked } = clean.job.coverage.areas();
    expect(worked).toBeGreaterThan(0.985 * 3 * WIDTH * 100);
    expect(worked).toBeLessThan(1.005 * 3 * WIDTH * 100);
    expect(areaBeyond(clean.job.coverage, groundWithin(MARGIN))).toBe(0);
  });
});

for (const scenario of scenarios) {
  describe(`${scenario.id}: ${scenario.what}`, () => {
    const cases = scenario.lengths.flatMap((length) => scenario.sizes.map((size) => ({ length, size })));
    it.for(cases)("$length s, size $size: the five, and nothing falsely marked", ({ length, size }) => {
      const origin = originOf(scenario);
      const drive = driveAlong(way, { origin });
      // in the curve and in the second turn; with FEERING_LONG=1 at the end of a pass and in the first turn too
      for (const at of process.env["FEERING_LONG"] === "1" ? [14.9, 67.5, 26.9, 32] : [14.9, 67.5]) {
        const fault = { at, length: Math.max(length, 0.1), size, way, origin, chance: random(at * 10) };
        const items = scenario.apply(drive, fault);
        const definition = { ...jobOn(way), origin };
        const changedJob = scenario.job?.(definition, fault) ?? definition;
        const { job } = assertFive(changedJob, items, scenario.recovery, `${scenario.id} at ${at}`);
        const ground = groundWithin(MARGIN + (scenario.margin?.(size) ?? 0));
        expect(areaBeyond(job.coverage, ground), `${scenario.id} at ${at} s: falsely marked`).toBe(0);
      }
    });
  });
}
