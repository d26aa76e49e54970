import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { checkPolygon } from "../../src/geometry/index.js";
import type { Point, Polygon } from "../../src/geometry/types.js";
import { offsetPolygon } from "../../src/offset/index.js";
import { expectWithin } from "../helpers/within.js";
import { areaOf, lengthOf, ringsOf } from "./engine.js";
import { floodCount } from "./flood.js";
import { area } from "./judgement.js";
import { judgePolygons } from "./oracle.js";
import { runs } from "./runs.js";
import { anyDistance, anyPolygon, gridField } from "./shapes.js";

/**
 * Results are regular polygons, also where everything stands at a limit: no lines of no width, no spikes, no rings that
 * overlap, run along each other or cross; so they can be used as any other polygon.
 */

const wholeDistance = fc.constantFrom(-8, -6, -4, -2, -1, 1, 2, 4, 6, 8);
const seed = fc.nat({ max: 1e6 });

/** Twice the area over the perimeter: the width of a strip, metres. */
const widthOf = (ring: readonly Point[]): number => (2 * Math.abs(area(ring))) / lengthOf([{ points: ring }]);

/** What is refused when a result goes in again: whole, part by part, and by the check of polygons from outside. */
function refusals(result: readonly Polygon[], distances: readonly number[]): string[] {
  const out: string[] = [];
  const attempt = (what: string, run: () => unknown): void => {
    try {
      run();
    } catch (error) {
      out.push(`${what}: ${(error as Error).message}`);
    }
  };
  for (const distance of distances) {
    attempt(`all again by ${distance} m`, () => offsetPolygon(result, distance));
    for (const part of result) attempt(`one again by ${distance} m`, () => offsetPolygon(part, distance));
  }
  for (const part of result) {
    // the check takes points within 0.1 mm of each other for one: of a speck nothing is left
    if ([part.exterior, ...part.holes].every((ring) => widthOf(ring) > 2e-4))
      attempt("check", () => checkPolygon(part));
  }
  return out;
}

function moved(polygon: Polygon, turn: number, far: number): Polygon {
  const c = Math.cos(turn);
  const s = Math.sin(turn);
  const ring = (points: readonly Point[]): Point[] =>
    points.map(([x, y]): Point => [c * x - s * y + far, s * x + c * y + far / 5]);
  return { exterior: ring(polygon.exterior), holes: polygon.holes.map(ring) };
}

describe("fields of whole squares at whole distances, with and without a vertex at each square", () => {
  test("at the distance, complete, and valid", () => {
    fc.assert(
      fc.property(seed, fc.boolean(), wholeDistance, (field, dense, distance) => {
        const polygon = gridField(field, dense);
        const result = offsetPolygon(polygon, distance);
        const { defects } = judgePolygons([polygon], distance, result, { interior: 3, ties: true });
        const what = `seed ${field}, dense ${dense}, distance ${distance}`;
        expect(defects.slice(0, 3), what).toEqual([]);
        expect(refusals(result, [-1, 2]), what).toEqual([]);
      }),
      runs(100, 40),
    );
  });

  test("turned by any angle, here and far off", () => {
    fc.assert(
      fc.property(
        seed,
        fc.boolean(),
        wholeDistance,
        fc.double({ min: 0, max: 6.3, noNaN: true }),
        fc.constantFrom(0, 5e5, 3.2e7),
        fc.constantFrom("round" as const, "mitre" as const),
        (field, dense, distance, turn, far, join) => {
          const polygon = moved(gridField(field, dense), turn, far);
          const result = offsetPolygon(polygon, distance, { join });
          const what = `seed ${field}, dense ${dense}, distance ${distance}, turn ${turn}, far ${far}, ${join}`;
          if (join === "round") {
            const { defects } = judgePolygons([polygon], distance, result, { interior: 1, ties: true });
            expect(defects.slice(0, 3), what).toEqual([]);
          }
          expect(refusals(result, [-2, 1]), what).toEqual([]);
        },
      ),
      runs(70, 40),
    );
  });

  test("again and again", () => {
    fc.assert(
      fc.property(seed, fc.boolean(), fc.array(wholeDistance, { minLength: 3, maxLength: 3 }), (field, dense, ways) => {
        let result: readonly Polygon[] = [gridField(field, dense)];
        for (const distance of ways) {
          result = offsetPolygon(result, distance, { tolerance: 1e-3 });
          expect(refusals(result, []), `seed ${field}, dense ${dense}, ${ways.join(" ")}`).toEqual([]);
        }
      }),
      runs(100, 20),
    );
  });

  test("as many parts and holes as a flooded raster has", () => {
    fc.assert(
      fc.property(seed, wholeDistance, (field, distance) => {
        const polygon = gridField(field, false);
        const result = offsetPolygon(polygon, distance);
        const { parts, holes, cell } = floodCount([polygon], distance, 512);
        const rings = [result.map((part) => part.exterior), result.flatMap((part) => part.holes)];
        rings.forEach((list, i) => {
          const [least, most] = [parts, holes][i]!;
          const what = `${i === 0 ? "parts" : "holes"}, seed ${field}, distance ${distance}`;
          expect(list.length, what).toBeGreaterThanOrEqual(least);
          // smaller ones than a cell the raster does not see
          expect(list.filter((ring) => widthOf(ring) > 4 * cell).length, what).toBeLessThanOrEqual(most);
        });
      }),
      runs(40, 15),
    );
  });
});

describe("random fields", () => {
  test("what comes out can go in again", () => {
    fc.assert(
      fc.property(anyPolygon, anyDistance, fc.boolean(), ({ kind, seed: number, shape }, size, inward) => {
        const result = offsetPolygon(shape, inward ? -size : size);
        const what = `${kind}, seed ${number}, distance ${inward ? -size : size}`;
        expect(refusals(result, [-3, 3]), what).toEqual([]);
      }),
      runs(150, 40),
    );
  });
});

describe("single ties", () => {
  const part = (...exterior: Point[]): Polygon => ({ exterior, holes: [] });

  // two fields of 60 by 60 m and a neck of 40 by 16 m between them
  const necked = part(
    [0, 0],
    [60, 0],
    [60, 22],
    [100, 22],
    [100, 0],
    [160, 0],
    [160, 60],
    [100, 60],
    [100, 38],
    [60, 38],
    [60, 60],
    [0, 60],
  );

  test("a neck of twice the distance stays one part, whichever way the field lies", () => {
    for (let i = 0; i < 40; i++) {
      const polygon = moved(necked, 0.157 * i, 41.5);
      const result = offsetPolygon(polygon, -8);
      expect(result.length, `turn ${0.157 * i}`).toBe(1);
      // its line is there both ways, 40 m long; without it 290.27 + 80 m
      expectWithin(lengthOf(ringsOf(result)), 450.2654825, 1e-2, "length, m");
      expectWithin(areaOf(result), 3926.93807031, 1e-2, "area, m²");
      expect(refusals(result, [-1, 1])).toEqual([]);
    }
  });

  test("a dead end of twice the distance is left out", () => {
    const bay = part([0, 0], [60, 0], [60, 22], [100, 22], [100, 38], [60, 38], [60, 60], [0, 60]);
    const result = offsetPolygon(bay, -8);
    expect(result.length).toBe(1);
    expect(Math.max(...result[0]!.exterior.map(([x]) => x))).toBeLessThanOrEqual(60 + 1e-9);
    expectWithin(areaOf(result), areaOf(offsetPolygon(bay, -8.0001)), 0.03, "area, m²");
  });

  test("a gap of twice the distance closes: two fields grow into one", () => {
    const one = part([0, 0], [100, 0], [100, 50], [0, 50]);
    const other = part([116, 10], [200, 10], [200, 40], [116, 40]);
    const result = offsetPolygon([one, other], 8);
    expect(result.length).toBe(1);
    expect(result[0]!.holes).toEqual([]);
    expect(refusals(result, [-1, 1])).toEqual([]);
  });

  test("two holes that grow until they touch along an edge stay two", () => {
    const hole = (x: number, y: number): Point[] => [
      [x, y],
      [x, y + 10],
      [x + 10, y + 10],
      [x + 10, y],
    ];
    const field = { ...part([0, 0], [100, 0], [100, 60], [0, 60]), holes: [hole(30, 20), hole(46, 20)] };
    const result = offsetPolygon(field, -3);
    expect(refusals(result, [-1, 1])).toEqual([]);
    // between them runs a line of no width from ground to ground: it stays, and so they do
    expect(result[0]!.holes.length).toBe(2);
    expectWithin(areaOf(result), 94 * 54 - 2 * (100 + 120 + 9 * Math.PI), 2e-2, "area, m²");
  });

  test("of a ring road of twice the distance its corners are left, all one part", () => {
    const road = {
      ...part([0, 0], [100, 0], [100, 100], [0, 100]),
      holes: [
        [
          [10, 10],
          [10, 90],
          [90, 90],
          [90, 10],
        ] as Point[],
      ],
    };
    const result = offsetPolygon(road, -5);
    expect(result.map(({ holes }) => holes.length)).toEqual([1]);
    // each between two sides and the quarter circle about a corner of the hole
    expectWithin(areaOf(result), 4 * 25 * (1 - Math.PI / 4), 2e-2, "area, m²");
    expect(refusals(result, [-1, 1])).toEqual([]);
  });
});
