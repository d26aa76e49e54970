import { afterEach, describe, expect, it, vi } from "vitest";
import type { CoverageRecord } from "../../src/coverage/index.js";
import { Carrier } from "../../src/sections/carrier.js";
import { InTheAir } from "../../src/sections/in-the-air.js";
import { boom, type SectionDefinition } from "../../src/sections/index.js";
import { OrderBook } from "../../src/sections/order-book.js";
import { ToolLine } from "../../src/sections/tool-line.js";
import { expectWithin } from "../helpers/within.js";
import { poseAt, toolAt } from "./drive.js";

const RADIANS = Math.PI / 180;
const START = 100;

/** Four sections of 1 m on one row. */
const FOUR: SectionDefinition[] = [-2, -1, 0, 1].map((left) => ({ left, right: left + 1 }));

interface Drive {
  sections?: SectionDefinition[];
  /** east, north and heading some time after the fix; in the frame before it is turned */
  path?: ((t: number) => readonly [number, number, number]) | undefined;
  /** s, how far ahead lines are asked for */
  horizon?: number;
  speed?: number;
  yawRate?: number;
  /** degrees that the heading of the fix differs from the path's */
  askew?: number;
  /** metres */
  cellSize?: number;
  /** degrees that the whole scene is turned to the right, and metres that it is moved east and north */
  turned?: number;
  moved?: readonly [number, number];
  isCovered?: (x: number, y: number) => boolean;
}

/** A tool on its way, and what can be asked of it. */
class Scene {
  readonly carrier = new Carrier();
  readonly orders: OrderBook;
  readonly air: InTheAir;
  /** points whose ground the record was asked for */
  readonly asked: [number, number][] = [];
  private readonly rows: number[];

  constructor(drive: Drive) {
    const sections = drive.sections ?? FOUR;
    this.rows = sections.map((section) => section.x ?? 0);
    this.orders = new OrderBook(sections.length);
    const isCovered = (x: number, y: number): boolean => {
      this.asked.push([x, y]);
      return drive.isCovered?.(x, y) ?? false;
    };
    const record = { cellSize: drive.cellSize ?? 0.1, isCovered } as unknown as CoverageRecord;
    this.air = new InTheAir(boom({ sections, allowGaps: true }), record, this.orders, this.carrier);
    this.prepare(drive);
  }

  prepare({ path, turned = 0, moved = [0, 0], horizon = 16, speed = 2, yawRate = 0, askew = 20 }: Drive): void {
    const s = Math.sin(turned * RADIANS);
    const c = Math.cos(turned * RADIANS);
    this.carrier.take({
      time: START,
      x: moved[0],
      y: moved[1],
      heading: turned + (path === undefined ? 0 : askew),
      speed,
      yawRate,
      usable: true,
      path: path && {
        poseAhead: (t, out) => {
          const [east, north, heading] = path(t);
          out.set([moved[0] + east * c + north * s, moved[1] - east * s + north * c, heading + turned]);
        },
      },
    });
    this.air.prepare(START, horizon);
  }

  /** Product of a section lands from one time after the fix to another. */
  works(i: number, from: number, to: number): this {
    this.orders.flip(i, 0, START + from);
    this.orders.flip(i, 0, START + to);
    return this;
  }

  share(i: number, until: number, deep = 0): number {
    const line = new ToolLine();
    this.carrier.put(line, this.rows[i]!, until);
    return this.air.share(i, line, deep);
  }
}

/**
 * North at 2 m/s for 7.5 s and then the same way again, shifted to the right by what `east` says. With the heading of the fix 20 degrees askew and a horizon of
 * 16 s the poses are a second apart: what lies 5.5 m north is passed 0.75 of the way from the third to the fourth, at 2.75 s, again backwards in the jump back from
 * 7 to 8 s, and lands at 10.75 s.
 */
const again =
  (east: (t: number) => number = () => 0) =>
  (t: number): [number, number, number] => [east(t), t < 7.5 ? 2 * t : 2 * (t - 8), 0];
const LANDING = 10.75;
const PASSING = 2.75;
/** of the way to 5.5 m in the jump from 14 m to 0 */
const JUMP = 7 + 8.5 / 14;
const TURNS = [0, 90, 143, 286];

/** Times of the poses that are looked at. */
function posesOf(drive: Drive): { possible: boolean; times: number[] } {
  const put = vi.spyOn(Carrier.prototype, "put");
  const { possible } = new Scene(drive).air;
  const times = put.mock.calls.map((call) => call[2]);
  put.mockRestore();
  return { possible, times };
}

describe("whether ground under way can be met", () => {
  const TWO_ROWS: SectionDefinition[] = [
    { left: -1, right: 0, x: 2 },
    { left: 0, right: 1, x: -1 },
  ];
  const possible = (drive: Drive): boolean => posesOf(drive).possible;

  it("asks for half a degree of turn, and time", () => {
    const bend = (yawRate: number, horizon = 1) => possible({ sections: TWO_ROWS, yawRate, horizon });
    expect(bend(0.5)).toBe(true);
    expect(bend(-0.5)).toBe(true);
    expect(bend(0.49)).toBe(false);
    expect(bend(0.05, 10)).toBe(true);
    expect(bend(0.05, 9)).toBe(false);
    for (const horizon of [0, -16, Number.NaN]) {
      expect(possible({ path: () => [0, 0, 0], askew: 90, horizon }), `${horizon}`).toBe(false);
    }
  });

  it("on one row and one arc asks for 350 degrees", () => {
    expect(possible({ yawRate: 35, horizon: 10 })).toBe(true);
    expect(possible({ yawRate: -35, horizon: 10 })).toBe(true);
    expect(possible({ yawRate: 34.9, horizon: 10 })).toBe(false);
    expect(possible({ path: () => [0, 0, 0], horizon: 10 })).toBe(true);
  });

  it("or for an end that does not run forward", () => {
    const yawRate = 30;
    // 30 degrees/s and 2 m from the middle to the outermost edge, also where both ends lie on one side
    const limit = yawRate * RADIANS * 2;
    const faster = limit * 1.0001;
    for (const lefts of [
      [-2, -1, 0],
      [1, 1.5],
      [-1, 0, 1],
      [-2, -1.5],
    ]) {
      const sections = lefts.map((left, i) => ({ left, right: lefts[i + 1] ?? left + (lefts.length === 3 ? 1 : 0.5) }));
      for (const turn of [yawRate, -yawRate]) {
        for (const sign of [1, -1]) {
          const ends = (speed: number) => possible({ sections, yawRate: turn, speed: sign * speed, horizon: 1 });
          expect(ends(limit), `${lefts} ${turn} ${sign}`).toBe(true);
          expect(ends(faster), `${lefts} ${turn} ${sign}`).toBe(false);
        }
      }
    }
  });

  it("on a path that is given looks at its heading at four times", () => {
    for (const time of [2, 4, 6, 8]) {
      const bend = (angle: number, from = 10) =>
        possible({ path: (t) => [0, t, from + (t === time ? angle : 0)], horizon: 8, askew: from });
      for (const sign of [1, -1]) {
        expect(bend(sign * 0.6), `${time}`).toBe(true);
        expect(bend(sign * 0.4), `${time}`).toBe(false);
        // across north
        expect(bend(sign * 0.4, sign * 359.8), `${time}`).toBe(false);
        expect(bend(sign * 0.6, sign * 359.8), `${time}`).toBe(true);
      }
    }
    const short = posesOf({ path: () => [0, 0, 0], askew: 200, horizon: 8 });
    // 160 degrees the short way: 64 poses and one, after four looks
    expect(short.times).toHaveLength(4 + 65);
  });

  it("looks at a pose each 2.5 degrees, at two at least, at 160 at most, on a path at 16 at least", () => {
    const bend = (yawRate: number, horizon: number) => posesOf({ sections: TWO_ROWS, yawRate, horizon }).times;
    expect(bend(2.5, 4)).toEqual([0, 1, 2, 3, 4]);
    expect(bend(2.6, 4)).toEqual([0, 0.8, 1.6, 2.4000000000000004, 3.2, 4]);
    expect(bend(0.5, 2)).toEqual([0, 1, 2]);
    expect(bend(100, 10)).toHaveLength(161);
    const path = posesOf({ path: () => [0, 0, 0], askew: 1, horizon: 16 }).times;
    expect(path).toEqual([4, 8, 12, 16, ...Array.from({ length: 17 }, (_, k) => k)]);
  });

  it("is asked anew with each tick", () => {
    const drive: Drive = { sections: TWO_ROWS, path: again((t) => (t < 0.5 ? 0 : 0.9)), horizon: 16 };
    const scene = new Scene(drive).works(0, 0, 20);
    expect(scene.air.possible).toBe(true);
    // straight now: the row behind passes under none in front, whatever was seen before
    scene.prepare({ ...drive, path: undefined });
    expect(scene.air.possible).toBe(false);
  });
});

describe("the share of a line under way", () => {
  afterEach(() => vi.restoreAllMocks());

  it("is what a section passes while its product lands, at the instant that it passes", () => {
    for (const turned of TURNS) {
      const scene = (from: number, to: number) =>
        new Scene({ path: again(), turned, moved: [50, -30] }).works(2, from, to).share(2, LANDING);
      const close = 1e-6;
      expect(scene(PASSING - close, PASSING + close), `${turned}`).toBe(1);
      expect(scene(PASSING + close, PASSING + 1)).toBe(0);
      expect(scene(PASSING - 1, PASSING - close)).toBe(0);
      // a jump back passes it too
      expect(scene(JUMP - close, JUMP + close)).toBe(1);
      expect(scene(JUMP + close, LANDING)).toBe(0);
      expect(scene(PASSING + close, JUMP - close)).toBe(0);
    }
  });

  it("is of other sections where the path shifts, between the poses too", () => {
    for (const turned of TURNS) {
      const scene = (i: number) =>
        new Scene({ path: again((t) => (t > 2.5 && t < 7.5 ? 2 : 0)), turned, moved: [-7, 400] })
          .works(i, 2, 3)
          .share(2, LANDING);
      // 1.5 m to the right at the passing: ten points of [0, 1] seen at -1.45 to -0.55
      expect([0, 1, 2, 3].map(scene)).toEqual([0.5, 0.5, 0, 0]);
    }
  });

  it("counts a left edge in and a right edge out, and nothing beyond the ends or in a gap", () => {
    // four points, 0.125 to 0.875 of the metre; a shift between the poses of 1.25 m is 0.625 m half way
    const shifted = (shift: number, i: number, of: number, sections = FOUR) =>
      new Scene({
        sections,
        path: (t) => [t > 2.5 && t < 7.5 ? shift : 0, again()(t)[1], 0],
        cellSize: 0.25,
      })
        .works(of, 2, 3)
        .share(i, 10.5);
    // seen at -0.5, -0.25, 0, 0.25
    expect(shifted(1.25, 2, 2)).toBe(0.5);
    expect(shifted(1.25, 2, 1)).toBe(0.5);
    // at -2.5, -2.25, -2, -1.75
    expect(shifted(1.25, 0, 0)).toBe(0.5);
    // at 1.75, 2, 2.25, 2.5
    expect(shifted(-1.25, 3, 3)).toBe(0.25);
    const apart: SectionDefinition[] = [
      { left: -2, right: -1 },
      { left: -0.25, right: 1 },
    ];
    // of -0.25 to 1 seen 0.9 m to the left, by five points: -1.025, -0.775, -0.525, -0.275, -0.025
    expect(shifted(1.8, 1, 1, apart)).toBe(0.2);
    expect(shifted(1.8, 1, 0, apart)).toBe(0.2);
  });

  it("leaves out what the record has", () => {
    const isCovered = (x: number): boolean => x < 0.3;
    const scene = new Scene({ path: again(), isCovered }).works(2, 2, 3);
    expectWithin(scene.share(2, LANDING), 0.7, 1e-12);
  });

  it("is taken at points a cell apart, four at least and 32 at most, along the line where product lands", () => {
    for (const [cellSize, count] of [
      [0.1, 10],
      [0.15, 7],
      [0.5, 4],
      [0.01, 32],
    ] as const) {
      for (const deep of [0, 0.5]) {
        const scene = new Scene({ path: again(), cellSize, turned: 30 }).works(2, 0, 20);
        expect(scene.share(2, LANDING, deep)).toBe(1);
        expect(scene.asked).toHaveLength(count);
        const s = Math.sin(30 * RADIANS);
        const c = Math.cos(30 * RADIANS);
        scene.asked.forEach(([x, y], p) => {
          const right = (p + 0.5) / count;
          const north = 5.5 + deep;
          expectWithin(x, right * c + north * s, 1e-9);
          expectWithin(y, north * c - right * s, 1e-9);
        });
      }
    }
  });

  it("deeper ahead is passed later at first, and earlier on the way back", () => {
    for (const turned of TURNS) {
      const scene = (from: number, to: number) =>
        new Scene({ path: again(), turned }).works(1, from, to).share(1, LANDING, 3);
      // 8.5 m north
      const close = 1e-6;
      expect(scene(4.25 - close, 4.25 + close)).toBe(1);
      expect(scene(7 + 5.5 / 14 - close, 7 + 5.5 / 14 + close)).toBe(1);
      expect(scene(PASSING - close, PASSING + close)).toBe(0);
      expect(scene(8, LANDING)).toBe(0);
    }
  });

  it("is of the rows one by one, each with its own sections", () => {
    const sections: SectionDefinition[] = [
      { left: -1, right: 0, x: 2 },
      { left: 0, right: 1, x: -1 },
    ];
    // the row behind comes over the other's way, 1 m to the left of its own, after 4.5 s
    for (const turned of TURNS) {
      const scene = (of: number, from: number, to: number) =>
        new Scene({ sections, path: (t) => [t > 4.5 ? -1 : 0, 2 * t, 0], turned }).works(of, from, to).share(1, 6.25);
      // 11.5 m north: under the row in front at 4.75 s, 0.25 m to the left of where it lands
      const close = 1e-6;
      expect(scene(0, 4.75 - close, 4.75 + close), `${turned}`).toBe(0.2);
      expect(scene(0, 4.75 + close, 9)).toBe(0);
      expect(scene(0, 0, 4.75 - close)).toBe(0);
      expect(scene(1, 0, 9)).toBe(0);
    }
  });

  it("counts a point that stands on a row at a pose once, whichever way it passes", () => {
    // 6 m north: on the row at 3 s, exactly
    const at = (from: number, to: number) => new Scene({ path: again() }).works(1, from, to).share(1, 11);
    expect(at(2.9, 3.1)).toBe(1);
    expect(at(3.1, 7.5)).toBe(0);
    // backwards: the point is behind at first
    const back = (from: number, to: number) =>
      new Scene({ path: (t) => [0, t < 7.5 ? 14 - 2 * t : 30 - 2 * t, 0], speed: -2 }).works(1, from, to).share(1, 12);
    expect(back(3.9, 4.1)).toBe(1);
    expect(back(4.1, 7.4)).toBe(0);
    // landing is no passing, though a pose be there to the last bit or the last but one
    for (const until of [11, 11 + 1e-15, 11 - 1e-15]) {
      expect(new Scene({ path: again() }).works(1, 8, 20).share(1, until)).toBe(0);
      expect(
        new Scene({ path: (t) => [0, t < 7.5 ? 14 - 2 * t : 30 - 2 * t, 0], speed: -2 })
          .works(1, 8, 20)
          .share(1, until),
      ).toBe(0);
    }
  });

  it("follows what is passed before the first pose, on the last stretch, and beyond the horizon not at all", () => {
    // 0.5 m north of the row at first
    const first = (from: number, to: number) =>
      new Scene({ path: (t) => [0, t < 0.5 ? 0 : 5 - 0.25 * t, 0] }).works(1, from, to).share(1, 10);
    expect(first(0, 1)).toBe(1);
    expect(first(1.01, 20)).toBe(0);
    // a row that lies behind the fix is none that is passed at once
    const behind = FOUR.map((section) => ({ ...section, x: -2 }));
    expect(new Scene({ sections: behind, path: (t) => [0, 10 + t, 0] }).works(1, -1, 0.9).share(1, 10, -10)).toBe(0);
    // north till the last pose at 16 s, then back: only that pose lies beyond the point
    const last = new Scene({ path: (t) => [0, t <= 16 ? t : 15.5, 0] }).works(1, 0, 20);
    expect(last.share(1, 17)).toBe(1);
    const only = new Scene({ path: (t) => [0, t === 16 ? 16 : t > 16 ? 15.5 : t / 2, 0] }).works(1, 0, 20);
    expect(only.share(1, 17)).toBe(1);
    // poses of a longer look before are none of this one
    const drive: Drive = { path: again(), askew: 170 };
    const stale = new Scene(drive).works(1, 0, 40);
    stale.prepare({ path: (t) => [0, t, 0], askew: 20 });
    expect(stale.share(1, 17)).toBe(0);
  });

  it("of a line that lands at once is none", () => {
    const scene = new Scene({ path: again() }).works(1, -5, 20);
    expect(scene.share(1, 0)).toBe(0);
    expect(scene.share(1, 0, 3)).toBe(0);
  });

  it("follows no points where both ends of the line stay on one side of every row", () => {
    const passed = vi.spyOn(InTheAir.prototype as unknown as { passed: () => boolean }, "passed");
    const north = new Scene({ path: again() });
    // lands before the way begins again
    expect(north.share(1, 7)).toBe(0);
    expect(north.share(1, 7, 2)).toBe(0);
    expect(passed).not.toHaveBeenCalled();
    north.share(1, LANDING);
    expect(passed).toHaveBeenCalledTimes(10);
    // one end alone is enough: a pose askew stands behind the one end and before the other
    passed.mockClear();
    // the line lies 1 m ahead of the row of a pose turned by a tangent of 3/4: it meets that row 1.33 m aside
    for (const x of [0, 5]) {
      for (const turned of TURNS) {
        for (const deep of [0, 1]) {
          const ends = (tilt: number): boolean[] =>
            FOUR.map((_, i) => {
              const tilted = new Scene({
                sections: FOUR.map((section) => ({ ...section, x })),
                path: (t) => [0, t < 3 ? 5 - x / 4 : t, t < 3 ? tilt : 0],
                turned,
              });
              passed.mockClear();
              tilted.share(i, 6 - deep, deep);
              return passed.mock.calls.length > 0;
            });
          const what = `${x} ${turned} ${deep}`;
          expect(ends(36.9), what).toEqual([true, false, false, false]);
          expect(ends(-36.9), what).toEqual([false, false, false, true]);
        }
      }
    }
  });

  it("is passed on the last stretch by a row in front, and by poses less than a second apart", () => {
    const sections: SectionDefinition[] = [
      { left: -1, right: 0, x: 3 },
      { left: 0, right: 1, x: 1 },
    ];
    // at 19.5 m, 3.5 m ahead of the third pose's row in front; all of it comes over to the left
    const scene = (from: number, to: number) =>
      new Scene({ sections, path: (t) => [t > 3 ? -1 : 0, 5 * t, 0] }).works(0, from, to).share(1, 3.9);
    // from 4.5 - 2 m to 0 - 2 m: 5/9 of the 0.9 s
    expect(scene(3.49, 3.51)).toBe(scene(0, 9));
    expect(scene(0, 9)).toBeGreaterThan(0);
    expect(scene(3.51, 9)).toBe(0);
    const quick = new Scene({ path: (t) => again()(2 * t), horizon: 8 }).works(
      1,
      PASSING / 2 - 0.01,
      PASSING / 2 + 0.01,
    );
    expect(quick.share(1, LANDING / 2)).toBe(1);
  });

  it("beyond the last of all poses is no harm", () => {
    const scene = new Scene({ yawRate: 100, horizon: 10 });
    expect(scene.share(1, 11)).toBe(0);
  });

  it("is as sampling finds it: two rows in a turn", () => {
    const sections: SectionDefinition[] = [-3, -2, -1, 0, 1, 2].map((left, i) => ({
      left,
      right: left + 1,
      x: i % 2 === 0 ? 1.5 : -2,
    }));
    for (const yawRate of [50, -50]) {
      const path = { x: 4, y: -9, heading: 50, speed: 3, yawRate };
      const carrier = new Carrier();
      carrier.take({ time: START, ...path, usable: true });
      const orders = new OrderBook(6);
      // from 0.4 s on product of all but one lands
      for (const i of [0, 1, 2, 4, 5]) orders.flip(i, 0, START + 0.4);
      const record = { cellSize: 0.02, isCovered: () => false } as unknown as CoverageRecord;
      const air = new InTheAir(boom({ sections }), record, orders, carrier);
      air.prepare(START, 1.7);
      const line = new ToolLine();
      let some = 0;
      sections.forEach((section, i) => {
        carrier.put(line, section.x!, 1.6);
        let passed = 0;
        for (let p = 0; p < 32; p++) {
          const [px, py] = toolAt(path, 1.6, section.x!, section.left + (p + 0.5) / 32);
          let was = [0, 0];
          let met = false;
          for (let t = 0; t < 1.599; t += 0.002) {
            const pose = poseAt(path, t);
            const s = Math.sin(pose.heading * RADIANS);
            const c = Math.cos(pose.heading * RADIANS);
            const ahead = (px - pose.x) * s + (py - pose.y) * c;
            const right = (px - pose.x) * c - (py - pose.y) * s;
            const now = [ahead - 1.5, ahead + 2];
            const under = Math.floor(right + 3);
            for (const row of [0, 1]) {
              if (t > 0.4 && was[row]! * now[row]! < 0 && under % 2 === row && under !== 3)
                met ||= under >= 0 && under < 6;
            }
            was = now;
          }
          if (met) passed++;
        }
        some += passed;
        // one point of the 32
        expectWithin(air.share(i, line, 0), passed / 32, 1 / 32 + 1e-9, `section ${i}`);
      });
      expect(some).toBeGreaterThan(5);
    }
  });
});
