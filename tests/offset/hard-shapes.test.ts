import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { Point, Polygon } from "../../src/geometry/types.js";
import { offsetLine, offsetPolygon } from "../../src/offset/index.js";
import { random } from "../helpers/random.js";
import { areaOf, chainsOf, LONG } from "./engine.js";
import { hardLineKinds, hardPolygonKinds } from "./hard-shapes.js";
import { judgeLine, judgePolygons } from "./oracle.js";
import { runs } from "./runs.js";
import { anyDistance } from "./shapes.js";

/** Deviation, completeness and validity by brute force, on shapes at limits of rounding and on large ones. */

const anySeed = fc.integer({ min: 0, max: 2 ** 31 - 1 });

describe("lines, open and closed", () => {
  test.for(Object.entries(hardLineKinds))("%s", ([kind, make]) => {
    fc.assert(
      fc.property(anySeed, anyDistance, fc.boolean(), fc.boolean(), (seed, size, left, closed) => {
        const line = make(random(seed));
        const distance = left ? -size : size;
        const chains = chainsOf(offsetLine(line, distance, { closed }));
        const { defects } = judgeLine(line, distance, closed, chains, { monotone: false, interior: 3 });
        expect(defects.slice(0, 3), `${kind}, seed ${seed}, distance ${distance}, closed ${closed}`).toEqual([]);
      }),
      runs(8),
    );
  });
});

describe("polygons, inward and outward", () => {
  test.for(Object.entries(hardPolygonKinds))("%s", ([kind, make]) => {
    fc.assert(
      fc.property(anySeed, anyDistance, fc.boolean(), (seed, size, inward) => {
        const polygon = make(random(seed));
        const distance = inward ? -size : size;
        const result = offsetPolygon(polygon, distance);
        // rings that touch, and edges within rounding of one another, stand at a limit
        const ties = kind.includes("touch") || kind.includes("ulps");
        const { defects } = judgePolygons([polygon], distance, result, { interior: 3, ties });
        expect(defects.slice(0, 3), `${kind}, seed ${seed}, distance ${distance}`).toEqual([]);
        for (const part of result)
          expect(() => offsetPolygon(part, -0.01), `${kind}, seed ${seed}, again`).not.toThrow();
      }),
      runs(6),
    );
  });
});

describe("large", () => {
  const judged = (polygon: Polygon, distance: number): string[] => {
    const result = offsetPolygon(polygon, distance, { tolerance: 1e-3 });
    const options = { tolerance: 1e-3, interior: 1, spacing: 1 };
    return judgePolygons([polygon], distance, result, options).defects.slice(0, 3);
  };

  test("a comb of a thousand teeth", () => {
    const exterior: Point[] = [];
    for (let i = 0; i < 1000; i++) {
      const x = 3.01 * i;
      const top = 30 + 5 * Math.sin(i);
      exterior.push([x, 10], [x + 1.3, 10], [x + 1.3, top], [x + 3, top]);
    }
    exterior.push([3010, 10], [3010, 0], [0, 0]);
    for (const distance of LONG ? [-0.64, -2, 0.3, 0.7, 5, 40] : [-2, 0.7]) {
      expect(judged({ exterior, holes: [] }, distance), `${distance} m`).toEqual([]);
    }
  });

  test("a star of two thousand points", () => {
    const exterior = Array.from({ length: 4000 }, (_, i): Point => {
      const angle = (2 * Math.PI * i) / 4000;
      return [(i % 2 === 0 ? 100 : 30) * Math.cos(angle), (i % 2 === 0 ? 100 : 30) * Math.sin(angle)];
    });
    for (const distance of LONG ? [-0.01, -1, -5, 0.02, 5, 60] : [-5]) {
      expect(judged({ exterior, holes: [] }, distance), `${distance} m`).toEqual([]);
    }
  });

  test("a circle of very many vertices with 2 cm of noise, far off", () => {
    const next = random(77);
    const size = LONG ? 100_000 : 20_000;
    const exterior = Array.from({ length: size }, (_, i): Point => {
      const angle = (2 * Math.PI * i) / size;
      const radius = 500 + 0.04 * (next() - 0.5);
      return [6e6 + radius * Math.cos(angle), 5e6 + radius * Math.sin(angle)];
    });
    const polygon = { exterior, holes: [] };
    for (const distance of LONG ? [-1, -24, 24] : [-24]) {
      expect(judged(polygon, distance), `${distance} m`).toEqual([]);
    }
    // by hand: no farther inward than the least radius allows, no less than the largest
    const area = areaOf(offsetPolygon(polygon, -24, { tolerance: 1e-3 }));
    expect(area).toBeGreaterThan(Math.PI * 475.97 ** 2);
    expect(area).toBeLessThan(Math.PI * 476.02 ** 2);
  });
});
