import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Point, Polygon } from "../../src/geometry/index.js";
import { headland } from "../../src/headland/index.js";
import { headlandTurn, swathDirection, type SwathDirectionOptions } from "../../src/planning/index.js";
import { expectCode, expectWithin } from "../helpers/within.js";

const MACHINE: SwathDirectionOptions = { swathWidth: 6, minimumRadius: 6 };

function polygon(...exterior: Point[]): Polygon {
  return { exterior, holes: [] };
}

function turned(shape: Polygon, degrees: number, dx = 0, dy = 0): Polygon {
  const c = Math.cos((degrees * Math.PI) / 180);
  const s = Math.sin((degrees * Math.PI) / 180);
  // clockwise, as headings are
  const move = ([x, y]: Point): Point => [x * c + y * s + dx, y * c - x * s + dy];
  return { exterior: shape.exterior.map(move), holes: shape.holes.map((hole) => hole.map(move)) };
}

/** Angle between two directions, whichever way they are driven, degrees. */
function apart(a: number, b: number): number {
  const d = Math.abs(a - b) % 180;
  return Math.min(d, 180 - d);
}

const RECTANGLE = polygon([0, 0], [200, 0], [200, 100], [0, 100]);
const TRIANGLE = polygon([0, 0], [400, 0], [0, 300]);

describe("the driving direction", () => {
  // geometry: 76 m and 176 m over 6 m
  it("of a rectangle of 200 x 100 m with two rounds of 6 m is its long side: 13 passes, the last 4 m wide; 30 across", () => {
    const { mainfield } = headland([RECTANGLE], { swathWidth: 6, rounds: 2 });
    const [found] = swathDirection(mainfield, MACHINE);
    expectWithin(found!.best!.heading, 90, 1e-6, "heading");
    expect(found!.best!.passes).toBe(13);
    expectWithin(found!.best!.lastWidth, 4, 1e-3, "last pass");
    expectWithin(found!.best!.workingDistance, 13 * 176, 1e-3, "working distance");
    const across = found!.candidates.find(({ heading }) => apart(heading, 0) < 1e-6)!;
    expect(across.passes).toBe(30);
    // twelve bulbs at 6 m apart, 36.195178 m each by trade tables (r = 6, d = 6)
    expectWithin(found!.best!.nonWorkingDistance, 12 * 36.195178, 1e-3, "turns");
  });

  // altitudes 400, 300 and 240 m over 12 m; Huang 2001 (ICRA): least altitude, from memory
  it("of a triangle of 300, 400 and 500 m runs along the longest side: 20 passes against 25 and 34", () => {
    const options = { swathWidth: 12, minimumRadius: 6 };
    for (const angle of [0, 17, 130]) {
      const [found] = swathDirection([turned(TRIANGLE, angle, 4000, -900)], options);
      const passes = found!.candidates
        .filter(({ source }) => source === "edge")
        .map(({ passes: n }) => n)
        .sort((a, b) => a - b);
      expect(passes).toEqual([20, 25, 34]);
      expect(found!.best!.passes).toBe(20);
      expect(apart(found!.best!.heading, 126.86989764584402 + angle)).toBeLessThan(1e-6);
    }
  });

  it("is found for each of several mainfields by itself", () => {
    const found = swathDirection([RECTANGLE, turned(RECTANGLE, 30, 500)], MACHINE);
    expect(found.map(({ mainfield }) => mainfield)).toEqual([0, 1]);
    expectWithin(found[0]!.best!.heading, 90, 1e-6);
    expectWithin(found[1]!.best!.heading, 120, 1e-6);
    expect(swathDirection([], MACHINE)).toEqual([]);
  });

  it("respects slopes and soil: a range preferred, avoided, forbidden", () => {
    const best = (respect: SwathDirectionOptions["respect"]): number =>
      swathDirection([RECTANGLE], { ...MACHINE, respect: respect! })[0]!.best!.heading;
    const forbid = best([{ from: 80, to: 100, rule: "forbid" }]);
    expect(apart(forbid, 90)).toBeGreaterThan(10);
    expectWithin(best([{ from: 170, to: 190, rule: "prefer", penalty: 10 }]), 0, 1e-6);
    expectWithin(best([{ from: 80, to: 100, rule: "avoid", penalty: 10 }]), forbid, 10.1);
    // a light wish does not outweigh a third more time
    expectWithin(best([{ from: 170, to: 190, rule: "prefer", penalty: 0.01 }]), 90, 1e-6);
    expect(
      swathDirection([RECTANGLE], { ...MACHINE, respect: [{ from: 0, to: 180, rule: "forbid" }] })[0]!.best,
    ).toBeNull();
  });

  it("gives all candidates, the cheapest first", () => {
    const [found] = swathDirection([TRIANGLE], MACHINE);
    const costs = found!.candidates.map(({ cost }) => cost);
    expect(costs.length).toBeGreaterThan(36);
    for (let i = 1; i < costs.length; i++) expect(costs[i]!).toBeGreaterThanOrEqual(costs[i - 1]! - 1e-5);
    expect(found!.best).toEqual(found!.candidates[0]);
    expect(JSON.parse(JSON.stringify(found))).toEqual(found);
  });

  it("counts turns as they are driven at slanted ends", () => {
    // two passes 6 m apart whose ends are 3 m and 0 m apart along them
    const slanted = polygon([0, 0], [12, 0], [12, 106], [0, 100]);
    const [found] = swathDirection([slanted], { ...MACHINE, headings: [0], step: 90 });
    const cost = found!.candidates.find(({ heading }) => heading === 0)!;
    expect(cost.passes).toBe(2);
    const at = (ahead: number): number => {
      const turn = headlandTurn({ x: 0, y: 0, heading: 0 }, { x: 6, y: ahead, heading: 180 }, MACHINE_TURN);
      return turn.kind === "none" ? Number.NaN : turn.length;
    };
    expectWithin(cost.nonWorkingDistance, Math.min(at(0), at(3)), 1e-3);
  });

  it("turns with the field, and does not depend on where it lies", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 359 }),
        fc.integer({ min: -1e5, max: 1e5 }),
        fc.array(fc.tuple(fc.integer({ min: 40, max: 200 }), fc.integer({ min: 0, max: 9 })), {
          minLength: 4,
          maxLength: 9,
        }),
        (angle, dx, radii) => {
          const ring = radii.map(([r, j], i): Point => {
            const t = (2 * Math.PI * (i + j / 30)) / radii.length;
            return [r * Math.cos(t), r * Math.sin(t)];
          });
          const options = { ...MACHINE, step: 90, headings: [] };
          const one = swathDirection([polygon(...ring)], options)[0]!;
          const two = swathDirection([turned(polygon(...ring), angle, dx, -dx)], options)[0]!;
          const edge = (found: typeof one): number =>
            Math.min(...found.candidates.filter(({ source }) => source === "edge").map(({ cost }) => cost));
          // a vertex on the joint of two strips may fall to either: a swath more or less
          expectWithin(edge(two) / edge(one), 1, 0.02);
        },
      ),
      { numRuns: 60 },
    );
  });

  it("refuses what is no machine, no polygon, no rule", () => {
    expectCode(() => swathDirection([RECTANGLE], { ...MACHINE, swathWidth: 0 }), "out-of-range");
    expectCode(() => swathDirection([RECTANGLE], { ...MACHINE, minimumRadius: 0 }), "out-of-range");
    expectCode(() => swathDirection([RECTANGLE], { ...MACHINE, step: Number.NaN }), "not-finite");
    expectCode(() => swathDirection([RECTANGLE], { ...MACHINE, step: 0 }), "out-of-range");
    expectCode(() => swathDirection([RECTANGLE], { ...MACHINE, headings: [Number.POSITIVE_INFINITY] }), "not-finite");
    expectCode(
      () => swathDirection([RECTANGLE], { ...MACHINE, respect: [{ from: 0, to: 9, rule: "x" as "avoid" }] }),
      "out-of-range",
    );
    expectCode(() => swathDirection([polygon([0, 0], [1, 1])], MACHINE), "too-few-points");
  });
});

const MACHINE_TURN = { radius: 6 };
