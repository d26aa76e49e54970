import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Polygon } from "../../src/geometry/index.js";
import {
  dubinsPath,
  dubinsWordPath,
  headlandTurn,
  type HeadlandTurn,
  type HeadlandTurnKind,
  pathEnd,
  type Pose,
  reedsSheppPath,
  RoomCheck,
  samplePath,
  smoothTurn,
} from "../../src/planning/index.js";
import { allPaths } from "../../src/planning/reeds-shepp-path.js";
import { expectCode, expectWithin } from "../helpers/within.js";

const R = 6;
const pose = fc.record({
  x: fc.double({ min: -30, max: 30, noNaN: true }),
  y: fc.double({ min: -30, max: 30, noNaN: true }),
  heading: fc.double({ min: 0, max: 360, maxExcluded: true, noNaN: true }),
});

/** angle of mathematics, counter-clockwise from east, to a heading */
const heading = (angle: number): number => (((90 - angle) % 360) + 360) % 360;
const at = (x: number, y: number, angle: number): Pose => ({ x, y, heading: heading(angle) });

function expectEnd(end: Pose, goal: Pose, tolerance: number): void {
  expectWithin(Math.hypot(end.x - goal.x, end.y - goal.y), 0, tolerance, "miss, m");
  expectWithin(Math.sin(((end.heading - goal.heading) * Math.PI) / 360), 0, tolerance, "miss of the heading");
}

function beside(distance: number, kind: HeadlandTurnKind): HeadlandTurn {
  const turn = headlandTurn(
    { x: 0, y: 0, heading: 0 },
    { x: distance, y: 0, heading: 180 },
    { radius: R, kinds: [kind] },
  );
  if (turn.kind === "none") throw new Error(turn.reason);
  return turn;
}

describe("the shortest path forward", () => {
  // computed from the closed form of Shkel and Lumelsky (2001) and checked a second way; angles counter-clockwise from east
  it.each([
    [at(0, 0, 0), at(10, 10, 90), 3, 14.611883916996355],
    [at(0, 0, 0), at(4, 4, 180), 3, 14.90477458324889],
    [at(0, 0, 45), at(-3, 2, -60), 2, 10.493696654989213],
    [at(0, 0, 0), at(0, 1, 180), 1, 6.032529644843455],
    [at(0, 0, 0), at(4, 0, 180), 1, 7.652891819924145],
  ])("has the length of the closed form", (from, to, radius, length) => {
    const path = dubinsPath(from, to, radius);
    expectWithin(path.length, length, 1e-12, "length, m");
    expectEnd(pathEnd(path), to, 1e-6);
  });

  it("ends at the goal, is no longer than any one word, and the same for every motion of the plane", () => {
    fc.assert(
      fc.property(pose, pose, fc.double({ min: 0, max: 360, noNaN: true }), (from, to, turn) => {
        const path = dubinsPath(from, to, R);
        expectEnd(pathEnd(path), to, 1e-5);
        expect(path.reversals).toBe(0);
        for (const word of ["LSL", "RSR", "LSR", "RSL", "RLR", "LRL"] as const) {
          const other = dubinsWordPath(word, from, to, R);
          if (other === null) continue;
          expectEnd(pathEnd(other), to, 1e-5);
          expect(path.length).toBeLessThanOrEqual(other.length + 1e-6);
        }
        const s = Math.sin((turn * Math.PI) / 180);
        const c = Math.cos((turn * Math.PI) / 180);
        const moved = ({ x, y, heading: h }: Pose): Pose => ({
          x: 5000 + x * c + y * s,
          y: -800 - x * s + y * c,
          heading: (h + turn) % 360,
        });
        // a path that just closes may open by rounding, and the next one is longer then
        const again = dubinsPath(moved(from), moved(to), R).length;
        const mirror = ({ x, y, heading: h }: Pose): Pose => ({ x: -x, y, heading: (360 - h) % 360 });
        expectWithin(dubinsPath(mirror(from), mirror(to), R).length, path.length, 1e-6, "mirrored, m");
        expectWithin(again, path.length, 1e-6, "moved, m");
      }),
    );
  });

  it("joins poses on one circle without a whole turn too much, and a pose with itself by nothing", () => {
    for (const angle of [1e-9, 0.1, 45, 90, 180, 270, 359.9]) {
      const a = (angle * Math.PI) / 180;
      const to: Pose = { x: R - R * Math.cos(a), y: R * Math.sin(a), heading: angle };
      expectWithin(dubinsPath({ x: 0, y: 0, heading: 0 }, to, R).length, R * a, 1e-6, `arc of ${angle} degrees, m`);
    }
    const here = { x: 3, y: 4, heading: 77 };
    expect(dubinsPath(here, here, R).length).toBe(0);
    expect(dubinsPath({ x: 0, y: 0, heading: 0 }, { x: 0, y: 50, heading: 0 }, R).segments).toEqual([
      { turn: "straight", length: 50 },
    ]);
  });
});

describe("the shortest path forward and back", () => {
  it("ends at the goal by every word, and obeys the triangle's inequality, which a missing word would break", () => {
    fc.assert(
      fc.property(pose, pose, pose, (a, b, c) => {
        const path = reedsSheppPath(a, b, R);
        for (const other of allPaths(a, b, R)) {
          expectEnd(pathEnd(other), b, 1e-5);
          expect(path.length).toBeLessThanOrEqual(other.length + 1e-6);
        }
        expect(path.length).toBeLessThanOrEqual(dubinsPath(a, b, R).length + 1e-6);
        expectWithin(reedsSheppPath(b, a, R).length, path.length, 1e-6, "the way back, m");
        expect(reedsSheppPath(a, c, R).length).toBeLessThanOrEqual(path.length + reedsSheppPath(b, c, R).length + 1e-6);
      }),
    );
  });

  it("is pi r on to any pass nearer than two radii, pi r + d - 2 r beyond", () => {
    for (let d = 0; d <= 30; d += 0.5) {
      const length = reedsSheppPath({ x: 0, y: 0, heading: 0 }, { x: d, y: 0, heading: 180 }, R).length;
      expectWithin(length, Math.PI * R + Math.max(0, d - 2 * R), 1e-6, `${d} m apart, m`);
    }
  });
});

describe("turns from pass to pass on a square headland", () => {
  // closed forms (table for r = 6 m): lengths and depths, checked against the shortest of the six words
  it.each([
    [0, 43.982297, 30.849556, 16.3923],
    [3, 40.345511, 27.849556, 15.3675],
    [6, 36.195178, 24.849556, 13.9373],
    [9, 30.978208, 21.849556, 11.8095],
  ])("d = %d m: omega, fishtail, three-arc", (d, omega, fishtail, depth) => {
    expectWithin(beside(d, "omega").length, omega, 1e-6, "omega, m");
    expectWithin(beside(d, "omega").depth, depth, 5e-5, "depth of the omega, m");
    expectWithin(beside(d, "omega").depth, R * (1 + 2 * Math.sin(Math.acos((2 * R + d) / (4 * R)))), 1e-9, "depth, m");
    expectWithin(beside(d, "fishtail").length, fishtail, 1e-6, "fishtail, m");
    expectWithin(beside(d, "fishtail").depth, R, 1e-9, "depth of the fishtail, m");
    expectWithin(beside(d, "three-arc").length, Math.PI * R, 1e-9, "three arcs, m");
    expect(beside(d, "three-arc").depth).toBeLessThanOrEqual(R + 1e-9);
    expect([beside(d, "omega").reversals, beside(d, "fishtail").reversals, beside(d, "three-arc").reversals]).toEqual([
      0, 2, 2,
    ]);
    const shortest = dubinsPath({ x: 0, y: 0, heading: 0 }, { x: d, y: 0, heading: 180 }, R);
    expectWithin(beside(d, "omega").length, shortest.length, 1e-9, "the shortest forward, m");
  });

  it.each([
    [12, 18.849556],
    [18, 24.849556],
  ])("d = %d m: U", (d, length) => {
    expectWithin(beside(d, "u").length, length, 1e-6, "length, m");
    expectWithin(beside(d, "u").depth, R, 1e-9, "depth, m");
  });

  it("takes the shortest kind allowed, counts a reversal as told, and works to the left alike", () => {
    for (const side of [1, -1]) {
      const go = (options: object): string =>
        headlandTurn({ x: 0, y: 0, heading: 0 }, { x: 4 * side, y: 0, heading: 180 }, { radius: R, ...options }).kind;
      expect(go({})).toBe("omega");
      expect(go({ canReverse: true })).toBe("three-arc");
      expect(go({ canReverse: true, reversalCost: 15 })).toBe("omega");
      expect(go({ kinds: ["fishtail"] })).toBe("fishtail");
    }
  });

  it("joins slanted ends at any angle of the headland, with curvature of the radius and nothing left over", () => {
    for (let slant = -70; slant <= 70; slant += 10) {
      for (const d of [3, 9, 15, 27]) {
        const to = { x: d, y: d * Math.tan((slant * Math.PI) / 180), heading: 180 };
        const turn = headlandTurn({ x: 0, y: 0, heading: 0 }, to, { radius: R });
        if (turn.kind === "none") throw new Error("none");
        expectEnd(turn.points[turn.points.length - 1]!, to, 1e-6);
        expectWithin(turn.length, dubinsPath({ x: 0, y: 0, heading: 0 }, to, R).length, 1e-9, "the shortest, m");
        // depth against its points, which come within step²/8r of the top
        const n = [-Math.sin((slant * Math.PI) / 180), Math.cos((slant * Math.PI) / 180)] as const;
        const seen = Math.max(...samplePath(turn.path!, 0.01).map((p) => p.x * n[0] + p.y * n[1]));
        expectWithin(turn.depth, Math.max(0, seen), 1e-5, `depth at ${slant} degrees, m`);
      }
    }
  });
});

describe("turns with clothoids", () => {
  it("end at the goal with curvature continuous, within the radius, and changing no faster than told", () => {
    const rate = 0.08;
    for (const d of [1, 4, 9, 12, 13, 15, 24]) {
      for (const kind of ["u", "omega", "fishtail", "three-arc"] as const) {
        const to = { x: d, y: 3, heading: 180 };
        const options = { radius: R, kinds: [kind], curvatureRate: rate, step: 0.05 };
        const turn = headlandTurn({ x: 0, y: 0, heading: 0 }, to, options);
        if (turn.kind === "none") continue;
        const { points } = turn;
        expectEnd(points[points.length - 1]!, to, 1e-8);
        expect(points[0]!.curvature).toBe(0);
        expectWithin(points[points.length - 1]!.curvature, 0, 1e-12, "curvature at the end, 1/m");
        for (let i = 1; i < points.length; i++) {
          const [a, b] = [points[i - 1]!, points[i]!];
          const way = b.station - a.station;
          expect(Math.abs(b.curvature)).toBeLessThanOrEqual(1 / R + 1e-12);
          expect(Math.abs(b.curvature - a.curvature)).toBeLessThanOrEqual(rate * way + 1e-9);
          // heading turns by the curvature between: the mean of both ends
          const turned = ((((b.heading - a.heading) % 360) + 540) % 360) - 180;
          const expected = (((a.curvature + b.curvature) / 2) * way * (b.reversing ? -1 : 1) * 180) / Math.PI;
          expectWithin(turned, expected, 1e-6, "turn of a step, degrees");
        }
        const plain = headlandTurn({ x: 0, y: 0, heading: 0 }, to, { radius: R, kinds: [kind] });
        if (plain.kind !== "none") expect(turn.length).toBeGreaterThan(plain.length);
      }
    }
  });

  it("come to the plain turn as the wheels get quick", () => {
    const plain = beside(4, "omega");
    const quick = smoothTurn(plain.path!, { x: 4, y: 0, heading: 180 }, 1e4)!;
    expectWithin(quick.length, plain.length, 1e-2, "length, m");
    expect(smoothTurn(beside(12, "u").path!, { x: 12, y: 0, heading: 180 }, 0.1)).toBeNull();
    // two radii apart there is no room for clothoids in a U, and a bulb takes its place
    const turn = headlandTurn(
      { x: 0, y: 0, heading: 0 },
      { x: 12, y: 0, heading: 180 },
      { radius: R, curvatureRate: 0.1 },
    );
    expect(turn.kind).toBe("omega");
  });
});

describe("room to turn", () => {
  const field: Polygon = {
    exterior: [
      [-30, -100],
      [60, -100],
      [60, 20],
      [-30, 20],
    ],
    holes: [],
  };
  const outline = { left: 1.5, right: 1.5, front: 3, rear: 2 };
  const from = { x: 0, y: 0, heading: 0 };
  const to = { x: 4, y: 0, heading: 180 };

  it("is asked of the whole machine: a kind that leaves the field is passed over, and none is an answer", () => {
    const wide = headlandTurn(from, to, { radius: R, canReverse: true, room: { within: [field], outline } });
    expect(wide.kind).toBe("three-arc");
    // an omega goes 14.98 m deep, and 1.5 m of the machine beyond
    const bulb = { radius: R, kinds: ["omega"] as const, room: { within: [field], outline } };
    expect(headlandTurn(from, to, bulb).kind).toBe("omega");
    const narrow: Polygon = { ...field, exterior: field.exterior.map(([x, y]) => [x, Math.min(y, 16)] as const) };
    const none = headlandTurn(from, to, { ...bulb, room: { within: [narrow], outline } });
    expect(none).toMatchObject({ kind: "none", reason: "no-room" });
    expectWithin((none as { depthNeeded: number }).depthNeeded, beside(4, "omega").depth, 1e-9, "depth needed, m");
    expect(
      headlandTurn(from, to, {
        ...bulb,
        room: { within: [narrow], outline },
        canReverse: true,
        kinds: ["omega", "fishtail"],
      }).kind,
    ).toBe("fishtail");
    expect(headlandTurn(from, to, { radius: R, kinds: ["omega"], maximumDepth: 10 }).kind).toBe("none");
  });

  it("sees an obstacle under the machine, between its sides as across them", () => {
    const hole = (x: number, y: number, size: number): Polygon => ({
      ...field,
      holes: [
        [
          [x - size, y - size],
          [x - size, y + size],
          [x + size, y + size],
          [x + size, y - size],
        ],
      ],
    });
    const check = (polygon: Polygon): boolean =>
      new RoomCheck({ within: [polygon], outline }).stands({ x: 10, y: 0, heading: 30 });
    expect(check(hole(10, 1, 0.2))).toBe(false);
    expect(check(hole(11, 2.5, 1))).toBe(false);
    expect(check(hole(10, -6, 1))).toBe(true);
    expect(check(hole(10, 0, 20))).toBe(false);
  });
});

describe("bad input", () => {
  it("is refused with a code", () => {
    const here = { x: 0, y: 0, heading: 0 };
    expectCode(() => dubinsPath({ ...here, x: Number.NaN }, here, 1), "not-finite");
    expectCode(() => dubinsPath(here, null as never, 1), "not-finite");
    expectCode(() => reedsSheppPath(here, here, 0), "out-of-range");
    expectCode(() => headlandTurn(here, here, { radius: -1 }), "out-of-range");
    expectCode(() => headlandTurn(here, here, undefined as never), "not-finite");
    expectCode(() => headlandTurn(here, here, { radius: 1, kinds: ["loop" as never] }), "out-of-range");
    expectCode(() => headlandTurn(here, here, { radius: 1, kinds: [] }), "out-of-range");
    expectCode(() => headlandTurn(here, here, { radius: 1, curvatureRate: 0 }), "out-of-range");
    expectCode(() => dubinsWordPath("LLL" as never, here, here, 1), "out-of-range");
    expectCode(() => new RoomCheck({ within: [], outline: { left: -1, right: 1, front: 1, rear: 1 } }), "out-of-range");
    expect(headlandTurn(here, here, { radius: 1, kinds: ["fishtail"] })).toMatchObject({
      kind: "none",
      reason: "impossible",
    });
  });
});
