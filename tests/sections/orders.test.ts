import { describe, expect, test } from "vitest";
import { CoverageRecord } from "../../src/coverage/index.js";
import type { Polygon } from "../../src/geometry/index.js";
import {
  boom,
  evenSections,
  SectionControl,
  type SectionControlOptions,
  type SectionInput,
  type SectionSettings,
} from "../../src/sections/index.js";
import { expectCode, expectWithin } from "../helpers/within.js";
import { type Path, run } from "./drive.js";

const box = (x0: number, y0: number, x1: number, y1: number): Polygon => ({
  exterior: [
    [x0, y0],
    [x1, y0],
    [x1, y1],
    [x0, y1],
  ],
  holes: [],
});
const north: Path = { x: 0, y: 0, heading: 0, speed: 2, yawRate: 0 };

function make(settings: SectionSettings = {}, more: Partial<SectionControlOptions> = {}, times = [0.6, 0.4]) {
  const coverage = more.coverage ?? new CoverageRecord();
  const tool = boom({ sections: evenSections(6, 2), turnOnTime: times[0]!, turnOffTime: times[1]! });
  return { coverage, control: new SectionControl({ boom: tool, coverage, settings, ...more }) };
}

/** The input of a drive north at 2 m/s. */
const at = (time: number, more: Partial<SectionInput> = {}): SectionInput => ({
  time,
  x: 0,
  y: 2 * time,
  heading: 0,
  speed: 2,
  usable: true,
  ...more,
});

describe("before anything", () => {
  test("all is off, for want of a position", () => {
    const { control } = make();
    expect(control.tick(5)).toMatchObject({
      ordered: [false, false],
      working: [false, false],
      reasons: ["position", "position"],
    });
  });
});

describe("the record", () => {
  test("shows where product lands, not where orders go out", () => {
    const { control, coverage } = make();
    for (let k = 0; k <= 100; k++) {
      const states = control.update(at(k / 10));
      // ordered on at 0, product from 0.6 s on
      expect(states.ordered).toEqual([true, true]);
      expect(states.working[0]).toBe(k >= 6);
    }
    control.setMaster(false);
    for (let k = 101; k <= 120; k++) control.update(at(k / 10));
    // from y = 1.2 to y = 20.8
    expectWithin(coverage.areas().worked, 6 * (20.8 - 1.2), 1e-9);
    expect(coverage.isCovered(0.05, 1.15)).toBe(false);
    expect(coverage.isCovered(0.05, 1.25)).toBe(true);
    expect(coverage.isCovered(0.05, 20.75)).toBe(true);
    expect(coverage.isCovered(0.05, 20.85)).toBe(false);
  });

  test("cuts a quad where an order lands between two fixes", () => {
    // 1 Hz: 2 m a fix; lands at 0.35 s, that is y = 0.7; off lands at 5.15 s, y = 10.3
    const { control, coverage } = make({}, {}, [0.35, 0.15]);
    for (let k = 0; k <= 5; k++) control.update(at(k));
    control.setMaster(false);
    for (let k = 6; k <= 8; k++) control.update(at(k));
    expectWithin(coverage.areas().worked, 6 * (10.3 - 0.7), 1e-9);
  });

  test("is the same at 1, 5, 10 and 20 Hz to a row of cells", () => {
    const areas = [1, 5, 10, 20].map((rate) => {
      const { control, coverage } = make({}, { field: [box(-20, 9.97, 20, 70.03)] });
      run(control, north, 0, 45, rate);
      return coverage.areas().worked;
    });
    // at the boundary off comes up to an interval early, on up to one late
    [1, 5, 10, 20].forEach((rate, k) => {
      expect(areas[k]).toBeLessThanOrEqual(6 * 60.06 + 1);
      expect(areas[k]).toBeGreaterThanOrEqual(6 * (60.06 - (2 * 2) / rate) - 1);
    });
  });

  test("is never marked across a gap, a jump, or too long a time", () => {
    const cases: [string, SectionInput][] = [
      ["not connected", at(10.1, { y: 25, connected: false })],
      ["too long ago", at(13, { y: 26 })],
      ["an absurd step", at(10.1, { y: 1e5 })],
      ["an absurd step aside", at(10.1, { x: 80 })],
    ];
    for (const [what, input] of cases) {
      const { control, coverage } = make();
      run(control, north, 0, 10, 10);
      const before = coverage.areas().marked;
      const states = control.update(input);
      expect(coverage.areas().marked, what).toBe(before);
      expect(states.workedArea).toBe(0);
      // and goes on from there
      control.update({ ...input, time: input.time + 0.1, y: input.y + 0.2, connected: true });
      expect(coverage.areas().marked).toBeGreaterThan(before);
    }
  });

  test("joins places over a few fixes that were not usable, as long as product landed", () => {
    const { control, coverage } = make({}, {}, [0, 0.35]);
    run(control, north, 0, 10, 10);
    for (let k = 101; k <= 105; k++) control.update(at(k / 10, { usable: false, x: Number.NaN }));
    control.update(at(10.6));
    // ordered off at 10.1, off on the ground at 10.45
    expectWithin(coverage.areas().worked, 6 * 2 * 10.45, 0.7);
    expect(coverage.isCovered(0.05, 20.85)).toBe(true);
    expect(coverage.isCovered(0.05, 20.95)).toBe(false);
  });

  test("tells the area of each tick", () => {
    const { control, coverage } = make({ overlapTolerance: 1 });
    coverage.mark(-3, 10, 3, 10, 3, 11, -3, 11);
    let worked = 6;
    let again = 0;
    for (let k = 0; k <= 80; k++) {
      const states = control.update(at(k / 10));
      worked += states.workedArea;
      again += states.overlapArea;
    }
    expectWithin(worked, coverage.areas().worked, 1e-9);
    expectWithin(again, coverage.areas().marked - coverage.areas().worked, 1e-9);
  });
});

describe("an order under way", () => {
  test("is not countermanded before it has landed", () => {
    // turn-on 2 s: entering the field, the ground just ahead is still outside
    const { control } = make({}, { field: [box(-20, 10, 20, 100)] }, [2, 0.2]);
    const seen = new Set<string>();
    const orders = run(control, north, 0, 20, 10, (input, k) => {
      if (k > 0) seen.add(control.tick(0).reasons[0]!);
      return input;
    });
    expect(orders.map((order) => order.on)).toEqual([true, true]);
    expectWithin(orders[0]!.time, 3, 0.1);
    expect(seen).toEqual(new Set(["outside-field", "working"]));
  });

  test("is stopped at once when safety asks, and then never lands", () => {
    const { control, coverage } = make({}, {}, [2, 0.5]);
    run(control, north, 0, 1, 10);
    control.setMaster(false);
    for (let k = 11; k <= 50; k++) expect(control.update(at(k / 10)).working).toEqual([false, false]);
    expect(coverage.areas().marked).toBe(0);
  });

  test("that lands before the stop does leaves product on the ground in between", () => {
    const { control, coverage } = make({}, {}, [1, 0.5]);
    run(control, north, 0, 0.8, 10);
    control.setMaster(false);
    for (let k = 9; k <= 50; k++) control.update(at(k / 10));
    // on lands at 1.0 s, off at 1.3 s
    expectWithin(coverage.areas().worked, 6 * 2 * 0.3, 1e-9);
  });

  test("lets a narrow strip be worked exactly, though both orders are under way at once", () => {
    // a strip of 2 m, 1 s of driving, with a turn-on time of 2.5 s
    const { control, coverage } = make({}, { field: [box(-20, 20, 20, 22)] }, [2.5, 2]);
    const orders = run(control, north, 0, 20, 20);
    expect(orders.map((order) => order.on)).toEqual([true, true, false, false]);
    expectWithin(coverage.areas().worked, 6 * 2, 6 * 2 * (2 / 20));
    expect(coverage.isCovered(0, 19.9)).toBe(false);
    expect(coverage.isCovered(0, 22.1)).toBe(false);
  });

  test("is not given where the off could not land before the field ends", () => {
    // a strip of 1 m, 0.5 s, turn-off 1.5 s: on would overshoot it
    const { control, coverage } = make({}, { field: [box(-20, 20, 20, 21)] }, [0.2, 1.5]);
    expect(run(control, north, 0, 20, 20)).toEqual([]);
    expect(coverage.areas().marked).toBe(0);
  });
});

describe("an order off under way", () => {
  test("has to land before product can come again", () => {
    const { control, coverage } = make({}, {}, [0, 2]);
    coverage.mark(-5, 10, 5, 10, 5, 11, -5, 11);
    const seen = new Set<string>();
    const orders = run(control, north, 0, 20, 10, (input, k) => {
      if (k > 0) seen.add(control.tick(0).reasons[0]!);
      return input;
    });
    expect(seen).toEqual(new Set(["working", "worked-already", "under-way"]));
    // off ordered at 3 lands at 5; on lands when the strip is over
    const [off, on] = [orders[2]!, orders[4]!];
    expectWithin(off.time, 3, 0.1);
    expectWithin(on.time, 5.5, 0.1);
  });
});

describe("minimum times", () => {
  test("keep a section on over worked ground, with the reason", () => {
    const { control, coverage } = make({ minimumOnTime: 3 }, {}, [0, 0]);
    coverage.mark(-5, 2, 5, 2, 5, 40, -5, 40);
    const orders = run(control, north, 0, 10, 10, (input, k) => {
      if (k === 20) expect(control.tick(0).reasons).toEqual(["minimum-time", "minimum-time"]);
      return input;
    });
    expect(orders[2]!.on).toBe(false);
    expectWithin(orders[2]!.time, 3, 1e-9);
  });

  test("yield to the field's boundary", () => {
    const { control } = make({ minimumOnTime: 30 }, { field: [box(-5, -5, 5, 10)] }, [0, 0]);
    const orders = run(control, north, 0, 10, 10);
    expectWithin(orders[2]!.time, 5, 0.1);
  });

  test("keep a section off between two worked strips", () => {
    const { control, coverage } = make({ minimumOffTime: 2 }, {}, [0, 0]);
    coverage.mark(-5, 10, 5, 10, 5, 11, -5, 11);
    const orders = run(control, north, 0, 15, 10);
    expectWithin(orders[2]!.time, 5, 0.11);
    expectWithin(orders[4]!.time - orders[2]!.time, 2, 1e-9);
  });
});

describe("the machine", () => {
  test("too slow turns off, and on again from a tenth more", () => {
    const { control } = make({ minimumSpeed: 1, minimumCycleTime: 0 });
    const speeds = [1, 0.99, 1.05, 1.1, 1.05, 0.95];
    const reasons = speeds.map((speed, k) => control.update(at(k / 10, { speed, y: k * 0.1 })).reasons[0]);
    expect(reasons).toEqual(["working", "too-slow", "too-slow", "working", "working", "too-slow"]);
    const states = control.update(at(0.6, { speed: 0 }));
    expect(states.ordered).toEqual([false, false]);
  });

  test("reversing turns off, unless it is to work backwards", () => {
    const back = (control: SectionControl) => {
      run(control, north, 0, 5, 10);
      return run(control, { ...north, y: 20, speed: -2 }, 5.1, 9, 10);
    };
    const first = make();
    back(first.control);
    expect(first.control.tick(9).reasons).toEqual(["reversing", "reversing"]);
    const second = make({ workReversing: true, overlapTolerance: 0 });
    second.control.update(at(0, { speed: -2 }));
    expect(second.control.tick(0).reasons).toEqual(["working", "working"]);
    run(second.control, { ...north, speed: -2 }, 0.1, 5, 10);
    expect(second.control.tick(5).switches).toEqual([1, 1]);
    // product from 0.6 s on
    expectWithin(second.coverage.areas().worked, 6 * 2 * 4.4, 1.3);
  });

  test.for([
    ["time", Number.NaN],
    ["x", Number.NaN],
    ["y", Number.POSITIVE_INFINITY],
    ["heading", Number.NaN],
    ["speed", Number.NaN],
    ["yawRate", Number.NaN],
    ["curvature", Number.NaN],
    ["usable", false],
  ] as const)("with a bad %s is off within the tick and says why", ([name, value]) => {
    const { control } = make();
    run(control, north, 0, 5, 10);
    const states = control.update(at(5.1, { [name]: value }));
    expect(states.ordered).toEqual([false, false]);
    expect(states.reasons).toEqual(["position", "position"]);
    expect(Number.isFinite(states.time)).toBe(true);
    // and on again with the next good fix
    expect(control.update(at(6)).ordered).toEqual([true, true]);
  });

  test("gives the caller's reason for a position that is not usable", () => {
    const { control } = make();
    expect(control.update(at(0, { usable: false, reason: "stale" })).reasons).toEqual(["stale", "stale"]);
  });
});

describe("time", () => {
  test("without a fix turns off when the last one is too old", () => {
    const { control } = make({ maximumAge: 1 });
    run(control, north, 0, 5, 10);
    expect(control.tick(5.9).ordered).toEqual([true, true]);
    const states = control.tick(6.1);
    expect(states).toMatchObject({ time: 6.1, ordered: [false, false], reasons: ["stale", "stale"] });
    // product goes on until the turn-off time is over
    expect(states.working).toEqual([true, true]);
    expect(control.tick(6.51).working).toEqual([false, false]);
    expect(control.update(at(6.6)).ordered).toEqual([true, true]);
  });

  test("that stands still or goes back a little changes nothing", () => {
    const { control, coverage } = make();
    run(control, north, 0, 5, 10);
    const before = coverage.areas().marked;
    for (const time of [5, 4.9, 4]) {
      const states = control.update(at(time, { y: 3 }));
      expect(states).toMatchObject({ time: 5, ordered: [true, true], workedArea: 0 });
    }
    expect(coverage.areas().marked).toBe(before);
    // but a fix that says it is not usable is heard
    expect(control.update(at(5, { usable: false })).ordered).toEqual([false, false]);
  });

  test("that is set back far turns off once and goes on from there", () => {
    const { control, coverage } = make({}, {}, [0.2, 0.3]);
    run(control, { ...north, y: 0 }, 5000, 5005, 10);
    const states = control.update(at(10, { y: 10.2 }));
    expect(states).toMatchObject({ time: 10, ordered: [false, false] });
    const before = coverage.areas().marked;
    expect(control.update(at(10.1, { y: 10.4 })).ordered).toEqual([true, true]);
    expect(coverage.areas().marked).toBe(before);
    for (let k = 2; k < 10; k++) control.update(at(10 + k / 10, { y: 10.2 + k * 0.2 }));
    expect(coverage.areas().marked).toBeGreaterThan(before);
  });

  test("told by ticks makes up for fixes that come late", () => {
    // fixes 0.3 s late: without the clock the off would land 0.6 m late
    const late = 0.3;
    for (const told of [true, false]) {
      const { control } = make({}, { field: [box(-20, -20, 20, 40)] }, [0.5, 0.5]);
      let off = Number.NaN;
      for (let k = 0; k < 300; k++) {
        const time = k / 10;
        if (told) control.tick(time + late);
        const states = control.update(at(time));
        if (!states.ordered[0] && Number.isNaN(off)) off = time + late;
      }
      const end = 2 * (off + 0.5);
      if (told) expectWithin(end, 39.9, 0.11);
      else expectWithin(end, 40.5, 0.11);
    }
  });
});

describe("the hand", () => {
  test("off is off at once, auto again with the next fix", () => {
    const { control } = make();
    run(control, north, 0, 5, 10);
    expect(control.setOverride(1, "off")).toMatchObject({
      ordered: [true, false],
      reasons: ["working", "off-by-hand"],
    });
    expect(control.update(at(5.1)).ordered).toEqual([true, false]);
    control.setOverride(1, "auto");
    expect(control.update(at(5.6)).ordered).toEqual([true, true]);
  });

  test("on goes over field, record, speed and reversing, not over the master nor a lost position", () => {
    const { control } = make({}, { field: [box(100, 100, 110, 110)] });
    expect(control.update(at(0)).reasons).toEqual(["outside-field", "outside-field"]);
    control.setOverride(0, "on");
    expect(control.update(at(0.1))).toMatchObject({ ordered: [true, false], reasons: ["on-by-hand", "outside-field"] });
    expect(control.update(at(0.2, { speed: 0 })).ordered).toEqual([true, false]);
    expect(control.update(at(0.3, { usable: false }))).toMatchObject({ ordered: [false, false] });
    control.update(at(1));
    expect(control.setMaster(false)).toMatchObject({ ordered: [false, false], reasons: ["master-off", "master-off"] });
    expect(control.update(at(1.1)).reasons).toEqual(["master-off", "master-off"]);
    control.setMaster(true);
    expect(control.update(at(2)).ordered).toEqual([true, false]);
  });

  test("counts every order", () => {
    const { control } = make();
    control.update(at(0));
    control.setOverride(0, "off");
    control.setOverride(0, "off");
    control.setOverride(0, "auto");
    expect(control.update(at(5)).switches).toEqual([3, 1]);
  });

  test("refuses a section that is none", () => {
    const { control } = make();
    expectCode(() => control.setOverride(2, "off"), "out-of-range");
    expectCode(() => control.setOverride(0.5, "off"), "out-of-range");
    expectCode(() => control.setOverride(0, "maybe" as never), "out-of-range");
  });
});

describe("zones", () => {
  test("an obstacle and a closed zone turn off, each with its reason", () => {
    const field: Polygon = { exterior: box(-50, -50, 50, 100).exterior, holes: [box(-50, 20, 50, 30).exterior] };
    const { control, coverage } = make({}, { field: [field], closed: [box(-1, 50, 10, 60)] }, [0, 0]);
    const orders = run(control, north, 0, 40, 10);
    const off = orders.filter((order) => !order.on);
    expect(off.map((order) => order.reason)).toEqual(["outside-field", "outside-field", "closed-zone", "closed-zone"]);
    expect(coverage.isCovered(0.5, 25)).toBe(false);
    expect(coverage.isCovered(0.5, 55)).toBe(false);
    expect(coverage.isCovered(0.5, 45)).toBe(true);
  });

  test("an obstacle that fits between two fixes is not driven over", () => {
    // 1 Hz at 4 m/s, an obstacle 0.7 m deep at any phase
    for (let phase = 0; phase < 4; phase += 0.37) {
      const hole = box(-2, 30 + phase, 2, 30.7 + phase);
      const field: Polygon = { exterior: box(-50, -50, 50, 200).exterior, holes: [hole.exterior] };
      const { control, coverage } = make({}, { field: [field] }, [0.6, 0.3]);
      run(control, { ...north, speed: 4 }, 0, 20, 1);
      expect(coverage.coveredShare(-2, 30 + phase, 2, 30 + phase, 2, 30.7 + phase, -2, 30.7 + phase)).toBe(0);
      expect(coverage.isCovered(0, 20) && coverage.isCovered(0, 45)).toBe(true);
    }
  });

  test("outside tolerance lets that much of the width lie outside, and at 1 turns off once all does", () => {
    // a boundary along the way: the right section lies outside by 0.6 m of 3
    for (const [outsideTolerance, on] of [
      [0, false],
      [0.19, false],
      [0.21, true],
    ] as const) {
      const { control } = make({ outsideTolerance }, { field: [box(-50, -50, 2.4, 100)] });
      expect(control.update(at(0)).ordered).toEqual([true, on]);
    }
    const { control } = make({ outsideTolerance: 1 }, { field: [box(-50, -50, 0, 100)] });
    expect(control.update(at(0)).ordered).toEqual([true, false]);
    expect(control.update(at(0.1, { x: -0.1 })).ordered).toEqual([true, true]);
  });

  test("the headland rule works the one, the other or both", () => {
    const more = { headland: [box(-20, 0, 20, 20)], field: [box(-20, 0, 20, 100)] };
    const both = make({}, more, [0, 0]);
    run(both.control, north, 0, 30, 10);
    expect(both.coverage.isCovered(0, 10) && both.coverage.isCovered(0, 40)).toBe(true);

    const mainfield = make({ headlandRule: "mainfield" }, more, [0, 0]);
    mainfield.control.update(at(1));
    expect(mainfield.control.tick(1).reasons).toEqual(["headland", "headland"]);
    const first = run(mainfield.control, north, 1.1, 30, 10);
    expectWithin(first[0]!.time, 10, 0.051);

    const headland = make({ headlandRule: "headland" }, more, [0, 0]);
    const second = run(headland.control, north, 1, 30, 10);
    const off = second.find((order) => !order.on)!;
    expect(off.reason).toBe("mainfield");
    expectWithin(off.time, 10, 0.051);
    headland.control.setHeadlandRule("both");
    expect(headland.control.update(at(30.1)).ordered).toEqual([true, true]);
    expectCode(() => headland.control.setHeadlandRule("none" as never), "out-of-range");
  });
});

describe("settings", () => {
  test("out of range are refused by name", () => {
    for (const [name, value, code] of [
      ["overlapTolerance", 1.1, "out-of-range"],
      ["outsideTolerance", -0.1, "out-of-range"],
      ["minimumSpeed", Number.NaN, "not-finite"],
      ["minimumOnTime", -1, "out-of-range"],
      ["maximumAge", 0, "out-of-range"],
      ["headlandRule", "some", "out-of-range"],
    ] as const) {
      expect(expectCode(() => make({ [name]: value }), code).argument).toBe(`settings.${name}`);
    }
    expectCode(() => new SectionControl({ coverage: new CoverageRecord() } as never), "wrong-state");
    expectCode(() => new SectionControl({ boom: boom({ sections: evenSections(3, 1) }) } as never), "wrong-state");
  });
});
