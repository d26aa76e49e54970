import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { Point, Polygon } from "../../src/geometry/types.js";
import { offsetLine, offsetPolygon } from "../../src/offset/index.js";
import { distanceBetween } from "./distance-between.js";
import { areaOf, chainsOf, lengthOf, ringsOf } from "./engine.js";
import type { Chain } from "./judgement.js";
import { runs } from "./runs.js";
import { anyLine, anyPolygon } from "./shapes.js";

/**
 * The same source told otherwise: moved, turned, mirrored, scaled, from another start, with more vertices on the same
 * lines. The offset must be the same within a micrometre; arcs are flattened at a micrometre so that chords do not count.
 */
const tolerance = 1e-6;
/** A micrometre, and another for chords that start elsewhere on their arc. */
const ALLOWED = 2e-6;
/** Pieces shorter than this may come and go with the last digit, as a share of the distance. */
const LIMIT = 1e-3;

interface Motion {
  readonly there: (p: Point) => Point;
  readonly back: (p: Point) => Point;
  /** -1 where it turns right into left */
  readonly hand: 1 | -1;
  readonly scale: number;
}

const translate = (dx: number, dy: number): Motion => ({
  there: ([x, y]) => [x + dx, y + dy],
  back: ([x, y]) => [x - dx, y - dy],
  hand: 1,
  scale: 1,
});

const rotate = (degrees: number): Motion => {
  const c = Math.cos((degrees * Math.PI) / 180);
  const s = Math.sin((degrees * Math.PI) / 180);
  return {
    there: ([x, y]) => [c * x - s * y, s * x + c * y],
    back: ([x, y]) => [c * x + s * y, c * y - s * x],
    hand: 1,
    scale: 1,
  };
};

const motions: [string, Motion][] = [
  // powers of two and sixteenths: the moved coordinates keep as many digits as they can
  ["moved by 6e6 m", translate(6_000_000.0625, -5_999_999.5)],
  ["moved by 3.2e7 m", translate(32_000_000, 6_000_000)],
  ["turned by 90 degrees", { there: ([x, y]) => [-y, x], back: ([x, y]) => [y, -x], hand: 1, scale: 1 }],
  ["turned by 33.7 degrees", rotate(33.7)],
  ["turned by 180 degrees", rotate(180)],
  ["mirrored", { there: ([x, y]) => [-x, y], back: ([x, y]) => [-x, y], hand: -1, scale: 1 }],
  ["twice as large", { there: ([x, y]) => [2 * x, 2 * y], back: ([x, y]) => [x / 2, y / 2], hand: 1, scale: 2 }],
];

const distances = fc.double({ min: 0.3, max: 30, noNaN: true });
const map = (polygon: Polygon, f: (p: Point) => Point): Polygon => ({
  exterior: polygon.exterior.map(f),
  holes: polygon.holes.map((hole) => hole.map(f)),
});
const mapChains = (chains: readonly Chain[], f: (p: Point) => Point): Chain[] =>
  chains.map(({ points, closed }) => ({ points: points.map(f), closed }));
const long = (chains: readonly Chain[], distance: number): Chain[] =>
  chains.filter((chain) => lengthOf([chain]) > LIMIT * distance);

/** Round coordinates to what the largest move can hold, so that moving loses nothing. */
const snap = ([x, y]: Point): Point => [Math.round(x * 2 ** 24) / 2 ** 24, Math.round(y * 2 ** 24) / 2 ** 24];

describe("lines", () => {
  test.for(motions)("%s", ([, motion]) => {
    fc.assert(
      fc.property(anyLine, distances, fc.boolean(), ({ kind, seed, shape }, size, left) => {
        const distance = left ? -size : size;
        const line = shape.map(snap);
        const plain = chainsOf(offsetLine(line, distance, { tolerance }));
        const moved = offsetLine(line.map(motion.there), distance * motion.hand * motion.scale, {
          tolerance: tolerance * motion.scale,
        });
        const back = mapChains(chainsOf(moved), motion.back);
        const what = `${kind}, seed ${seed}, distance ${distance}`;
        expect(long(back, size).length, what).toBe(long(plain, size).length);
        expect(distanceBetween(back, plain, LIMIT * size), what).toBeLessThan(ALLOWED);
      }),
      runs(10),
    );
  });

  test("with duplicate points and points on its segments", () => {
    fc.assert(
      fc.property(anyLine, distances, fc.boolean(), ({ kind, seed, shape }, size, left) => {
        const distance = left ? -size : size;
        const denser = shape.flatMap((p, i): Point[] => {
          const q = shape[i + 1];
          if (q === undefined) return [p, p];
          return i % 3 === 0 ? [p, p, [(p[0] + q[0]) / 2, (p[1] + q[1]) / 2]] : i % 3 === 1 ? [p, p] : [p];
        });
        const plain = chainsOf(offsetLine(shape, distance, { tolerance }));
        const dense = chainsOf(offsetLine(denser, distance, { tolerance }));
        const what = `${kind}, seed ${seed}, distance ${distance}`;
        expect(long(dense, size).length, what).toBe(long(plain, size).length);
        expect(distanceBetween(dense, plain, LIMIT * size), what).toBeLessThan(ALLOWED);
      }),
      runs(25),
    );
  });

  test("a loop from another start, with its first point repeated or not", () => {
    fc.assert(
      fc.property(anyLine, distances, fc.nat(), ({ kind, seed, shape }, distance, start) => {
        if (shape.length < 3) return;
        const k = start % shape.length;
        const turned = [...shape.slice(k), ...shape.slice(0, k)];
        const plain = chainsOf(offsetLine(shape, distance, { tolerance, closed: true }));
        const other = chainsOf(offsetLine(turned, distance, { tolerance, closed: true }));
        const repeated = chainsOf(offsetLine([...turned, turned[0]!], distance, { tolerance }));
        const what = `${kind}, seed ${seed}, distance ${distance}, start ${k}`;
        expect(long(other, distance).length, what).toBe(long(plain, distance).length);
        expect(distanceBetween(other, plain, LIMIT * distance), what).toBeLessThan(ALLOWED);
        expect(distanceBetween(repeated, other, LIMIT * distance), what).toBeLessThan(1e-9);
      }),
      runs(20),
    );
  });
});

describe("polygons", () => {
  const same = (a: readonly Polygon[], b: readonly Polygon[], size: number, what: string): void => {
    const edge = lengthOf(ringsOf(a)) + 1;
    expect(Math.abs(areaOf(a) - areaOf(b)), what).toBeLessThan(ALLOWED * edge);
    expect(long(ringsOf(a), size).length, what).toBe(long(ringsOf(b), size).length);
    expect(distanceBetween(ringsOf(a), ringsOf(b), LIMIT * size), what).toBeLessThan(ALLOWED);
  };

  test.for(motions)("%s", ([, motion]) => {
    fc.assert(
      fc.property(anyPolygon, distances, fc.boolean(), ({ kind, seed, shape }, size, inward) => {
        const distance = inward ? -size : size;
        const polygon = map(shape, snap);
        const plain = offsetPolygon(polygon, distance, { tolerance });
        const moved = offsetPolygon(map(polygon, motion.there), distance * motion.scale, {
          tolerance: tolerance * motion.scale,
        });
        // mirroring turns rings round: their areas change sign, and their absolute value is compared
        const back = moved.map((part) => map(part, motion.back));
        const upright = motion.hand === 1 ? back : back.map((part) => reverseRings(part));
        same(upright, plain, size, `${kind}, seed ${seed}, distance ${distance}`);
      }),
      runs(8),
    );
  });

  const reverseRings = (polygon: Polygon): Polygon => ({
    exterior: [...polygon.exterior].reverse(),
    holes: polygon.holes.map((hole) => [...hole].reverse()),
  });

  test("other windings, another start, unclosed rings, holes in another order, duplicate and collinear vertices", () => {
    fc.assert(
      fc.property(anyPolygon, distances, fc.boolean(), fc.nat(), ({ kind, seed, shape }, size, inward, start) => {
        const distance = inward ? -size : size;
        const turn = (ring: readonly Point[], reversed: boolean): Point[] => {
          const open = ring.slice(0, -1);
          const k = start % open.length;
          const from = [...open.slice(k), ...open.slice(0, k)];
          const dense = from.flatMap((p, i): Point[] => {
            const q = from[(i + 1) % from.length]!;
            return i % 2 === 0 ? [p, [(p[0] + q[0]) / 2, (p[1] + q[1]) / 2]] : [p, p];
          });
          return reversed ? dense.reverse() : dense;
        };
        const told = {
          exterior: turn(shape.exterior, true),
          holes: shape.holes.map((hole, i) => turn(hole, i % 2 === 0)).reverse(),
        };
        const plain = offsetPolygon(shape, distance, { tolerance });
        const other = offsetPolygon(told, distance, { tolerance });
        same(other, plain, size, `${kind}, seed ${seed}, distance ${distance}, start ${start}`);
      }),
      runs(20),
    );
  });
});
