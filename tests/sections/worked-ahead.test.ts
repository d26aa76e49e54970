import { describe, expect, it } from "vitest";
import type { CoverageRecord } from "../../src/coverage/index.js";
import { Carrier } from "../../src/sections/carrier.js";
import type { InTheAir } from "../../src/sections/in-the-air.js";
import { boom, type SectionDefinition } from "../../src/sections/index.js";
import { SweptGround } from "../../src/sections/swept-ground.js";
import { ToolLine } from "../../src/sections/tool-line.js";
import { WorkedAhead } from "../../src/sections/worked-ahead.js";
import { expectWithin } from "../helpers/within.js";

const RADIANS = Math.PI / 180;
const ROUNDING = 1e-9;
/** Four sections of 1 m on one row. */
const FOUR: SectionDefinition[] = [-2, -1, 0, 1].map((left) => ({ left, right: left + 1 }));
/** Cells of half a metre: a line is clear of fresh ground 0.375 m ahead of it, exactly. */
const CELL = 0.5;
const CLEAR = 0.375;
/** North of the fronts. */
const FRONT = 10;

interface Setting {
  sections?: SectionDefinition[];
  footprint?: number;
  speed?: number;
  yawRate?: number;
  /** degrees that the whole scene is turned to the right */
  turned?: number;
  /** what is worked: a strip along the travel, metres right of the middle, and from and to where along it */
  worked?: readonly [left: number, right: number];
  from?: number;
  to?: number;
  /** share under way of a section's line, and of how deep a line it was asked */
  air?: (i: number, deep: number) => number;
}

/** A tool that stands at its fronts, 10 m north, in a record that has one strip worked; and what it asked of that record. */
class Scene {
  readonly swept: SweptGround;
  readonly worked: WorkedAhead;
  /** what was asked, metres right and north of each corner in turn, in the frame before it is turned */
  readonly asked: { how: string; corners: number[] }[] = [];
  readonly depths: number[] = [];
  private readonly s: number;
  private readonly c: number;

  constructor(private readonly setting: Setting) {
    const { sections = FOUR, footprint = 0, speed = 2, yawRate = 0, turned = 0, air } = setting;
    this.s = Math.sin(turned * RADIANS);
    this.c = Math.cos(turned * RADIANS);
    const tool = boom({ sections, allowGaps: true });
    this.swept = new SweptGround(tool);
    const record = {
      cellSize: CELL,
      coveredAlong: (...ends: number[]) => this.read("along", ends),
      coveredPieces: (ends: Float64Array, cuts: Float64Array, shares: Float64Array) => {
        this.read("pieces", [...ends]);
        const corners = this.corners([...ends]);
        const width = corners[2]! - corners[0]!;
        let sum = 0;
        for (let k = 0; k < shares.length; k++) {
          const left = corners[0]! + cuts[2 * k]! * width;
          const right = corners[0]! + cuts[2 * k + 1]! * width;
          shares[k] = (this.within(left, right, corners[1]!) * (right - left)) / width;
          sum += shares[k]!;
        }
        return snap(sum);
      },
      coveredShare: (...corners: number[]) => this.read("share", corners),
    } as unknown as CoverageRecord;
    const inTheAir = {
      possible: air !== undefined,
      share: (i: number, _: ToolLine, deep: number) => {
        this.depths.push(deep);
        return air!(i, deep);
      },
    } as unknown as InTheAir;
    this.worked = new WorkedAhead(tool, record, this.swept, inTheAir, footprint);
    const carrier = new Carrier();
    carrier.take({ time: 0, x: 0, y: 0, heading: turned, speed, yawRate, usable: true });
    const now = this.line(FRONT - (sections[0]!.x ?? 0), 0, sections[0]!.x ?? 0);
    this.swept.restart(now);
    this.worked.prepare(carrier, now);
  }

  /** A line so far north, with room for metres of so many sections. */
  line(north: number, room = 0, x = 0): ToolLine {
    const line = new ToolLine(room);
    line.place(north * this.s, north * this.c, this.s, this.c, x);
    return line;
  }

  /** Move the front of an edge by metres right and north. */
  moveFront(edge: number, right: number, north: number): this {
    this.swept.frontX[edge]! += right * this.c + north * this.s;
    this.swept.frontY[edge]! += north * this.c - right * this.s;
    return this;
  }

  metres(line: ToolLine, count = 4): number[] {
    return Array.from({ length: count }, (_, i) => snap(this.worked.metres(i, line)));
  }

  /** The one question of the last call, rounded. */
  question(): string {
    expect(this.asked).toHaveLength(1);
    return text(this.asked[0]!);
  }

  private corners(xy: readonly number[]): number[] {
    const { s, c } = this;
    return xy.map((_, k) => (k % 2 === 0 ? snap(xy[k]! * c - xy[k + 1]! * s) : snap(xy[k - 1]! * s + xy[k]! * c)));
  }

  private within(left: number, right: number, north: number): number {
    const { worked = [0, 0], from = Number.NEGATIVE_INFINITY, to = Number.POSITIVE_INFINITY } = this.setting;
    if (north < from || north > to) return 0;
    const overlap = Math.min(Math.max(left, right), worked[1]) - Math.max(Math.min(left, right), worked[0]);
    return snap(Math.max(0, overlap) / Math.abs(right - left));
  }

  private read(how: string, xy: number[]): number {
    const corners = this.corners(xy);
    this.asked.push({ how, corners });
    return this.within(corners[0]!, corners[2]!, corners[1]!);
  }
}

/** Without the rounding of turned scenes. */
function snap(value: number): number {
  return Math.round(value * 1e9) / 1e9 + 0;
}

function text(question: { how: string; corners: number[] }): string {
  return `${question.how} ${question.corners.join(" ")}`;
}

const TURNS = [0, 90, 143, 286];

describe("metres on worked ground, clear of what has just been worked", () => {
  it("are told of a whole row by one walk along it", () => {
    for (const turned of TURNS) {
      const scene = new Scene({ worked: [-0.25, 1.5], turned });
      const line = scene.line(11, 4);
      expect(scene.metres(line), `${turned}`).toEqual([0, 0.25, 1, 0.5]);
      expect(scene.question()).toBe("pieces -2 11 2 11");
      expect(line.covered).toBe(2);
    }
  });

  it("are nothing or all by that one walk too", () => {
    for (const [worked, covered] of [
      [[5, 6], 0],
      [[-2, 2], 1],
    ] as const) {
      const scene = new Scene({ worked });
      const line = scene.line(11, 4);
      expect(scene.metres(line)).toEqual([covered, covered, covered, covered]);
      expect(scene.asked).toHaveLength(1);
      expect(line.covered).toBe(covered);
    }
    const wide = new Scene({ worked: [-2, 2], sections: [{ left: -2, right: 0.5 }] });
    expect(wide.metres(wide.line(11, 1), 1)).toEqual([2.5]);
  });

  it("leave out gaps, and are of each row by itself", () => {
    const sections: SectionDefinition[] = [
      { left: -3, right: -2, x: 1 },
      { left: -1.5, right: -1, x: -2 },
      { left: -1, right: 1, x: 1 },
      { left: 1, right: 3, x: -2 },
    ];
    for (const turned of TURNS) {
      const scene = new Scene({ sections, worked: [-2.5, 2], turned });
      const front = scene.line(11, 4, 1);
      const behind = scene.line(11, 4, -1.5);
      expect([snap(scene.worked.metres(2, front)), snap(scene.worked.metres(0, front))]).toEqual([2, 0.5]);
      expect([snap(scene.worked.metres(1, behind)), snap(scene.worked.metres(3, behind))]).toEqual([0.5, 1]);
      expect(scene.asked.map(text)).toEqual(["pieces -3 12 1 12", "pieces -1.5 9.5 3 9.5"]);
    }
  });

  it("are asked of a line for one section as a whole first, then of that section alone", () => {
    for (const turned of TURNS) {
      const scene = new Scene({ worked: [0.25, 5], turned });
      const probe = scene.line(11);
      expect(snap(scene.worked.metres(2, probe))).toBe(0.75);
      expect(scene.asked.map(text)).toEqual(["along -2 11 2 11", "along 0 11 1 11"]);
      expect(probe.covered).toBe(0.5);
      const wide = new Scene({ worked: [-3, 0], sections: [{ left: -4, right: 2 }], turned });
      expect(snap(wide.worked.metres(0, wide.line(11)))).toBe(3);
      const all = new Scene({ worked: [-5, 5], turned });
      expect(all.metres(all.line(11))).toEqual([1, 1, 1, 1]);
      expect(all.question()).toBe("along -2 11 2 11");
    }
  });

  it("are of a footprint the share of its rectangle ahead, by halves of the row until one answer does", () => {
    for (const turned of TURNS) {
      const scene = new Scene({ worked: [0.25, 5], footprint: 3, turned });
      const line = scene.line(11, 4);
      expect(scene.metres(line)).toEqual([0, 0, 0.75, 1]);
      expect(scene.asked.map(text), `${turned}`).toEqual([
        "share -2 11 2 11 2 14 -2 14",
        "share -2 11 0 11 0 14 -2 14",
        "share 0 11 2 11 2 14 0 14",
        "share 0 11 1 11 1 14 0 14",
        "share 1 11 2 11 2 14 1 14",
      ]);
    }
    const left = new Scene({
      worked: [-5, 0],
      footprint: 3,
      sections: [{ left: -3, right: -0.5 }, ...FOUR.slice(3)].map((s) => ({ ...s })),
    });
    expect(left.metres(left.line(11, 2), 2)).toEqual([2.5, 0]);
    const five: SectionDefinition[] = [-3, -2, 0, 1, 3].map((at, k) => ({ left: at, right: [-2, 0, 1, 3, 4][k]! }));
    const most = new Scene({ worked: [-5, 1.5], footprint: 1, sections: five });
    expect(most.metres(most.line(11, 5), 5)).toEqual([1, 2, 1, 0.5, 0]);
    // three halves of the row to the left are one answer
    expect(most.asked).toHaveLength(5);
  });

  it("are of a footprint all or nothing by one answer, and in reverse of the rectangle behind", () => {
    for (const [worked, covered] of [
      [[5, 6], 0],
      [[-2, 2], 1],
    ] as const) {
      const scene = new Scene({ worked, footprint: 2, speed: -1 });
      const line = scene.line(9, 4);
      expect(scene.metres(line)).toEqual([covered, covered, covered, covered]);
      expect(scene.question()).toBe("share -2 9 2 9 2 7 -2 7");
      expect(line.covered).toBe(covered);
    }
    // at a standstill ahead
    const standing = new Scene({ footprint: 2, speed: 0 });
    standing.metres(standing.line(11, 4));
    expect(standing.question()).toBe("share -2 11 2 11 2 13 -2 13");
  });

  it("are of a footprint, of one section or for one alone, asked of that section by itself where it is in part", () => {
    const one = new Scene({ worked: [0.5, 5], footprint: 2, sections: [{ left: 0, right: 1 }] });
    const line = one.line(11, 1);
    expect(one.metres(line, 1)).toEqual([0.5]);
    expect(line.covered).toBe(0.5);
    const probe = new Scene({ worked: [0.5, 5], footprint: 2 });
    expect(snap(probe.worked.metres(2, probe.line(11)))).toBe(0.5);
    expect(probe.asked).toHaveLength(2);
  });
});

describe("a line near fresh ground", () => {
  it("is clear of it from three quarters of a cell on, at both ends of the row", () => {
    for (const [speed, sign] of [
      [2, 1],
      [0, 1],
      [-2, -1],
    ] as const) {
      const at = (ahead: number): string[] => {
        const scene = new Scene({ speed });
        scene.metres(scene.line(FRONT + sign * ahead, 4));
        return scene.asked.map((question) => question.how);
      };
      expect(at(CLEAR), `${speed}`).toEqual(["pieces"]);
      expect(at(CLEAR - 1e-6)).toEqual(["along", "along", "along", "along"]);
    }
    for (const turned of TURNS) {
      for (const edge of [0, 4, 2]) {
        const scene = new Scene({ turned }).moveFront(edge, 0, 0.3);
        scene.metres(scene.line(FRONT + 0.5, 4));
        expect(scene.asked, `${edge}`).toHaveLength(edge === 2 ? 1 : 4);
        // to the side is no matter
        const aside = new Scene({ turned }).moveFront(edge, 3, 0);
        aside.metres(aside.line(FRONT + 0.5, 4));
        expect(aside.asked).toHaveLength(1);
      }
    }
  });

  it("is asked section by section also where the fronts lie on no line", () => {
    const scene = new Scene({ worked: [0.5, 1.25] });
    scene.swept.straight = false;
    expect(scene.metres(scene.line(11, 4))).toEqual([0, 0, 0.5, 0.25]);
    expect(scene.asked.map(text)[1]).toBe("along -1 11 0 11");
  });

  /** Where the ends of section 1, -1 to 0, are taken for a line so far ahead of the fronts. */
  const ends = (setting: Setting, ahead: number, change?: (scene: Scene) => void): string => {
    const scene = new Scene(setting);
    change?.(scene);
    scene.worked.metres(1, scene.line(FRONT + ahead));
    return scene.question();
  };

  it("is moved on until it is clear, each end by itself", () => {
    for (const turned of TURNS) {
      expect(ends({ turned }, 0.25), `${turned}`).toBe("along -1 10.375 0 10.375");
      expect(ends({ turned }, -0.25)).toBe("along -1 10.375 0 10.375");
      // clear already, where others are not
      expect(ends({ turned }, 0.5, (scene) => scene.moveFront(0, 0, 0.5))).toBe("along -1 10.5 0 10.5");
      expect(ends({ turned, speed: -2 }, -0.25)).toBe("along -1 9.625 0 9.625");
      expect(ends({ turned, speed: 0 }, 0.25)).toBe("along -1 10.375 0 10.375");
      // the edge to the left of section 1 is the second, to its right the third
      expect(ends({ turned }, 0.25, (scene) => scene.moveFront(1, 0, 0.25))).toBe("along -1 10.625 0 10.375");
      expect(ends({ turned }, 0.25, (scene) => scene.moveFront(2, 0, 0.25))).toBe("along -1 10.375 0 10.625");
      expect(ends({ turned, footprint: 1 }, 0.25)).toBe("share -1 10.375 0 10.375 0 11.375 -1 11.375");
    }
  });

  it("is left where it is farther than 0.75 m from the front: that is another one's", () => {
    expect(ends({}, -0.75)).toBe("along -1 10.375 0 10.375");
    expect(ends({}, -0.7501)).toBe("along -1 9.2499 0 9.2499");
    // 0.6 m aside and 0.45 m behind are 0.75 m
    const aside = (right: number, north: number) => (scene: Scene) => scene.moveFront(1, right, north);
    for (const turned of TURNS) {
      expect(ends({ turned }, 0.25, aside(0.5, 0.5))).toBe("along -1 10.875 0 10.375");
      expect(ends({ turned }, 0.25, aside(-0.5, 0.5))).toBe("along -1 10.875 0 10.375");
      expect(ends({ turned }, 0.25, aside(0.72, 0.5))).toBe("along -1 10.25 0 10.375");
      expect(ends({ turned }, 0.25, aside(-0.72, 0.5))).toBe("along -1 10.25 0 10.375");
    }
  });

  it("is moved to a limit where an edge runs backwards, by a tenth of the speed", () => {
    // turning on the spot of an edge: the right edge of [0, 4] stands at v / 4 rad/s
    const sections: SectionDefinition[] = [{ left: -4, right: 4 }];
    const question = (speed: number, factor: number): string => {
      const scene = new Scene({ sections, speed, yawRate: ((speed / 4) * factor) / RADIANS });
      scene.worked.metres(0, scene.line(FRONT + (speed < 0 ? -0.25 : 0.25)));
      return scene.question();
    };
    expect(question(2, 1)).toBe("along -4 10.375 4 10.375");
    expect(question(2, 1.099)).toBe("along -4 10.375 4 10.375");
    expect(question(2, 1.101)).toBe("along -4 10.375 4 10.25");
    expect(question(2, -1.101)).toBe("along -4 10.25 4 10.375");
    expect(question(-2, 1.099)).toBe("along -4 9.625 4 9.625");
    expect(question(-2, 1.101)).toBe("along -4 9.625 4 9.75");
    expect(question(-2, -1.101)).toBe("along -4 9.75 4 9.625");
    // at a standstill by as little as it runs
    expect(ends({ speed: 0 }, 0.25)).toBe("along -1 10.375 0 10.375");
    expect(ends({ speed: 0, yawRate: 10 }, 0.25)).toBe("along -1 10.375 0 10.375");
    expect(ends({ speed: 0, yawRate: -10 }, 0.25)).toBe("along -1 10.25 0 10.375");
  });
});

describe("what is under way", () => {
  it("comes on top of what the record has, but not over the whole width", () => {
    const scene = new Scene({
      worked: [0.25, 9],
      sections: FOUR.map((s) => ({ left: 2 * s.left, right: 2 * s.right })),
      air: (i) => i / 10,
    });
    expect(scene.metres(scene.line(11, 4))).toEqual([0, 0.2, 2.15, 2]);
    // not asked of a section that is worked already
    expect(scene.depths).toEqual([0, 0, 0]);
  });

  it("is taken at three depths of a footprint, behind in reverse", () => {
    for (const speed of [2, 0, -2]) {
      const sign = speed < 0 ? -1 : 1;
      const scene = new Scene({
        footprint: 3,
        speed,
        sections: [{ left: -1, right: 1 }],
        air: (_, deep) => Math.abs(deep) / 5,
      });
      // 0.5, 1.5 and 2.5 m: 0.3 on average
      expectWithin(scene.worked.metres(0, scene.line(FRONT + sign, 1)), 0.6, ROUNDING);
      expect(scene.depths).toEqual([0.5 * sign, 1.5 * sign, 2.5 * sign]);
    }
  });
});
