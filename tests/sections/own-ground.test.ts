import { describe, expect, test } from "vitest";
import { CoverageRecord } from "../../src/coverage/index.js";
import { boom, evenSections, SectionControl } from "../../src/sections/index.js";
import { expectWithin } from "../helpers/within.js";
import { normal, type Path, run } from "./drive.js";
import { light, some } from "../helpers/light.js";

const onTimes = (control: SectionControl) => control.tick(0).switches.map((n) => n);

describe("a section never turns itself off over its own fresh ground", () => {
  const cases = [1, 5, 20].flatMap((rate) =>
    [0.35, 1, 4].flatMap((speed) => [0, 4, -9].map((yawRate) => [rate, speed, yawRate] as const)),
  );
  test.for(some(cases, 2))("at %d Hz, %d m/s, %d degrees/s", ([rate, speed, yawRate]) => {
    for (const overlapTolerance of [0, 0.5]) {
      for (const [on, off] of [
        [0, 0],
        [0.5, 0.2],
      ] as const) {
        const sections = evenSections(24, 16);
        const control = new SectionControl({
          boom: boom({ sections, x: -2.5, turnOnTime: on, turnOffTime: off }),
          coverage: new CoverageRecord(),
          settings: { overlapTolerance },
        });
        const path: Path = { x: 3.3, y: 1.7, heading: 37, speed, yawRate };
        // less than a whole round
        const orders = run(control, path, 0, yawRate === 0 ? 20 : 240 / Math.abs(yawRate), rate);
        const omega = (yawRate * Math.PI) / 180;
        sections.forEach(({ left, right }, i) => {
          const slowest = Math.min(speed - omega * left, speed - omega * right);
          // an end that runs backwards does come over its own ground
          if (slowest < 0) return;
          const own = orders.filter((order) => order.section === i);
          expect(own, `section ${i}`).toHaveLength(1);
        });
      }
    }
  });

  test("nor in noise of a good receiver, slow, straight and in a wide turn", () => {
    for (const [speed, yawRate] of [
      [0.6, 0],
      [1.5, 0],
      [1.5, 2],
      [3, -4],
    ] as const) {
      for (const rate of some([1, 10, 20])) {
        const error = normal(rate + 100 * speed);
        const coverage = new CoverageRecord();
        const control = new SectionControl({ boom: boom({ sections: evenSections(12, 6), x: -2 }), coverage });
        const path: Path = { x: 0.3, y: 0.2, heading: 64, speed, yawRate };
        const orders = run(control, path, 0, 30, rate, (input) => ({
          ...input,
          x: input.x + 0.012 * error(),
          y: input.y + 0.012 * error(),
          heading: (input.heading + 0.2 * error() + 360) % 360,
          yawRate: yawRate + 0.3 * error(),
          speed: speed + 0.02 * error(),
        }));
        expect(
          orders.filter((order) => !order.on),
          `${speed} m/s, ${rate} Hz`,
        ).toEqual([]);
        // noise throws the line back and forth, but marks hardly any ground twice
        const { worked, workedTwice } = coverage.areas();
        expectWithin(worked, 12 * speed * 30, 0.02 * 12 * speed * 30 + 5, "worked");
        expect(workedTwice).toBeLessThan(0.005 * worked);
      }
    }
  });

  test("an hour parked with 2 cm of noise adds less than 0.2 m of ground", () => {
    const error = normal(9);
    const coverage = new CoverageRecord();
    const control = new SectionControl({
      boom: boom({ sections: evenSections(12, 6) }),
      coverage,
      settings: { minimumSpeed: 0 },
    });
    control.setOverride(0, "on");
    const path: Path = { x: 0, y: 0, heading: 20, speed: 0, yawRate: 0 };
    run(control, path, 0, light ? 300 : 3600, 10, (input) => ({
      ...input,
      x: 0.02 * error(),
      y: 0.02 * error(),
      speed: Math.abs(0.02 * error()),
    }));
    expect(coverage.areas().worked).toBeLessThan(12 * 0.2);
    expect(onTimes(control)[0]).toBe(1);
  });
});

describe("the same pass driven again", () => {
  test.for(some([17, 0, 45, 90, 203]))(
    "is off all the way at heading %d, at every tolerance, and does not flutter",
    (heading) => {
      for (const overlapTolerance of [0, 0.5, 1]) {
        const coverage = new CoverageRecord();
        const tool = boom({ sections: evenSections(12.1, 4), x: -2, turnOnTime: 0.6, turnOffTime: 0.3 });
        const path: Path = { x: 0.037, y: 0.051, heading, speed: 2.5, yawRate: 0 };
        run(new SectionControl({ boom: tool, coverage }), path, 0, 40, 10);
        const again = new SectionControl({ boom: tool, coverage, settings: { overlapTolerance } });
        const s = Math.sin((heading * Math.PI) / 180);
        const c = Math.cos((heading * Math.PI) / 180);
        const orders = run(again, { ...path, x: path.x + 10 * s, y: path.y + 10 * c }, 0, 28, 10);
        expect(orders).toEqual([]);
        expect(again.tick(28).reasons.every((reason) => reason === "worked-already")).toBe(true);
      }
    },
  );
});

describe("the next pass, edge to edge", () => {
  test.for(some([17, 0, 45, 90, 203]))(
    "is on all the way at heading %d, at every tolerance, without gap or overlap",
    (heading) => {
      for (const overlapTolerance of [0, 0.5, 1]) {
        const coverage = new CoverageRecord();
        const width = 12.1;
        const tool = boom({ sections: evenSections(width, 4), x: -2, turnOnTime: 0.6, turnOffTime: 0.3 });
        const path: Path = { x: 0.037, y: 0.051, heading, speed: 2.5, yawRate: 0 };
        run(new SectionControl({ boom: tool, coverage }), path, 0, 40, 10);
        const first = coverage.areas().worked;
        const s = Math.sin((heading * Math.PI) / 180);
        const c = Math.cos((heading * Math.PI) / 180);
        const next = new SectionControl({ boom: tool, coverage, settings: { overlapTolerance } });
        const orders = run(next, { ...path, x: path.x + width * c, y: path.y - width * s }, 0, 40, 10);
        expect(orders).toHaveLength(4);
        expect(coverage.areas().workedTwice).toBeLessThanOrEqual(0.02);
        expectWithin(coverage.areas().worked, 2 * first, 0.002 * first);
      }
    },
  );
});
