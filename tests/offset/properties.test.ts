import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { Point } from "../../src/geometry/types.js";
import { offsetLine, offsetPolygon } from "../../src/offset/index.js";
import { chainsOf } from "./engine.js";
import { runs } from "./runs.js";
import { judgeLine, judgePolygons } from "./oracle.js";
import { anyDistance, anyLine, anyPolygon, gridWalk, lineKinds, polygonKinds } from "./shapes.js";
import { random } from "../helpers/random.js";

/**
 * Equidistance, completeness and validity of offsets of random shapes: every vertex and samples inside each output segment
 * at the distance, all that is alive by brute force there, nothing crossing, repeated or turned back on itself.
 */

/** A drive that never turns west: it cannot cross itself. */
function simpleDrive(next: () => number): Point[] {
  const period = 20 + 60 * next();
  const height = period * (0.2 + next());
  return Array.from({ length: 150 }, (_, i): Point => [i, height * Math.sin((2 * Math.PI * i) / period) + 3 * next()]);
}

describe("lines of every kind, both sides", () => {
  // each kind for itself, so that a rare kind is not drawn too seldom
  test.for(Object.entries(lineKinds))("%s", ([kind, make]) => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 2 ** 31 - 1 }), anyDistance, fc.boolean(), (seed, size, left) => {
        const line = make(random(seed));
        const distance = left ? -size : size;
        const chains = chainsOf(offsetLine(line, distance));
        const { defects } = judgeLine(line, distance, false, chains, { monotone: false, interior: 4 });
        expect(defects.slice(0, 3), `${kind}, seed ${seed}, distance ${distance}`).toEqual([]);
      }),
      runs(20),
    );
  });

  test("loops", () => {
    fc.assert(
      fc.property(anyLine, anyDistance, ({ kind, seed, shape }, distance) => {
        if (shape.length < 3) return;
        const chains = chainsOf(offsetLine(shape, distance, { closed: true }));
        const { defects } = judgeLine(shape, distance, true, chains, { monotone: false, interior: 4 });
        expect(defects.slice(0, 3), `${kind}, seed ${seed}, distance ${distance}`).toEqual([]);
      }),
      runs(50),
    );
  });

  test("stations rise along every piece of a line that does not cross itself", () => {
    fc.assert(
      fc.property(fc.integer(), anyDistance, fc.boolean(), (seed, size, left) => {
        const line = simpleDrive(random(seed));
        const distance = left ? -size : size;
        const chains = chainsOf(offsetLine(line, distance));
        const stations = judgeLine(line, distance, false, chains).defects.filter((what) => what.includes("station"));
        expect(stations, `seed ${seed}, distance ${distance}`).toEqual([]);
      }),
      runs(50),
    );
  });
});

describe("polygons of every kind, inward and outward", () => {
  test.for(Object.entries(polygonKinds))("%s", ([kind, make]) => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 2 ** 31 - 1 }), anyDistance, fc.boolean(), (seed, size, inward) => {
        const polygon = make(random(seed));
        const distance = inward ? -size : size;
        const result = offsetPolygon(polygon, distance);
        const { defects } = judgePolygons([polygon], distance, result, { interior: 4 });
        expect(defects.slice(0, 3), `${kind}, seed ${seed}, distance ${distance}`).toEqual([]);
      }),
      runs(15),
    );
  });

  test("two polygons apart from each other, growing into one", () => {
    fc.assert(
      fc.property(fc.integer(), fc.double({ min: 0.5, max: 40, noNaN: true }), (seed, distance) => {
        const next = random(seed);
        const a = polygonKinds["star-shaped"](next);
        const b = polygonKinds["star-shaped"](next);
        const move = 162 + 40 * next();
        const moved = { exterior: b.exterior.map(([x, y]) => [x + move, y] as const), holes: [] };
        const { defects } = judgePolygons([a, moved], distance, offsetPolygon([a, moved], distance), { interior: 4 });
        expect(defects.slice(0, 3), `seed ${seed}, distance ${distance}`).toEqual([]);
      }),
      runs(20),
    );
  });
});

describe("coarse and fine flattening", () => {
  test.for([1e-6, 1e-3, 0.05])("tolerance %d m", (tolerance) => {
    fc.assert(
      fc.property(anyPolygon, fc.double({ min: 2, max: 30, noNaN: true }), fc.boolean(), (named, size, inward) => {
        const distance = inward ? -size : size;
        const result = offsetPolygon(named.shape, distance, { tolerance });
        const { defects } = judgePolygons([named.shape], distance, result, { tolerance, interior: 2 });
        expect(defects.slice(0, 3), `${named.kind}, seed ${named.seed}, distance ${distance}`).toEqual([]);
      }),
      runs(8),
    );
  });
});

describe("ties everywhere", () => {
  test("walks on a whole-metre grid at whole distances", () => {
    fc.assert(
      fc.property(fc.integer(), fc.constantFrom(-8, -6, -4, -2, -1, 1, 2, 4, 6, 8), (seed, distance) => {
        const line = gridWalk(seed);
        // a walk that comes back to its start would be a loop
        const chains = chainsOf(offsetLine(line, distance, { closed: false }));
        const { defects } = judgeLine(line, distance, false, chains, { monotone: false, interior: 3, ties: true });
        // a tie may leave pieces that coincide, and that end where others start
        const wrong = defects.filter((what) => !what.startsWith("overlap: chain") && !what.startsWith("open chain"));
        expect(wrong.slice(0, 3), `seed ${seed}, distance ${distance}`).toEqual([]);
      }),
      runs(50),
    );
  });
});
