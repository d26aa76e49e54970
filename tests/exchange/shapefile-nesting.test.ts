import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { nestBySweep, nestRings } from "../../src/exchange/shapefile/ring-nesting.js";
import { signedArea } from "../../src/geometry/index.js";
import { pointInPolygon } from "../../src/geometry/point-in-polygon.js";
import { runs } from "../helpers/light.js";
import { random } from "../helpers/random.js";

type Point = [number, number];

function nest(rings: readonly Point[][]) {
  const xy = new Float64Array(rings.flat(2));
  const starts = new Int32Array(rings.length + 1);
  rings.forEach((ring, i) => (starts[i + 1] = starts[i]! + ring.length));
  const areas = Float64Array.from(rings.map((ring) => signedArea(ring)));
  const found = nestRings(xy, starts, areas);
  return { ...found, sweep: nestBySweep(xy, starts, areas) };
}

/** A ring of so many corners, star-shaped, drawn by chance. */
function star(x: number, y: number, radius: number, corners: number, chance: () => number): Point[] {
  const ring: Point[] = [];
  for (let i = 0; i < corners; i++) {
    const angle = (2 * Math.PI * (i + 0.8 * chance())) / corners;
    const r = radius * (0.8 + 0.2 * chance());
    ring.push([x + r * Math.cos(angle), y + r * Math.sin(angle)]);
  }
  return chance() < 0.5 ? ring : ring.reverse();
}

/** Rings in rings to a depth, and the parent of each. */
function family(chance: () => number, depth: number): { rings: Point[][]; parents: number[] } {
  const rings: Point[][] = [];
  const parents: number[] = [];
  const add = (x: number, y: number, radius: number, parent: number, left: number): void => {
    const own = rings.length;
    rings.push(star(x, y, radius, 5 + Math.floor(8 * chance()), chance));
    parents.push(parent);
    if (left === 0) return;
    // a star of five corners or more at 0.8 of its radius holds a circle of 0.4 of it at least, whatever the angles
    const children = Math.floor(4 * chance());
    for (let i = 0; i < children; i++) {
      const angle = (2 * Math.PI * i) / children;
      add(x + 0.22 * radius * Math.cos(angle), y + 0.22 * radius * Math.sin(angle), 0.1 * radius, own, left - 1);
    }
  };
  for (let i = 0; i < 4; i++) add(30 * (i % 2), 30 * Math.floor(i / 2), 10, -1, depth);
  return { rings, parents };
}

describe("which ring lies in which", () => {
  test("families of rings, shuffled, turned and mirrored, against how they were made and against pointInPolygon", () => {
    fc.assert(
      fc.property(fc.integer(), fc.integer({ min: 0, max: 3 }), fc.boolean(), (seed, quarter, mirrored) => {
        const chance = random(seed);
        const { rings, parents } = family(chance, 3);
        const order = rings.map((_, i) => i).sort(() => chance() - 0.5);
        const placed = order.map((i) =>
          rings[i]!.map(([x, y]): Point => {
            const [a, b] = mirrored ? [-x, y] : [x, y];
            return quarter === 0 ? [a, b] : quarter === 1 ? [-b, a] : quarter === 2 ? [-a, -b] : [b, -a];
          }),
        );
        const { sweep, ...found } = nest(placed);
        expect(sweep).toEqual(found);
        order.forEach((own, i) => {
          const parent = parents[own]!;
          expect(found.parents[i]).toBe(parent < 0 ? -1 : order.indexOf(parent));
          const p = placed[i]![0]!;
          const holding = placed.filter(
            (exterior, j) => j !== i && pointInPolygon({ exterior, holes: [] }, p) === "inside",
          );
          expect(found.depths[i]).toBe(holding.length);
        });
      }),
      { numRuns: runs(300) },
    );
  });

  test("rings on a raster of whole numbers: common corners, sides and edges upright", () => {
    const box = (x0: number, y0: number, x1: number, y1: number): Point[] => [
      [x0, y0],
      [x1, y0],
      [x1, y1],
      [x0, y1],
    ];
    // a chessboard of neighbours in a frame, each with a hole that touches its middle of the side
    const rings = [box(0, 0, 8, 8)];
    for (let x = 0; x < 8; x += 2) for (let y = 0; y < 8; y += 2) rings.push(box(x, y, x + 2, y + 2));
    const first = rings.length;
    for (let x = 0; x < 8; x += 2) {
      for (let y = 0; y < 8; y += 2) {
        rings.push([
          [x, y + 1],
          [x + 1, y + 0.5],
          [x + 1, y + 1.5],
        ]);
      }
    }
    for (const turn of [false, true]) {
      const { parents, sweep } = nest(turn ? rings.map((ring) => ring.map(([x, y]): Point => [-y, x])) : rings);
      expect(sweep.parents).toEqual(parents);
      for (let i = 1; i < first; i++) expect(parents[i]).toBe(0);
      for (let i = first; i < rings.length; i++) expect(parents[i]).toBe(i - first + 1);
    }
  });

  test("the same ring twice is a pair, one in the other", () => {
    const ring: Point[] = [
      [0, 0],
      [3, 1],
      [2, 4],
    ];
    expect([...nest([ring, ring]).depths]).toEqual([0, 1]);
    expect([...nest([ring, [...ring].reverse()]).depths]).toEqual([0, 1]);
  });

  test("rings without area, upright ones, and rings that cross end", () => {
    expect([
      ...nest([
        [
          [0, 0],
          [0, 1],
          [0, 2],
        ],
        [
          [1, 0],
          [2, 0],
          [3, 0],
        ],
      ]).depths,
    ]).toEqual([0, 0]);
    fc.assert(
      fc.property(
        fc.array(
          fc.array(fc.tuple(fc.integer({ min: 0, max: 6 }), fc.integer({ min: 0, max: 6 })), {
            minLength: 3,
            maxLength: 9,
          }),
          { minLength: 2, maxLength: 6 },
        ),
        (rings) => {
          const found = nest(rings);
          for (const { parents, depths } of [found, found.sweep]) {
            parents.forEach((parent, i) => expect(depths[i]).toBe(parent < 0 ? 0 : depths[parent]! + 1));
          }
        },
      ),
      { numRuns: runs(2000) },
    );
  });

  test("time grows as n log n: a hundred thousand corners in rings that all lie in one another, or all beside", () => {
    const deep: Point[][] = [];
    const flat: Point[][] = [];
    for (let i = 0; i < 25_000; i++) {
      const r = 25_000 - i;
      deep.push([
        [-r, -r],
        [r, -r],
        [r, r],
        [-r, r],
      ]);
      flat.push([
        [i, 0],
        [i + 0.5, 0],
        [i + 0.5, 1],
        [i, 1],
      ]);
    }
    expect(nest(deep).depths[24_999]).toBe(24_999);
    expect(Math.max(...nest(flat).depths)).toBe(0);
  });
});
