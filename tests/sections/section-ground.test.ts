import { afterEach, describe, expect, it, vi } from "vitest";
import type { CoverageRecord } from "../../src/coverage/index.js";
import type { Polygon } from "../../src/geometry/index.js";
import { Carrier } from "../../src/sections/carrier.js";
import { InTheAir } from "../../src/sections/in-the-air.js";
import { boom, type SectionDefinition, type SectionSettings } from "../../src/sections/index.js";
import { OrderBook } from "../../src/sections/order-book.js";
import { SectionGround } from "../../src/sections/section-ground.js";
import { resolveSettings } from "../../src/sections/section-settings.js";
import { SweptGround } from "../../src/sections/swept-ground.js";
import { ToolLine } from "../../src/sections/tool-line.js";
import { WorkedAhead } from "../../src/sections/worked-ahead.js";
import { Zone } from "../../src/sections/zone.js";
import { expectWithin } from "../helpers/within.js";

const ROUNDING = 1e-9;
/** Two sections of 2 m on one row. */
const TWO: SectionDefinition[] = [-2, 0].map((left) => ({ left, right: left + 2 }));
const ONE: SectionDefinition[] = [{ left: 0, right: 2 }];

const rectangle = (west: number, south: number, east: number, north: number): Polygon => ({
  exterior: [
    [west, south],
    [east, south],
    [east, north],
    [west, north],
  ],
  holes: [],
});
/** A field that ends 10 m east. */
const FIELD = [rectangle(-100, -100, 10, 100)];

interface Setting {
  sections?: SectionDefinition[];
  settings?: SectionSettings;
  field?: Polygon[];
  headland?: Polygon[];
  closed?: Polygon[];
  cellSize?: number;
  speed?: number;
  yawRate?: number;
}

/** The rule of a tool that stands at the origin, heading north. */
class Scene {
  readonly carrier = new Carrier();
  readonly ground: SectionGround;
  /** how the record was asked */
  readonly asked: string[] = [];

  constructor(private readonly setting: Setting = {}) {
    const { sections = TWO, settings = {}, field, headland = [], closed = [], cellSize = 0.1 } = setting;
    const tool = boom({ sections, allowGaps: true });
    const note = (how: string) => () => {
      this.asked.push(how);
      return 0.5;
    };
    const coverage = {
      cellSize,
      coveredAlong: note("along"),
      coveredShare: note("share"),
      coveredPieces: note("pieces"),
    } as unknown as CoverageRecord;
    const { speed = 2, yawRate = 0 } = setting;
    this.carrier.take({ time: 0, x: 3, y: 4, heading: 0, speed, yawRate, usable: true });
    this.ground = new SectionGround(
      tool,
      {
        field,
        headland,
        closed,
        coverage,
        swept: new SweptGround(tool),
        orders: new OrderBook(tool.sections.length),
      },
      resolveSettings(settings),
      this.carrier,
    );
    // far enough for every line asked for
    this.ground.prepare(0, 100, this.line(0));
  }

  /** A line so far east and north, that goes the way the carrier goes. */
  line(east: number, north = 0, room = 0): ToolLine {
    const line = new ToolLine(room);
    line.place(east, north, 0, 1, 0);
    line.ahead = 1;
    line.speed = this.setting.speed ?? 2;
    line.turn = 0;
    return line;
  }

  boundary(i: number, east: number, north = 0): string {
    return this.ground.boundary(i, this.line(east, north));
  }

  inside(i: number, east: number, north = 0, on = false): string {
    return this.ground.inside(i, this.line(east, north), on);
  }
}

/** Metres on worked ground, whatever the record has. */
function workedBy(metres: number): void {
  vi.spyOn(WorkedAhead.prototype, "metres").mockReturnValue(metres);
}

/** Reaches that zones were got ready for, and shares that they were asked for. */
function zoneCalls() {
  const prepared = vi.spyOn(Zone.prototype, "prepare");
  const shared = vi.spyOn(Zone.prototype, "share");
  return {
    reaches: () => prepared.mock.calls.map((call) => call[2]),
    places: () => prepared.mock.calls.map(([x, y]) => [x, y]),
    shares: () => shared.mock.calls.length,
    clear: () => {
      prepared.mockClear();
      shared.mockClear();
    },
  };
}

afterEach(() => vi.restoreAllMocks());

describe("worked ground that a section may land on", () => {
  /** The most metres with which it is `working`, found by halving. */
  const most = (setting: Setting, on: boolean, i = 0): number => {
    const scene = new Scene(setting);
    const { ground } = scene;
    const line = scene.line(0);
    let [low, high] = [0, 10];
    const metres = vi.spyOn(WorkedAhead.prototype, "metres");
    for (let k = 0; k < 60; k++) {
      const middle = (low + high) / 2;
      metres.mockReturnValue(middle);
      if (ground.inside(i, line, on) === "working") low = middle;
      else high = middle;
    }
    return low;
  };

  it("is the tolerated share of its width, a quarter of a cell apart for on and off", () => {
    const at = (overlapTolerance: number, on: boolean): number => most({ settings: { overlapTolerance } }, on, 1);
    expectWithin(at(0.5, false), 1 - 0.0125, ROUNDING);
    expectWithin(at(0.5, true), 1 + 0.0125, ROUNDING);
    expectWithin(at(0.1, false), 0.2 - 0.0125, ROUNDING);
    expectWithin(at(0.1, true), 0.2 + 0.0125, ROUNDING);
    // a sliver of half a cell, or of three quarters, is nothing, and all but it is all
    expectWithin(at(0, false), 0.05, ROUNDING);
    expectWithin(at(0, true), 0.075, ROUNDING);
    expectWithin(at(1, false), 2 - 0.075, ROUNDING);
    expectWithin(at(1, true), 2 - 0.05, ROUNDING);
    expectWithin(most({ cellSize: 0.2 }, false), 0.1, ROUNDING);
  });

  it("may be just as much as is tolerated", () => {
    const scene = new Scene({ cellSize: 0.25, settings: { overlapTolerance: 0.5 } });
    workedBy(1 - 0.03125);
    expect(scene.inside(0, 0)).toBe("working");
    workedBy(1 + 0.03125);
    expect([scene.inside(0, 0), scene.inside(0, 0, 0, true)]).toEqual(["worked-already", "working"]);
  });

  it("of a section narrower than five cells counts a fifth of its width for a cell", () => {
    const narrow = (width: number, on: boolean) => most({ sections: [{ left: 3, right: 3 + width }] }, on);
    expectWithin(narrow(0.2, false), 0.02, ROUNDING);
    expectWithin(narrow(0.2, true), 0.03, ROUNDING);
    expectWithin(narrow(0.5, true), 0.075, ROUNDING);
    expectWithin(narrow(0.6, true), 0.075, ROUNDING);
  });

  it("leaves out a sliver more where a neighbour on another row has the same edge", () => {
    const row = (...x: number[]): SectionDefinition[] => x.map((x, i) => ({ left: 2 * i, right: 2 * i + 2, x }));
    const limits = (sections: SectionDefinition[], i: number, overlapTolerance = 0): number[] => [
      Math.round(most({ sections, settings: { overlapTolerance } }, false, i) * 1e6) / 1e6,
      Math.round(most({ sections, settings: { overlapTolerance } }, true, i) * 1e6) / 1e6,
    ];
    const ALONE = [0.05, 0.075];
    const BESIDE = [0.05 + 0.075, 0.075 + 0.075];
    const staggered = row(0, -1, -1, -1, 0);
    expect([0, 1, 2, 3, 4].map((i) => limits(staggered, i))).toEqual([BESIDE, BESIDE, ALONE, BESIDE, BESIDE]);
    expect(limits(row(0, -1), 0, 1)).toEqual([2 - 0.075 - 0.075, 2 - 0.05 - 0.075]);
    expect(limits(row(0, 0), 0, 1)).toEqual([2 - 0.075, 2 - 0.05]);
    expect(limits(row(0, 0), 0)).toEqual(ALONE);
    // apart from each other they have no edge in common
    const apart: SectionDefinition[] = [
      { left: 0, right: 2, x: 0 },
      { left: 2.5, right: 4.5, x: -1 },
    ];
    expect([limits(apart, 0), limits(apart, 1)]).toEqual([ALONE, ALONE]);
  });

  it("is of its line, or of its footprint by area", () => {
    const how = (settings: SectionSettings): string => {
      const scene = new Scene({ settings, sections: ONE });
      expect(scene.inside(0, 5, 5)).toBe("worked-already");
      return scene.asked[0]!;
    };
    expect(how({})).toBe("along");
    expect(how({ footprintLength: 3 })).toBe("along");
    expect(how({ overlapBy: "area" })).toBe("share");
  });
});

describe("the field's boundary", () => {
  /** Of a section of 2 m, the most metres outside the field that it may have. */
  const out = (outsideTolerance: number): number => {
    const scene = new Scene({ sections: ONE, field: FIELD, settings: { outsideTolerance } });
    let [low, high] = [0, 2.5];
    for (let k = 0; k < 50; k++) {
      const middle = (low + high) / 2;
      if (scene.boundary(0, 8 + middle) === "working") low = middle;
      else high = middle;
    }
    return low;
  };

  it("leaves out the tolerated share of the width, to a millimetre", () => {
    expectWithin(out(0), 1e-3, ROUNDING);
    expectWithin(out(0.3), 0.6, ROUNDING);
    expectWithin(out(1), 2 - 1e-3, ROUNDING);
  });

  it("and a closed zone may take just as much as is tolerated", () => {
    const at = (closed: Polygon[], east: number): string =>
      new Scene({ sections: ONE, field: FIELD, closed, settings: { outsideTolerance: 0.25 } }).boundary(0, east);
    expect(at([], 8.5)).toBe("working");
    expect(at([rectangle(0, -1, 0.5, 1)], 0)).toBe("working");
    expect(at([rectangle(8, -1, 8.25, 1)], 8)).toBe("working");
    expect(at([rectangle(8, -1, 8.25, 1)], 8.25)).toBe("working");
  });

  it("is asked of the row once, and of a section only where the row is neither inside nor outside", () => {
    const calls = zoneCalls();
    const scene = new Scene({ field: FIELD });
    const ask = (east: number): string[] => {
      const line = scene.line(east);
      calls.clear();
      return [0, 1, 1].map((i) => `${scene.ground.boundary(i, line)} ${calls.shares()} ${line.inField}`);
    };
    expect(ask(0)).toEqual(["working 1 1", "working 1 1", "working 1 1"]);
    expect(ask(20)).toEqual(["outside-field 1 0", "outside-field 1 0", "outside-field 1 0"]);
    expect(ask(9)).toEqual(["working 2 0.5", "outside-field 3 0.5", "outside-field 4 0.5"]);
    expect(ask(11)).toEqual(["outside-field 2 0.5", "outside-field 3 0.5", "outside-field 4 0.5"]);
  });

  it("is of each row by itself", () => {
    const sections: SectionDefinition[] = [
      { left: -4, right: -2, x: 0 },
      { left: -2, right: 0, x: -1 },
      { left: 0, right: 2, x: 0 },
      { left: 2, right: 4, x: -1 },
    ];
    const scene = new Scene({ sections, field: FIELD });
    const front = scene.line(7.5);
    expect([0, 2].map((i) => scene.ground.boundary(i, front))).toEqual(["working", "working"]);
    expect(front.inField).toBe(1);
    const behind = scene.line(7.5);
    expect([1, 3].map((i) => scene.ground.boundary(i, behind))).toEqual(["working", "outside-field"]);
    expect(behind.inField).toBe(0.5);
    const left = scene.line(-97);
    expect([0, 2].map((i) => scene.ground.boundary(i, left))).toEqual(["outside-field", "working"]);
    const right = scene.line(-98);
    expect([1, 3].map((i) => scene.ground.boundary(i, right))).toEqual(["working", "working"]);
    expect(right.inField).toBe(1);
  });

  it("is taken across the line, whatever its heading", () => {
    const scene = new Scene({ field: [rectangle(0, 0, 10, 10)], sections: ONE });
    const along = (east: number, north: number, s: number, c: number): string => {
      const line = scene.line(0);
      line.place(east, north, s, c, 0);
      return scene.ground.boundary(0, line);
    };
    // heading east the right is south, heading west north
    expect([along(5, 1, 1, 0), along(5, 3, 1, 0), along(5, 9, -1, 0), along(5, 7, -1, 0)]).toEqual([
      "outside-field",
      "working",
      "outside-field",
      "working",
    ]);
    // heading 36.87 degrees, 2 m to the right are 1.6 m east and 1.2 m south
    expect([along(8.3, 5, 0.6, 0.8), along(8.5, 5, 0.6, 0.8)]).toEqual(["working", "outside-field"]);
    expect([along(5, 1.3, 0.6, 0.8), along(5, 1.1, 0.6, 0.8)]).toEqual(["working", "outside-field"]);
    // from 3 m left to 1 m left of the middle, heading east: from 3 m to 1 m north of it
    const left = new Scene({ field: [rectangle(0, 0, 10, 10)], sections: [{ left: -3, right: -1 }] });
    const north = (north: number): string => {
      const line = left.line(0);
      line.place(5, north, 1, 0, 0);
      return left.ground.boundary(0, line);
    };
    expect([north(-0.9), north(-1.1), north(6.9), north(7.1)]).toEqual([
      "working",
      "outside-field",
      "working",
      "outside-field",
    ]);
  });

  it("is none where there is no field", () => {
    const calls = zoneCalls();
    const scene = new Scene();
    const line = scene.line(1e6);
    expect(scene.ground.boundary(0, line)).toBe("working");
    expect([line.inField, line.inClosed]).toEqual([1, 0]);
    expect([calls.shares(), calls.reaches()]).toEqual([0, []]);
  });
});

describe("a closed zone", () => {
  const closed = [rectangle(0, -1, 1, 1)];

  it("counts as outside, alone and together with what is outside the field", () => {
    const at = (outsideTolerance: number, east: number, field?: Polygon[]): string =>
      new Scene({ sections: ONE, closed, settings: { outsideTolerance }, ...(field && { field }) }).boundary(0, east);
    // from `east` to 2 m beyond it, of which 0 to 1 m are closed
    expect([at(0, 1.001), at(0, 0.9995), at(0, 0.998)]).toEqual(["working", "working", "closed-zone"]);
    expect([at(0, -2.001), at(0, -1.9995), at(0, -1.998)]).toEqual(["working", "working", "closed-zone"]);
    expect([at(0.3, 0.41), at(0.3, 0.39)]).toEqual(["working", "closed-zone"]);
    expect([at(1, 0), at(0.49, 0), at(0.51, 0)]).toEqual(["working", "closed-zone", "working"]);
    // 0.5 m of 2 m outside the field and 0.5 m in the zone
    const field = [rectangle(-10, -10, 2, 10)];
    expect([at(0.51, 0.5, field), at(0.49, 0.5, field), at(0.24, 0.5, field)]).toEqual([
      "working",
      "closed-zone",
      "outside-field",
    ]);
  });

  it("of which all of the row lies inside closes all of it", () => {
    const scene = new Scene({ closed: [rectangle(-50, -50, 50, 50)], settings: { outsideTolerance: 1 } });
    const line = scene.line(0);
    expect([0, 1].map((i) => scene.ground.boundary(i, line))).toEqual(["closed-zone", "closed-zone"]);
    expect([line.inField, line.inClosed]).toEqual([1, 1]);
  });

  it("is asked of the row once, and of a section only where the row is not clear of it", () => {
    const calls = zoneCalls();
    const scene = new Scene({ closed, field: FIELD });
    const ask = (east: number): string[] => {
      const line = scene.line(east);
      calls.clear();
      return [0, 1, 1].map((i) => `${scene.ground.boundary(i, line)} ${calls.shares()} ${line.inClosed}`);
    };
    expect(ask(5)).toEqual(["working 2 0", "working 2 0", "working 2 0"]);
    expect(ask(0)).toEqual(["working 3 0.5", "closed-zone 4 0.5", "closed-zone 5 0.5"]);
    expect(ask(9)).toEqual(["working 3 0", "outside-field 4 0", "outside-field 5 0"]);
  });
});

describe("the headland", () => {
  // all that is north of the line
  const headland = [rectangle(0, -100, 100, 100)];
  const at = (headlandRule: "both" | "headland" | "mainfield", outsideTolerance: number, metres: number): string => {
    workedBy(0);
    return new Scene({ sections: ONE, headland, settings: { headlandRule, outsideTolerance } }).inside(0, metres - 2);
  };

  it("is worked alone, or left out, by share of the width", () => {
    expect([at("both", 0, 0), at("both", 0, 1), at("both", 0, 2)]).toEqual(["working", "working", "working"]);
    expect([at("mainfield", 0, 0), at("mainfield", 0, 0.0009), at("mainfield", 0, 0.0011)]).toEqual([
      "working",
      "working",
      "headland",
    ]);
    expect([at("mainfield", 0.3, 0.59), at("mainfield", 0.3, 0.61), at("mainfield", 1, 2)]).toEqual([
      "working",
      "headland",
      "headland",
    ]);
    expect([at("headland", 0, 2), at("headland", 0, 1.9991), at("headland", 0, 1.9989)]).toEqual([
      "working",
      "working",
      "mainfield",
    ]);
    expect([at("headland", 0.3, 1.41), at("headland", 0.3, 1.39), at("headland", 1, 0)]).toEqual([
      "working",
      "mainfield",
      "mainfield",
    ]);
  });

  it("at the very limit may be worked", () => {
    expect([at("mainfield", 0.25, 0.5), at("headland", 0.25, 1.5)]).toEqual(["working", "working"]);
  });

  it("is looked at before worked ground", () => {
    workedBy(2);
    const scene = new Scene({ headland, settings: { headlandRule: "mainfield" } });
    expect([scene.inside(0, 50), scene.inside(0, -50)]).toEqual(["headland", "worked-already"]);
  });

  it("is taken across the section's own width", () => {
    workedBy(0);
    const scene = new Scene({ headland, settings: { headlandRule: "mainfield" } });
    expect([scene.inside(0, 0), scene.inside(1, 0), scene.inside(1, -2)]).toEqual(["working", "headland", "working"]);
  });
});

describe("zones", () => {
  const closed = [rectangle(50, 50, 51, 51)];
  const headland = [rectangle(60, 60, 61, 61)];
  // farthest corner 5 m from the reference point, and 1 m for what is rounded
  const sections: SectionDefinition[] = [
    { left: -1, right: 1, x: 2 },
    { left: 1, right: 3, x: -4 },
  ];
  const SPAN = 6;

  it("are got ready for as far as the boom will come in the time ahead", () => {
    for (const speed of [2, -2]) {
      const calls = zoneCalls();
      const scene = new Scene({ sections, field: FIELD, closed, headland, speed });
      calls.clear();
      scene.ground.prepare(0, 10, scene.line(0));
      expect(calls.reaches()).toEqual([20 + SPAN, 20 + SPAN]);
      expect(calls.places()).toEqual([
        [3, 4],
        [3, 4],
      ]);
      calls.clear();
      scene.ground.headlandRule = "mainfield";
      scene.ground.prepare(0, 10, scene.line(0));
      expect(calls.reaches()).toEqual([20 + SPAN, 20 + SPAN, 20 + SPAN]);
      vi.restoreAllMocks();
    }
    const left = zoneCalls();
    new Scene({ sections: [{ left: -12, right: 1, x: 5 }], field: FIELD, speed: 0 });
    expect(left.reaches()).toEqual([14]);
  });

  it("are got ready anew for a path that swings farther, and only then", () => {
    workedBy(0);
    const calls = zoneCalls();
    const scene = new Scene({ sections, field: FIELD, headland, settings: { headlandRule: "mainfield" } });
    const asking = [
      (line: ToolLine) => scene.ground.boundary(0, line),
      (line: ToolLine) => scene.ground.inside(0, line, false),
    ];
    for (const ask of asking) {
      scene.carrier.farthest = 0;
      scene.ground.prepare(0, 10, scene.line(0));
      calls.clear();
      scene.carrier.farthest = 20;
      ask(scene.line(0));
      expect(calls.reaches()).toEqual([]);
      scene.carrier.farthest = 20.5;
      ask(scene.line(0));
      expect(calls.reaches()).toEqual([26.5, 26.5]);
      ask(scene.line(0));
      expect(calls.reaches()).toHaveLength(2);
    }
    // where all is known already nothing is got ready
    scene.carrier.farthest = 40;
    const line = scene.line(0);
    line.inField = 1;
    line.inClosed = 0;
    calls.clear();
    expect(scene.ground.boundary(0, line)).toBe("working");
    expect(calls.reaches()).toEqual([]);
  });

  it("are made ready with worked ground and what is in the air", () => {
    const worked = vi.spyOn(WorkedAhead.prototype, "prepare");
    const air = vi.spyOn(InTheAir.prototype, "prepare");
    const scene = new Scene();
    worked.mockClear();
    air.mockClear();
    const line = scene.line(0);
    scene.ground.prepare(7, 3, line);
    expect(worked.mock.calls).toEqual([[scene.carrier, line]]);
    expect(air.mock.calls).toEqual([[7, 3]]);
  });
});

describe("a section that does not move forward", () => {
  it("runs backwards, or stands, by speed and turn at its middle", () => {
    const at = (i: number, speed: number, turn: number, carrier = 2): string => {
      const scene = new Scene({ sections: [0, 2].map((left) => ({ left, right: left + 2 })), speed: carrier });
      const line = scene.line(0);
      line.speed = speed;
      line.turn = turn;
      return scene.ground.boundary(i, line);
    };
    // the middle of section 0 is 1 m to the right, of section 1 3 m
    expect([at(0, 2, 1.99), at(0, 2, 2), at(0, 2, 2.01)]).toEqual(["working", "backwards", "backwards"]);
    expect([at(1, 3, 0.99), at(1, 3, 1), at(1, 3, 1.01)]).toEqual(["working", "backwards", "backwards"]);
    expect([at(1, 3, -9), at(1, -3, 0), at(1, 0, 0)]).toEqual(["working", "backwards", "backwards"]);
    // in reverse the other way round
    expect([at(0, -2, -1.99, -2), at(0, -2, -2, -2), at(0, -2, -2.01, -2)]).toEqual([
      "working",
      "backwards",
      "backwards",
    ]);
    expect([at(0, -2, 9, -2), at(0, 2, 0, -2), at(0, 0.1, 0, 0)]).toEqual(["working", "backwards", "working"]);
  });

  it("is not told on a path that does not tell", () => {
    const scene = new Scene();
    expect([scene.boundary(0, Number.NaN), scene.boundary(0, 0, Number.NaN)]).toEqual(["position", "position"]);
  });
});

describe("the whole rule", () => {
  it("asks the boundary first, then worked ground by whether it is on", () => {
    workedBy(0.06);
    const scene = new Scene({ field: FIELD });
    const at = (east: number, on: boolean): string => scene.ground.verdict(0, scene.line(east), on);
    expect([at(0, true), at(0, false), at(50, true)]).toEqual(["working", "worked-already", "outside-field"]);
  });
});

describe("one look at a row", () => {
  /** A line that is level, and what is changed of it. */
  const level = (change: (line: ToolLine, scene: Scene) => void = () => undefined, setting: Setting = {}): boolean => {
    const scene = new Scene(setting);
    const line = scene.line(0);
    line.inField = 1;
    line.inClosed = 0;
    change(line, scene);
    return scene.ground.level(line);
  };

  it("is level where no boundary, headland or turn is near and it was asked", () => {
    expect(level()).toBe(true);
    expect(level((line) => (line.ahead = 0))).toBe(true);
    expect(level((line) => (line.ahead = -1))).toBe(false);
    for (const inField of [-1, 0, 0.5]) expect(level((line) => (line.inField = inField))).toBe(false);
    for (const inClosed of [-1, 0.5, 1]) expect(level((line) => (line.inClosed = inClosed))).toBe(false);
    for (const rule of ["headland", "mainfield"] as const) {
      expect(level((_, scene) => (scene.ground.headlandRule = rule))).toBe(false);
    }
    const possible = vi.spyOn(InTheAir.prototype, "possible", "get");
    possible.mockReturnValue(true);
    expect(level()).toBe(false);
  });

  it("is level where even its farthest corner moves forward", () => {
    // span 3 m: 2 m and 1 m more
    const turn = (speed: number, turn: number, carrier = 2): boolean =>
      level(
        (line) => {
          line.speed = speed;
          line.turn = turn;
        },
        { speed: carrier },
      );
    expect([turn(3, 0.99), turn(3, 1), turn(3, -0.99), turn(3, -1)]).toEqual([true, false, true, false]);
    expect([turn(-3, 0.99, -2), turn(-3, 1, -2), turn(-3, -0.99, -2), turn(-3, -1, -2)]).toEqual([
      true,
      false,
      true,
      false,
    ]);
    expect([turn(-3, 0), turn(3, 0, -2), turn(0, 0), turn(3, 0, 0), turn(-3, 0, 0)]).toEqual([
      false,
      false,
      false,
      true,
      false,
    ]);
  });

  it("leaves a section free where nothing is worked, or less than it may stay on for", () => {
    const scene = new Scene({ cellSize: 0.25 });
    const line = scene.line(0, 0, 2);
    const free = (i: number, covered: number): boolean => {
      line.covered = covered;
      return scene.ground.free(i, line);
    };
    line.metres.set([3, 3]);
    expect([free(0, 0), free(0, 1), free(0, 0.5), free(0, -1)]).toEqual([true, false, false, false]);
    // three quarters of a cell: exactly 0.1875 m
    line.metres.set([0.1875, 0.1876]);
    expect([free(0, 2), free(1, 2), free(0, 1), free(1, 0)]).toEqual([true, false, false, true]);
  });
});
