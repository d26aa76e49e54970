import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { Point, Polygon } from "../../src/geometry/types.js";
import {
  offsetFamily,
  offsetLine,
  offsetLineFamily,
  offsetPolygon,
  offsetPolygonFamily,
} from "../../src/offset/index.js";
import type { DistanceField } from "./distance-field.js";
import { areaOf, chainsOf, lengthOf, ringsOf } from "./engine.js";
import { distanceBetween } from "./distance-between.js";
import { lineSource, polygonSource } from "./elements.js";
import type { Chain } from "./judgement.js";
import { judgeLine } from "./oracle.js";
import { runs } from "./runs.js";
import { anyDistance, anyLine, anyPolygon } from "./shapes.js";

/** Offsets of the same source against one another. */
const TOLERANCE = 1e-4;

const largestGap = (chains: readonly Chain[], field: DistanceField, distance: number): number => {
  let gap = 0;
  for (const { points } of chains) {
    for (const [x, y] of points)
      gap = Math.max(gap, Math.abs(field.distance(x - field.originX, y - field.originY) - distance));
  }
  return gap;
};

describe("a family is its singles", () => {
  const some = fc.array(fc.double({ min: -30, max: 30, noNaN: true }), { minLength: 1, maxLength: 6 });

  test("lines, in the order asked", () => {
    fc.assert(
      fc.property(anyLine, some, ({ kind, seed, shape }, distances) => {
        const family = offsetLineFamily(shape, distances);
        expect(family.length).toBe(distances.length);
        distances.forEach((distance, i) => {
          const singles = chainsOf(offsetLine(shape, distance));
          const members = chainsOf(family[i]!);
          const what = `${kind}, seed ${seed}, distance ${distance} of ${distances.join(" ")}`;
          expect(lengthOf(members), what).toBeCloseTo(lengthOf(singles), 6);
          expect(distanceBetween(members, singles, 1e-4), what).toBeLessThan(1e-9);
        });
      }),
      runs(30),
    );
  });

  test("polygons, in the order asked", () => {
    fc.assert(
      fc.property(anyPolygon, some, ({ kind, seed, shape }, distances) => {
        const family = offsetPolygonFamily(shape, distances);
        expect(family.length).toBe(distances.length);
        distances.forEach((distance, i) => {
          const single = offsetPolygon(shape, distance);
          const what = `${kind}, seed ${seed}, distance ${distance} of ${distances.join(" ")}`;
          expect(family[i]!.length, what).toBe(single.length);
          expect(areaOf(family[i]!), what).toBeCloseTo(areaOf(single), 6);
          expect(distanceBetween(ringsOf(family[i]!), ringsOf(single), 1e-4), what).toBeLessThan(1e-9);
        });
      }),
      runs(30),
    );
  });

  test("forty passes each side of a drive, every one against brute force", () => {
    const line = Array.from({ length: 300 }, (_, i): Point => [2 * i, 25 * Math.sin(i / 25) + 4 * Math.sin(i / 7)]);
    const distances = Array.from({ length: 80 }, (_, i) => 6 * (i - 40 + (i < 40 ? 0 : 1)));
    const family = offsetFamily(line, distances);
    distances.forEach((distance, i) => {
      const { defects } = judgeLine(line, distance, false, chainsOf(family[i]!), { interior: 1, spacing: 2 });
      expect(defects.slice(0, 3), `distance ${distance}`).toEqual([]);
    });
  });

  test("a polygon's family by the common verb", () => {
    const field: Polygon = {
      exterior: [
        [0, 0],
        [200, 0],
        [200, 100],
        [0, 100],
        [0, 0],
      ],
      holes: [],
    };
    const areas = offsetFamily(field, [-50, -12, -6, 0, -60]).map(areaOf);
    expect(areas[1]).toBeCloseTo(176 * 76, 6);
    expect(areas[2]).toBeCloseTo(188 * 88, 6);
    expect(areas[3]).toBeCloseTo(20_000, 6);
    expect(areas[4]).toBe(0);
  });
});

describe("zero, reversed, there and back, twice", () => {
  test("distance 0 gives the line", () => {
    fc.assert(
      fc.property(anyLine, ({ shape }) => {
        const result = chainsOf(offsetLine(shape, 0));
        const own: Chain[] = [{ points: shape, closed: false }];
        expect(distanceBetween(result, own, 0)).toBeLessThan(1e-9);
        expect(lengthOf(result)).toBeCloseTo(lengthOf(own), 6);
      }),
      runs(30),
    );
  });

  test("distance 0 gives the polygon", () => {
    fc.assert(
      fc.property(anyPolygon, ({ shape }) => {
        const result = offsetPolygon(shape, 0);
        expect(result.length).toBe(1);
        expect(distanceBetween(ringsOf(result), ringsOf([shape]), 0)).toBeLessThan(1e-9);
      }),
      runs(30),
    );
  });

  test("the reversed line's right is the line's left", () => {
    fc.assert(
      fc.property(anyLine, anyDistance, ({ kind, seed, shape }, distance) => {
        const tolerance = 1e-6;
        const left = chainsOf(offsetLine(shape, -distance, { tolerance }));
        const back = chainsOf(offsetLine([...shape].reverse(), distance, { tolerance }));
        expect(distanceBetween(left, back, 1e-3), `${kind}, seed ${seed}, distance ${distance}`).toBeLessThan(2e-6);
      }),
      runs(30),
    );
  });

  test("there and back lies on a smooth line, where its radius is larger than the distance", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 8, max: 40, noNaN: true }),
        fc.double({ min: 0.1, max: 0.9, noNaN: true }),
        fc.boolean(),
        (radius, share, left) => {
          // heading amplitude·sin(s / length): the least radius is length / amplitude
          const spacing = 0.1;
          const line: Point[] = [];
          let x = 0;
          let y = 0;
          for (let i = 0; i < 800; i++) {
            line.push([x, y]);
            const heading = Math.sin((i * spacing) / radius);
            x += spacing * Math.cos(heading);
            y += spacing * Math.sin(heading);
          }
          const distance = (left ? -1 : 1) * share * radius;
          const there = chainsOf(offsetLine(line, distance));
          expect(there.length).toBe(1);
          const back = chainsOf(offsetLine(there[0]!.points, -distance));
          // flattened twice; a corner of turn a is rounded by d·a²/8 on the inner side
          const turn = spacing / radius;
          const allowed = 2 * TOLERANCE + (Math.abs(distance) * turn * turn) / 4;
          const own: Chain[] = [{ points: line, closed: false }];
          expect(distanceBetween(back, own, 1e-3)).toBeLessThan(allowed + Math.abs(distance) * 0.02);
          expect(largestGap(back, lineSource(line, 1, false).field, 0)).toBeLessThan(allowed);
        },
      ),
      runs(8),
    );
  });

  test("there and back lies within the distance of any line", () => {
    fc.assert(
      fc.property(anyLine, anyDistance, ({ kind, seed, shape }, distance) => {
        const { field } = lineSource(shape, 1, false);
        for (const there of offsetLine(shape, distance)) {
          if (lengthOf([there]) < 1e-3 * distance) continue;
          for (const { points } of offsetLine(there.points, -distance, { closed: there.closed })) {
            for (const [x, y] of points) {
              const d = field.distance(x - field.originX, y - field.originY);
              expect(d, `${kind}, seed ${seed}, distance ${distance}`).toBeLessThan(distance + 2 * TOLERANCE);
            }
          }
        }
      }),
      runs(30),
    );
  });

  test("what comes out can go in again: whole, and each ring alone", () => {
    fc.assert(
      fc.property(anyPolygon, anyDistance, fc.boolean(), ({ kind, seed, shape }, size, inward) => {
        const result = offsetPolygon(shape, inward ? -size : size);
        const what = `${kind}, seed ${seed}, distance ${inward ? -size : size}`;
        const again = (polygon: Polygon | readonly Polygon[]): void => {
          for (const distance of [-3, 3]) expect(() => offsetPolygon(polygon, distance), what).not.toThrow();
        };
        again(result);
        for (const { points } of ringsOf(result)) again({ exterior: points, holes: [] });
      }),
      runs(30),
    );
  });

  test("twice is once by the sum, inward and outward (dilations and erosions by discs add)", () => {
    fc.assert(
      fc.property(
        anyPolygon,
        fc.double({ min: 0.5, max: 12, noNaN: true }),
        fc.double({ min: 0.5, max: 12, noNaN: true }),
        fc.boolean(),
        ({ kind, seed, shape }, first, second, inward) => {
          const sign = inward ? -1 : 1;
          const one = offsetPolygon(shape, sign * first);
          if (one.length === 0) return;
          const two = offsetPolygon(one, sign * second);
          const sum = offsetPolygon(shape, sign * (first + second));
          const what = `${kind}, seed ${seed}, ${sign} ${first} ${second}`;
          const { field } = polygonSource([shape], 1);
          expect(largestGap(ringsOf(two), field, first + second), what).toBeLessThan(3 * TOLERANCE);
          const edge = lengthOf(ringsOf(sum)) + lengthOf(ringsOf(two));
          expect(Math.abs(areaOf(two) - areaOf(sum)), what).toBeLessThan(2 * TOLERANCE * edge + 1e-6);
        },
      ),
      runs(30),
    );
  });
});
