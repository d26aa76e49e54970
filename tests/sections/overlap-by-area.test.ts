import { describe, expect, test } from "vitest";
import { CoverageRecord } from "../../src/coverage/index.js";
import { boom, evenSections, SectionControl, type SectionSettings } from "../../src/sections/index.js";
import { expectCode, expectWithin } from "../helpers/within.js";
import { run } from "./drive.js";

const SPEED = 2;
const make = (settings: SectionSettings, coverage: CoverageRecord): SectionControl =>
  new SectionControl({
    boom: boom({ sections: evenSections(3, 1), turnOnTime: 0.9, turnOffTime: 0.8 }),
    coverage,
    settings: { overlapBy: "area", betweenFixes: true, ...settings },
  });

/**
 * Where the line of a section stands when a share u of its footprint is covered, metres past the first touch, for an edge that is m deep over the
 * section's width and a footprint of length l. Closed form: the covered share is the distribution of a sum of two uniform deviates, over m and l.
 */
function standing(u: number, m: number, l: number): number {
  const share = (y: number): number => {
    // integral over the width of how much of the footprint's length lies beyond the edge
    const n = 20_000;
    let sum = 0;
    for (let k = 0; k < n; k++) sum += Math.min(l, Math.max(0, y + l - (m * (k + 0.5)) / n)) / l / n;
    return sum;
  };
  let [low, high] = [-l, m];
  for (let k = 0; k < 50; k++) {
    const middle = (low + high) / 2;
    if (share(middle) < u) low = middle;
    else high = middle;
  }
  return high;
}

describe("overlap tolerance by area", () => {
  // trapezoid distribution: with l <= m, u = 1/2 stands at (m - l) / 2
  test("has its closed form", () => {
    expectWithin(standing(0.5, 3, 1), 1, 1e-3);
    expectWithin(standing(0.5, 0.001, 1), -0.5, 1e-3);
    expectWithin(standing(1, 3, 1), 3, 0.05);
    // the triangle at the start: (y + l)² / (2 m l)
    expectWithin(standing(0.125, 3, 1), Math.sqrt(2 * 3 * 0.125) - 1, 1e-3);
  });

  test.for([
    [0.25, 45, 1],
    [0.5, 45, 1],
    [0.5, 45, 2],
    [0.75, 30, 0.5],
    [0.5, 10, 1.5],
  ] as const)("switches off at %d of the area of an edge tilted by %d degrees, footprint of %d m", ([u, phi, l]) => {
    const slope = Math.tan((phi * Math.PI) / 180);
    const coverage = new CoverageRecord({ cellSize: 0.025 });
    const touch = 30 - 1.5 * slope;
    coverage.mark(-6, 30 - 6 * slope, 6, 30 + 6 * slope, 6, 60, -6, 60);
    const before = coverage.areas();
    const control = make({ overlapTolerance: u, footprintLength: l }, coverage);
    const orders = run(control, { x: 0, y: 0.01, heading: 0, speed: SPEED, yawRate: 0 }, 0, 22, 10);
    const off = orders.find((order) => !order.on)!;
    expect(off.reason).toBe("worked-already");
    const y = standing(u, 3 * slope, l);
    expectWithin(SPEED * (control.state.crossings[0]! + 0.8) + 0.01 - touch, y, 0.04, "where it stands");
    // overlap y²/(2 tan φ) as of the width, and skip (m - y)²/(2 tan φ)
    const after = coverage.areas();
    const overlap = after.marked - after.worked - (before.marked - before.worked);
    expectWithin(overlap, y > 0 ? (y * y) / (2 * slope) : 0, 0.12, "overlap");
  });

  test("is asked square-on too: 0 has no overlap on the way out, 1 no gap on the way in", () => {
    for (const [u, stop, start] of [
      [0, -1, 0],
      [0.5, -0.5, -0.5],
      [1, 0, -1],
    ] as const) {
      const coverage = new CoverageRecord({ cellSize: 0.025 });
      coverage.mark(-6, 20, 6, 20, 6, 40, -6, 40);
      const control = make({ overlapTolerance: u }, coverage);
      const seen: number[] = [];
      run(control, { x: 0, y: 0.01, heading: 0, speed: SPEED, yawRate: 0 }, 0, 25, 10, (input) => {
        const last = control.state.crossings[0] ?? null;
        if (last !== null && last !== seen.at(-1)) seen.push(last);
        return input;
      });
      const [, off, on] = seen;
      // a quarter of a cell, of 1 m: and the slivers that count as nothing or all
      expectWithin(SPEED * (off! + 0.8) + 0.01 - 20, stop, 0.04, "off");
      expectWithin(SPEED * (on! + 0.9) + 0.01 - 40, start, 0.04, "on");
    }
  });

  test("does not turn off over own ground, and refuses settings that are none", () => {
    for (const yawRate of [0, 5]) {
      const control = new SectionControl({
        boom: boom({ sections: evenSections(12, 6), x: -2 }),
        coverage: new CoverageRecord(),
        settings: { overlapBy: "area", footprintLength: 2 },
      });
      expect(run(control, { x: 0, y: 0, heading: 30, speed: 2.5, yawRate }, 0, 20, 10)).toHaveLength(6);
    }
    const coverage = new CoverageRecord();
    expect(expectCode(() => make({ overlapBy: "length" as never }, coverage), "out-of-range").argument).toBe(
      "settings.overlapBy",
    );
    expect(expectCode(() => make({ footprintLength: 0 }, coverage), "out-of-range").argument).toBe(
      "settings.footprintLength",
    );
  });
});
