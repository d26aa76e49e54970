import { describe, expect, it } from "vitest";
import { Carrier } from "../../src/sections/carrier.js";
import type { PathAhead, SectionInput } from "../../src/sections/index.js";
import { ToolLine } from "../../src/sections/tool-line.js";
import { expectWithin } from "../helpers/within.js";
import { toolAt } from "./drive.js";

const RADIANS = Math.PI / 180;
/** rounding of sums of metres */
const ROUNDING = 1e-9;

const at = (more: Partial<SectionInput> = {}): Carrier => {
  const carrier = new Carrier();
  carrier.take({ time: 0, x: 10, y: 20, heading: 30, speed: 3, usable: true, ...more });
  return carrier;
};

/** A path that writes what a function gives. */
const along = (pose: (seconds: number) => readonly number[]): PathAhead => ({
  poseAhead: (seconds, out) => out.set(pose(seconds)),
});

// plus 0: without the sign of 0
const places = (line: ToolLine): number[] => [line.ox + 0, line.oy + 0, line.ux + 0, line.uy + 0];

function expectLine(line: ToolLine, path: Parameters<typeof toolAt>[0], time: number, toolX: number): void {
  const [ox, oy] = toolAt(path, time, toolX, 0);
  const [rx, ry] = toolAt(path, time, toolX, 1);
  expectWithin(line.ox, ox, ROUNDING, "east");
  expectWithin(line.oy, oy, ROUNDING, "north");
  expectWithin(line.ux, rx - ox, ROUNDING, "right, east");
  expectWithin(line.uy, ry - oy, ROUNDING, "right, north");
}

describe("what a carrier takes from a fix", () => {
  it("is its place and motion; the yaw rate, else the curvature times the speed, else none", () => {
    expect(at({ yawRate: 5, curvature: 1 })).toMatchObject({ x: 10, y: 20, heading: 30, speed: 3, yawRate: 5 });
    expect(at({ yawRate: 0, curvature: 1 }).yawRate).toBe(0);
    // 0.1 rad/m at 3 m/s
    expectWithin(at({ curvature: 0.1 }).yawRate, 0.3 / RADIANS, ROUNDING);
    expect(at().yawRate).toBe(0);
  });

  it("is a path where there is one, null is none", () => {
    expect(at().guided).toBe(false);
    expect(at({ path: null as never }).guided).toBe(false);
    expect(at({ path: along(() => [0, 0, 0]) }).guided).toBe(true);
    // the next fix has none
    const carrier = at({ path: along(() => [0, 0, 0]) });
    carrier.take({ time: 1, x: 0, y: 0, heading: 0, speed: 1, usable: true });
    expect(carrier.guided).toBe(false);
  });

  it("begins with nothing foretold", () => {
    const carrier = at({ path: along(() => [10, 60, 0]) });
    carrier.put(new ToolLine(), 0, 1);
    expect(carrier.farthest).toBe(40);
    carrier.take({ time: 1, x: 0, y: 0, heading: 0, speed: 1, usable: true });
    expect(carrier.farthest).toBe(0);
  });
});

describe("a row of the tool", () => {
  it("stands where the fix says, exactly at a quarter turn", () => {
    const line = new ToolLine();
    at({ heading: 90 }).stand(line, -4);
    expect(places(line)).toEqual([6, 20, 0, -1]);
    at({ heading: 37 }).stand(line, -4);
    expectLine(line, { x: 10, y: 20, heading: 37, speed: 3, yawRate: 0 }, 0, -4);
  });

  it("will stand along the arc, ahead and before, to the right and left, in reverse", () => {
    for (const yawRate of [0, 12, -25]) {
      for (const speed of [3, -2]) {
        const carrier = at({ yawRate, speed });
        for (const time of [0, 0.7, 4, -1.5]) {
          const line = new ToolLine();
          carrier.put(line, -4, time);
          expect(line.ahead).toBe(time);
          expectLine(line, { x: 10, y: 20, heading: 30, speed, yawRate }, time, -4);
          expect(line.speed).toBe(speed);
          expectWithin(line.turn, yawRate * RADIANS, ROUNDING);
        }
      }
    }
  });

  it("is followed at the time that its line has, and forgets the ground of before", () => {
    const line = new ToolLine();
    Object.assign(line, { ahead: 2, covered: 1, inField: 1, inClosed: 1 });
    at({ heading: 0 }).follow(line, 1);
    expect(places(line)).toEqual([10, 27, 1, 0]);
    expect(line).toMatchObject({ ahead: 2, covered: -1, inField: -1, inClosed: -1 });
  });
});

describe("a path that is given", () => {
  it("tells where a row will be, from the fix on, and its motion over 0.05 s", () => {
    // a circle to the right of 20 m at 0.2 rad/s, its middle at (30, 20), begun at heading 0 in the west
    const circle = along((t) => [30 - 20 * Math.cos(0.2 * t), 20 + 20 * Math.sin(0.2 * t), (0.2 * t) / RADIANS]);
    const carrier = at({ heading: 0, path: circle });
    for (const time of [0, 1.5, 6]) {
      const line = new ToolLine();
      carrier.put(line, -3, time);
      expectLine(line, { x: 10, y: 20, heading: 0, speed: 4, yawRate: 0.2 / RADIANS }, time, -3);
      // the chord of 0.01 rad is shorter than the arc by 4e-6 of it
      expectWithin(line.speed, 4, 2e-5);
      expectWithin(line.turn, 0.2, ROUNDING);
    }
  });

  it("run backwards has a speed below 0; across north it turns the short way", () => {
    const back = at({ path: along((t) => [1 - t, 2 - t, 45]) });
    const line = new ToolLine();
    back.put(line, 0, 1);
    expectWithin(line.speed, -Math.SQRT2, ROUNDING);
    expect(line.turn).toBe(0);
    const across = at({ path: along((t) => [0, 3 * t, (359.9 + 10 * t) % 360]) });
    across.put(line, 0, 0);
    expectWithin(line.turn, 10 * RADIANS, ROUNDING);
    expectWithin(line.speed, 3, 1e-4);
  });

  it("is no matter before the fix", () => {
    const carrier = at({ heading: 0, path: along(() => [500, 500, 90]) });
    const line = new ToolLine();
    carrier.put(line, 0, -1);
    expect(places(line)).toEqual([10, 17, 1, 0]);
    carrier.put(line, 0, 0);
    expect(places(line)).toEqual([500, 500, 0, -1]);
  });

  it("tells how far it has been asked, the farthest of all lines", () => {
    const carrier = at({ path: along((t) => [10 + 3 * t, 20 + 4 * t, 0]) });
    const line = new ToolLine();
    for (const [time, farthest] of [
      [2, 10],
      [5, 25],
      [1, 25],
    ]) {
      carrier.put(line, 0, time!);
      expectWithin(carrier.farthest, farthest!, ROUNDING);
    }
  });

  it("is known where it tells a place and a heading, now and at the end", () => {
    const known = (carrier: Carrier): boolean => carrier.known(new ToolLine(), 5);
    expect(known(at())).toBe(true);
    expect(known(at({ path: along((t) => [t, t, t]) }))).toBe(true);
    for (const none of [Number.NaN, Number.POSITIVE_INFINITY]) {
      for (let i = 0; i < 3; i++) {
        const broken = (after: number) =>
          along((t) => [0, 1, 2].map((k) => (k === i && (after > 0 ? t >= after : t < 1) ? none : 1)));
        expect(known(at({ path: broken(5) })), `${none} ${i} at the end`).toBe(false);
        expect(known(at({ path: broken(0) })), `${none} ${i} now`).toBe(false);
        expect(known(at({ path: broken(7) })), `${none} ${i} later`).toBe(true);
      }
    }
    // on its arc the line is not touched
    const line = new ToolLine();
    at().known(line, 5);
    expect(line.ahead).toBe(-1);
  });

  it("asks the whole time ahead, from the row's reference point", () => {
    const times: number[] = [];
    const line = new ToolLine();
    at({
      path: along((t) => {
        times.push(t);
        return [t, 0, 0];
      }),
    }).known(line, 5);
    expect(times).toEqual([0, 0.05, 5, 5.05]);
    expect(places(line)).toEqual([5, 0, 1, 0]);
  });

  it("that throws, at either look, or writes nothing, is not known, whatever was known before", () => {
    let trouble = "";
    const carrier = at({
      path: {
        poseAhead: (seconds, out) => {
          if (trouble === "both" || (trouble === "second" && seconds === 1.05)) throw new RangeError("no way");
          if (trouble !== "silent") out.set([1, 2, 3]);
        },
      },
    });
    const line = new ToolLine();
    for (const kind of ["both", "second", "silent"]) {
      trouble = "";
      carrier.put(line, 0, 1);
      expect(line.known).toBe(true);
      trouble = kind;
      carrier.put(line, 0, 1);
      expect(line.known, kind).toBe(false);
    }
  });

  it("that writes no heading at the second look has no motion", () => {
    const carrier = at({
      path: {
        poseAhead: (seconds, out) => {
          if (seconds < 1) out.set([1, 2, 3]);
        },
      },
    });
    const line = new ToolLine();
    carrier.put(line, 0, 0.96);
    expect(line.known).toBe(true);
    carrier.put(line, 0, 0.99);
    expect([line.known, line.speed, line.turn]).toEqual([true, Number.NaN, Number.NaN]);
  });
});
