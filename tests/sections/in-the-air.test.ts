import { describe, expect, test } from "vitest";
import { CoverageRecord } from "../../src/coverage/index.js";
import { boom, evenSections, SectionControl, type SectionDefinition } from "../../src/sections/index.js";
import { expectWithin } from "../helpers/within.js";
import { type Path, poseAt, run, toolAt } from "./drive.js";
import { light, some } from "../helpers/light.js";

describe("ground that orders under way will have worked", () => {
  test("a round within the look-ahead is worked once, whatever the turn-on time", () => {
    // a round takes 10 s; product lands 14 s after the order
    for (const turn of some([36, -36])) {
      const coverage = new CoverageRecord();
      const sections = evenSections(4, 4);
      const control = new SectionControl({
        boom: boom({ sections, x: -1, turnOnTime: 14, turnOffTime: 14 }),
        coverage,
        settings: { overlapTolerance: 0.5 },
      });
      const path: Path = { x: 0, y: 0, heading: 20, speed: 4, yawRate: turn };
      const orders = run(control, path, 0, 45, 10);
      const off = orders.filter((order) => !order.on);
      expect(off).toHaveLength(4);
      // worked from 14 s; the first round ends at 24 s, and the order for that goes out at 10 s
      for (const order of off) expectWithin(order.time, 10, 0.06);
      const { worked, workedTwice } = coverage.areas();
      expect(workedTwice / worked).toBeLessThan(0.02);
      // the radius at the middle of the tool, 4 m wide
      expectWithin(worked, 2 * Math.PI * Math.hypot(4 / (36 * (Math.PI / 180)), 1) * 4, 4);
    }
  });

  test("a row behind is off where the row in front will have been, foretold beyond that row", () => {
    // two rows 1.5 m apart; look-ahead of 1 s at 3 m/s reaches beyond the row in front
    const sections: SectionDefinition[] = Array.from({ length: 6 }, (_, i) => ({
      left: i - 3,
      right: i - 2,
      x: i % 2 === 0 ? 0.75 : -2.25,
    }));
    const coverage = new CoverageRecord({ cellSize: 0.05 });
    const tool = boom({ sections, turnOnTime: 1.6, turnOffTime: 1.6 });
    const control = new SectionControl({ boom: tool, coverage, settings: { overlapTolerance: 0.2 } });
    const path: Path = { x: 0, y: 0, heading: 0, speed: 3, yawRate: 34 };
    run(control, path, 0, 4, 10);
    // brute force: the share of each section's line, at its landing, that the others' lines passed before
    const states = control.state;
    const time = 4;
    const { x, y } = poseAt(path, time);
    expect(Math.hypot(x, y)).toBeGreaterThan(1);
    sections.forEach((section, i) => {
      if (states.reasons[i] === "backwards") return;
      const landing = time + 1.6;
      let share = 0;
      const points = light ? 5 : 50;
      for (let p = 0; p < points; p++) {
        const y0 = section.left + (p + 0.5) / points;
        const [px, py] = toolAt(path, landing, section.x!, y0);
        let passed = false;
        for (let t = 1.6; t < landing - 0.02 && !passed; t += 0.005) {
          for (const other of sections) {
            const [ax, ay] = toolAt(path, t, other.x!, other.left);
            const [bx, by] = toolAt(path, t, other.x!, other.right);
            const [cx, cy] = toolAt(path, t + 0.005, other.x!, other.right);
            const [dx, dy] = toolAt(path, t + 0.005, other.x!, other.left);
            const side = (ux: number, uy: number, vx: number, vy: number) =>
              (vx - ux) * (py - uy) - (vy - uy) * (px - ux);
            const s = [side(ax, ay, bx, by), side(bx, by, cx, cy), side(cx, cy, dx, dy), side(dx, dy, ax, ay)];
            if (s.every((v) => v >= 0) || s.every((v) => v <= 0)) passed = true;
          }
        }
        if (passed) share += 1 / points;
      }
      if (share > 0.3) expect(states.ordered[i], `section ${i}, share ${share}`).toBe(false);
      if (share < 0.1) expect(states.ordered[i], `section ${i}, share ${share}`).toBe(true);
    });
    expect(states.ordered.some((on) => on)).toBe(true);
    expect(states.reasons.includes("worked-already")).toBe(true);
  });

  test("a straight drive and a wide turn decide the same with and without it", () => {
    for (const yawRate of [0, 3]) {
      const control = new SectionControl({
        boom: boom({ sections: evenSections(12, 6), turnOnTime: 2, turnOffTime: 2 }),
        coverage: new CoverageRecord(),
      });
      const orders = run(control, { x: 0, y: 0, heading: 0, speed: 3, yawRate }, 0, 30, 10);
      expect(orders).toHaveLength(6);
    }
  });
});
