import { describe, expect, test } from "vitest";
import { CoverageRecord } from "../../src/coverage/index.js";
import type { Polygon } from "../../src/geometry/index.js";
import { boom, evenSections, SectionControl } from "../../src/sections/index.js";
import { expectWithin } from "../helpers/within.js";
import { type Order, type Path, run, toolAt } from "./drive.js";
import { some } from "../helpers/light.js";

const SAME = 1e-9;
const box = (x0: number, y0: number, x1: number, y1: number): Polygon => ({
  exterior: [
    [x0, y0],
    [x1, y0],
    [x1, y1],
    [x0, y1],
  ],
  holes: [],
});

/** First instant in a..b at which a state of affairs changes, by halving; the state differs at the two ends. */
function instant(a: number, b: number, holds: (t: number) => boolean): number {
  let low = a;
  let high = b;
  const at = holds(low);
  for (let k = 0; k < 60; k++) {
    const middle = (low + high) / 2;
    if (holds(middle) === at) low = middle;
    else high = middle;
  }
  return high;
}

const landing = (order: Order, on: number, off: number) => order.time + (order.on ? on : off);

describe("a section that drives into a field and out of it", () => {
  const cases = [1, 5, 10, 20].flatMap((rate) =>
    [0.8, 2.5, 6].flatMap((speed) =>
      [
        [0, 0],
        [1.2, 0.4],
        [0.3, 1.7],
      ].map(([on, off]) => [rate, speed, on!, off!] as const),
    ),
  );
  test.for(some(cases, 2))(
    "at %d Hz, %d m/s, turn-on %d s and turn-off %d s lands within an interval and never outside",
    ([rate, speed, on, off]) => {
      for (const [heading, start] of [
        [0, 0],
        [33, 0.37],
        [271.5, 0.77],
      ] as const) {
        const toolX = -4.3;
        const s = Math.sin((heading * Math.PI) / 180);
        const c = Math.cos((heading * Math.PI) / 180);
        // a band 60 m deep across the way, 20 m ahead of the start
        const at = (along: number, right: number): [number, number] => [along * s + right * c, along * c - right * s];
        const field: Polygon = { exterior: [at(20, -80), at(80, -80), at(80, 80), at(20, 80)], holes: [] };
        const coverage = new CoverageRecord();
        const control = new SectionControl({
          boom: boom({ sections: evenSections(12, 4), x: toolX, turnOnTime: on, turnOffTime: off }),
          field: [field],
          coverage,
        });
        const path: Path = { x: start * s, y: start * c, heading, speed, yawRate: 0 };
        const orders = run(control, path, 0, 100 / speed + 3, rate);
        expect(orders).toHaveLength(8);
        const enter = (20 - start - toolX) / speed;
        const leave = (80 - start - toolX) / speed;
        for (const order of orders) {
          const ideal = order.on ? enter : leave;
          const error = landing(order, on, off) - ideal;
          if (order.on) expect(error).toBeGreaterThanOrEqual(-SAME - 1e-3 / speed);
          else expect(error).toBeLessThanOrEqual(SAME + 1e-3 / speed);
          expect(Math.abs(error)).toBeLessThanOrEqual(1 / rate + SAME);
          expect(order.reason).toBe(order.on ? "working" : "outside-field");
        }
        // the record shows what landed: between the landings, to a cell
        const expected = 12 * speed * (landing(orders[7]!, on, off) - landing(orders[0]!, on, off));
        expectWithin(coverage.areas().worked, expected, 0.1 * 2 * (12 + 60), "area");
        expect(coverage.areas().workedTwice).toBe(0);
      }
    },
  );
});

describe("a section that drives over worked ground", () => {
  test.for([
    [1, 2],
    [5, 3],
    [10, 3],
    [20, 1.3],
  ] as const)("at %d Hz and %d m/s lands within half an interval, and half a cell", ([rate, speed]) => {
    for (const [on, off] of [
      [0, 0],
      [1, 0.3],
      [0.4, 0.9],
    ] as const) {
      for (const overlapTolerance of [0, 0.5, 1]) {
        const coverage = new CoverageRecord();
        // worked ground from y = 50 to 80
        coverage.mark(-20, 50, 20, 50, 20, 80, -20, 80);
        const control = new SectionControl({
          boom: boom({ sections: evenSections(12, 3), x: -2, turnOnTime: on, turnOffTime: off }),
          coverage,
          settings: { overlapTolerance },
        });
        const path: Path = { x: 0.021, y: 0.313, heading: 0, speed, yawRate: 0 };
        const orders = run(control, path, 0, 120 / speed, rate).filter((order) => order.time > on);
        expect(orders).toHaveLength(6);
        for (const order of orders) {
          const ideal = ((order.on ? 80 : 50) - 0.313 + 2) / speed;
          const error = landing(order, on, off) - ideal;
          // close over the ground a line just worked cannot be read nearer than three quarters of a cell
          const near = order.on || off > 0 ? 0 : 0.075;
          expect(Math.abs(error)).toBeLessThanOrEqual(0.5 / rate + (0.05 + near) / speed);
          expect(order.reason).toBe(order.on ? "working" : "worked-already");
        }
      }
    }
  });
});

describe("sections in a turn", () => {
  test.for(some([5, 10, 20]))("each meets the boundary by its own way at %d Hz", (rate) => {
    // a 20 m circle to the right and to the left, with 18 m half boom: tips at 0.1 and 1.9 times the speed
    for (const yawRate of [8.594, -8.594]) {
      const path: Path = { x: 0, y: 0, heading: 10, speed: 3, yawRate };
      const [on, off] = [0.8, 0.5];
      const tool = boom({ sections: evenSections(36, 12), x: -3, turnOnTime: on, turnOffTime: off });
      const field = [box(-200, 4, 200, 400)];
      const coverage = new CoverageRecord();
      const control = new SectionControl({ boom: tool, field, coverage });
      const orders = run(control, path, 0, 20, rate);
      let checked = 0;
      for (const order of orders) {
        const section = tool.sections[order.section]!;
        // inside while both ends of the section are: the field is convex
        const inside = (t: number) =>
          Math.min(toolAt(path, t, -3, section.left)[1], toolAt(path, t, -3, section.right)[1]) >= 4;
        const land = landing(order, on, off);
        if (land < on + 2 / rate) continue;
        expect(inside(land + (order.on ? 1e-3 : -1e-3)), `section ${order.section} at ${land}`).toBe(true);
        const before = order.on ? land - 1 / rate : land;
        const after = order.on ? land : land + 1 / rate;
        // the ideal instant lies within the interval
        expect(inside(before - 1e-2) && inside(after + 1e-2)).toBe(false);
        const ideal = instant(before - 1e-2, after + 1e-2, inside);
        expect(Math.abs(land - ideal)).toBeLessThanOrEqual(1 / rate + 1e-2);
        checked++;
      }
      expect(checked).toBeGreaterThanOrEqual(12);
    }
  });

  test("a section whose middle runs backwards is off and says so", () => {
    // 12 m circle to the right, 36 m boom: the inner sixth runs backwards
    const control = new SectionControl({
      boom: boom({ sections: evenSections(36, 12) }),
      coverage: new CoverageRecord(),
      settings: { overlapTolerance: 1 },
    });
    const states = control.update({ time: 0, x: 0, y: 0, heading: 0, speed: 3, curvature: 1 / 12, usable: true });
    expect(states.reasons.slice(0, 10).every((reason) => reason === "working")).toBe(true);
    expect(states.reasons.slice(10)).toEqual(["backwards", "backwards"]);
    const left = control.update({ time: 0.1, x: 0, y: 0.3, heading: 0, speed: 3, curvature: -1 / 12, usable: true });
    expect(left.ordered.slice(0, 2)).toEqual([false, false]);
    expect(left.reasons.slice(0, 2)).toEqual(["backwards", "backwards"]);
  });
});

describe("lateness", () => {
  // closed form: along-track error = v (t_actual - t_set); published rows 10 km/h 0.3 s, 20 km/h 0.6 s, 15 km/h 0.2 s
  test.for([
    [10, 0.3, 0.8333],
    [20, 0.6, 3.3333],
    [15, 0.2, 0.8333],
  ] as const)("of %d km/h and %d s is %d m", ([kmh, late, metres]) => {
    const speed = kmh / 3.6;
    expectWithin(speed * late, metres, 5e-5);
    const rate = 50;
    const set = 0.4;
    const control = new SectionControl({
      boom: boom({ sections: evenSections(6, 1), turnOffTime: set }),
      field: [box(-10, -10, 10, 100)],
      coverage: new CoverageRecord(),
    });
    const path: Path = { x: 0, y: 0, heading: 0, speed, yawRate: 0 };
    const off = run(control, path, 0, 120 / speed, rate).find((order) => !order.on)!;
    // a valve that in truth takes longer than the time set
    const end = toolAt(path, off.time + set + late, 0, 0)[1] - 100;
    expect(end).toBeLessThanOrEqual(metres + 1e-3);
    expect(end).toBeGreaterThanOrEqual(metres - speed / rate - 1e-3);
  });
});
