import { describe, expect, test } from "vitest";
import { checkPolygon, polygonArea, ringLength } from "../../src/geometry/index.js";
import type { Point } from "../../src/geometry/types.js";
import { boundaryFromLap } from "../../src/survey/index.js";
import { expectCode, expectWithin } from "../helpers/within.js";
import { drive, FIELDS, lapOf, place } from "./laps.js";
import { hausdorff } from "./worked.js";

const shape = (name: string): (typeof FIELDS)[number] => FIELDS.find((field) => field.name === name)!;
/** A lap as fixes, turned and far from the origin. */
const lapAt = (corners: readonly Point[], backwards: boolean, noise = 0): Point[] =>
  place(drive(lapOf(corners, 0.3, backwards), { step: 0.4, noise, seed: 7 }), 33, 1000, -500);

/** Ground within an outward offset of a polygon: A + P d + pi d² for a convex one (J. Steiner, 1840). */
const steiner = (area: number, length: number, d: number): number => area + length * d + Math.PI * d * d;

/**
 * Areas of the edge d metres outward (inward negative) of a lap. Inset of the triangle and of the L: area less P d, plus
 * d² times the sum of cot(angle / 2) over the corners, the L's inward corner an arc of a true erosion.
 */
const CASES: { name: string; d: number; round: number; mitre: number }[] = [
  { name: "rectangle", d: 6, round: steiner(20_000, 600, 6), mitre: 212 * 112 },
  { name: "rectangle", d: -12, round: 176 * 76, mitre: 176 * 76 },
  { name: "triangle", d: -6, round: 53_016, mitre: 53_016 },
  { name: "triangle", d: -12, round: 46_464, mitre: 46_464 },
  { name: "triangle", d: -24, round: 34_656, mitre: 34_656 },
  { name: "L", d: -10, round: 22_400 + 100 - 25 * Math.PI, mitre: 22_400 },
  // five outward corners of a quarter disc each; beside the inward one two strips share a square
  { name: "L", d: 6, round: 30_000 + 800 * 6 + (5 / 4) * Math.PI * 36 - 36, mitre: 30_000 + 800 * 6 + 5 * 36 - 36 },
  { name: "strip", d: 6, round: steiner(10_000, 1040, 6), mitre: 512 * 32 },
];

describe("the edge beside a lap", () => {
  const cases = CASES.flatMap((c) => [false, true].map((backwards) => ({ ...c, backwards })));
  test.for(cases)(
    "$name, $d m outward, backwards $backwards: areas of closed form",
    ({ name, d, round, mitre, backwards }) => {
      const { corners } = shape(name);
      const track = lapAt(corners, backwards);
      // the corners of these fields run counter-clockwise: outside is on the right
      const lateralOffset = backwards ? -d : d;
      const lap = boundaryFromLap(track, { lateralOffset });
      expect(lap.direction).toBe(backwards ? "clockwise" : "counter-clockwise");
      expect(lap.outward).toBe(d);
      expect(lap.otherParts).toEqual([]);
      // arcs are drawn within a millimetre
      expectWithin(polygonArea(lap.polygon), round, 1e-3 * 2 * Math.PI * Math.abs(d) + 1e-6, "round, m²");
      checkPolygon(lap.polygon);
      const sharp = boundaryFromLap(track, { lateralOffset, join: "mitre" });
      expectWithin(polygonArea(sharp.polygon), mitre, 1e-5, "mitred, m²");
    },
  );

  test("a lap over the edge is as before, round or mitred", () => {
    const track = lapAt(shape("L").corners, true, 0.02);
    const plain = boundaryFromLap(track);
    expect(boundaryFromLap(track, { lateralOffset: 0, join: "mitre" })).toEqual(plain);
    expect(plain).toMatchObject({ direction: "clockwise", outward: 0, otherParts: [] });
  });

  test.for(["rectangle", "L", "strip"])("%s: the edge of a lap half a boom inside is the lap over the edge", (name) => {
    const edge = boundaryFromLap(lapAt(shape(name).corners, false)).polygon;
    const inner = boundaryFromLap(lapAt(shape(name).corners, false), { lateralOffset: -6 }).polygon.exterior.slice(
      0,
      -1,
    );
    for (const backwards of [false, true]) {
      const way = [...inner, ...inner.slice(0, 3)];
      const lap = boundaryFromLap(drive(backwards ? way.reverse() : way, { step: 0.4 }), {
        lateralOffset: backwards ? -6 : 6,
        join: "mitre",
      });
      // arcs within a millimetre, there and back
      expect(hausdorff([lap.polygon.exterior], [edge.exterior])).toBeLessThan(2e-3);
    }
  });

  test.for([0.02, 0.05])(
    "with noise of %f m the edge is right within a deviation on the whole, and every corner within five",
    (noise) => {
      for (const { name, corners } of FIELDS.filter((field) => field.name !== "comb")) {
        for (const backwards of [false, true]) {
          for (const d of [-6, 6]) {
            const options = { lateralOffset: backwards ? -d : d, noiseRadius: 6 * noise };
            const exact = boundaryFromLap(lapAt(corners, backwards), options).polygon;
            const length = ringLength(exact.exterior);
            const rough = boundaryFromLap(lapAt(corners, backwards, noise), options);
            expectWithin(polygonArea(rough.polygon), polygonArea(exact), noise * length, `${name} ${d}, m²`);
            expect(hausdorff([rough.polygon.exterior], [exact.exterior])).toBeLessThan(5 * noise);
            // with the lap simplified first half of that is left
            const smooth = boundaryFromLap(lapAt(corners, backwards, noise), { ...options, simplify: 3 * noise });
            expectWithin(
              polygonArea(smooth.polygon),
              polygonArea(exact),
              0.5 * noise * length,
              `${name} ${d} smooth, m²`,
            );
            checkPolygon(smooth.polygon);
          }
        }
      }
    },
  );

  test("with noise a mitre needs corners of one point: five deviations of simplifying give them", () => {
    const lap = boundaryFromLap(lapAt(shape("rectangle").corners, false, 0.02), {
      lateralOffset: 12,
      join: "mitre",
      simplify: 0.1,
    });
    expect(lap.polygon.exterior).toHaveLength(5);
    expectWithin(polygonArea(lap.polygon), 224 * 124, 0.02 * 696, "area, m²");
  });

  test("an edge inside that falls apart at a neck is given as parts, the largest first", () => {
    // two rooms of 60 x 60 and 40 x 40 with a passage of 10 m between them
    const rooms: Point[] = [
      [0, 0],
      [60, 0],
      [60, 25],
      [80, 25],
      [80, 10],
      [120, 10],
      [120, 50],
      [80, 50],
      [80, 35],
      [60, 35],
      [60, 60],
      [0, 60],
    ];
    const lap = boundaryFromLap(lapAt(rooms, false), { lateralOffset: -8 });
    expect(lap.otherParts).toHaveLength(1);
    expectWithin(polygonArea(lap.polygon), 44 * 44, 8, "larger, m²");
    expectWithin(polygonArea(lap.otherParts[0]!), 24 * 24, 8, "smaller, m²");
  });

  test("an edge outside of a lap that nearly closes about other ground has a hole", () => {
    const bay: Point[] = [
      [0, 0],
      [100, 0],
      [100, 46],
      [90, 46],
      [90, 10],
      [10, 10],
      [10, 90],
      [90, 90],
      [90, 54],
      [100, 54],
      [100, 100],
      [0, 100],
    ];
    const lap = boundaryFromLap(lapAt(bay, true), { lateralOffset: -5 });
    expect(lap.polygon.holes).toHaveLength(1);
    // and the dent where the arcs about the mouth's two corners, 8 m apart, meet
    const dent = 2 * (4 * 5 - (4 * 3) / 2 - 12.5 * Math.asin(4 / 5));
    expectWithin(polygonArea({ exterior: lap.polygon.holes[0]!, holes: [] }), 70 * 70 + dent, 0.02, "hole, m²");
  });

  test("bad input is named", () => {
    const track = lapAt(shape("strip").corners, false);
    const error = expectCode(() => boundaryFromLap(track, { lateralOffset: -12 }), "out-of-range");
    expect(error.argument).toBe("options.lateralOffset");
    expectCode(() => boundaryFromLap(track, { lateralOffset: Number.NaN }), "not-finite");
    expectCode(() => boundaryFromLap(track, { lateralOffset: 1, join: "bevel" as never }), "out-of-range");
  });
});
