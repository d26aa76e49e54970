import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  nearestOnLine,
  type Point,
  ringCrossings,
  signedArea,
  simplifyLine,
  simplifyRing,
} from "../../src/geometry/index.js";
import { expectCode } from "../helpers/within.js";
import { comb, PLACES, placed, random, rectangle, spiral, starShaped } from "./shapes.js";

const c = fc.double({ min: -50, max: 50, noNaN: true }).map((v) => Math.round(v * 1e6) / 1e6);

describe("simplifyLine", () => {
  it("drops what lies on a straight piece with tolerance 0, and keeps the ends of any line", () => {
    expect(
      simplifyLine(
        [
          [0, 0],
          [1, 0],
          [2, 0],
          [2, 2],
        ],
        0,
      ),
    ).toEqual([
      [0, 0],
      [2, 0],
      [2, 2],
    ]);
    expect(
      simplifyLine(
        [
          [0, 0],
          [5, 1],
          [10, 0],
        ],
        2,
      ),
    ).toEqual([
      [0, 0],
      [10, 0],
    ]);
    expect(
      simplifyLine(
        [
          [0, 0],
          [5, 1],
          [0, 0],
        ],
        0.5,
      ),
    ).toEqual([
      [0, 0],
      [5, 1],
      [0, 0],
    ]);
  });

  it("leaves no dropped point farther than the tolerance away", () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(c, c), { minLength: 2 }),
        fc.double({ min: 0, max: 20, noNaN: true }),
        (points, tolerance) => {
          const kept = simplifyLine(points, tolerance);
          expect(kept[0]).toBe(points[0]);
          expect(kept[kept.length - 1]).toBe(points[points.length - 1]);
          if (kept.every((p) => p[0] === kept[0]![0] && p[1] === kept[0]![1])) return;
          for (const p of points) expect(nearestOnLine(kept, p).distance).toBeLessThanOrEqual(tolerance + 1e-9);
        },
      ),
    );
  });

  it("takes a line of 200 000 points without running out of stack", () => {
    const next = random(2);
    const points = Array.from({ length: 200_000 }, (_, i): Point => [i, i % 2 === 0 ? 0 : next()]);
    expect(simplifyLine(points, 2)).toHaveLength(2);
  });

  it("throws for a bad tolerance and bad points", () => {
    expectCode(
      () =>
        simplifyLine(
          [
            [0, 0],
            [1, 1],
          ],
          -1,
        ),
      "out-of-range",
    );
    expectCode(
      () =>
        simplifyLine(
          [
            [0, 0],
            [1, 1],
          ],
          Number.NaN,
        ),
      "not-finite",
    );
    expectCode(() => simplifyLine([[0, 0]], 1), "too-few-points");
  });
});

describe("simplifyRing", () => {
  it("never collapses, however large the tolerance", () => {
    for (const ring of [
      rectangle(0, 0, 4, 4),
      starShaped(100, () => 5),
      [
        [0, 0],
        [100, 0],
        [100, 1e-6],
      ] as Point[],
    ]) {
      const kept = simplifyRing(ring, 1e6);
      expect(kept.length).toBeGreaterThanOrEqual(4);
      expect(Math.sign(signedArea(kept))).toBe(Math.sign(signedArea(ring)));
      expect(kept[0]).toEqual(kept[kept.length - 1]);
    }
  });

  const shapes: Record<string, () => Point[]> = {
    "a comb": () => comb(60, 20),
    "a spiral": () => spiral(400, 5),
    "a wavy ring": () => starShaped(500, (i) => 100 + 10 * Math.sin(i * 0.7) + 3 * Math.sin(i * 3.1)),
  };
  const cases = Object.keys(shapes).flatMap((name) => PLACES.map((place) => ({ name, place })));
  it.for(cases)("stays simple and within the tolerance: $name, $place.name", ({ name, place }) => {
    const ring = placed(shapes[name]!(), place.degrees, place.east, place.north);
    for (const tolerance of [0.01, 0.1, 0.3, 0.6, 1, 3, 10, 40]) {
      const kept = simplifyRing(ring, tolerance);
      expect(ringCrossings(kept)).toEqual([]);
      expect(kept.length).toBeLessThanOrEqual(ring.length + 1);
      for (const p of ring) expect(nearestOnLine(kept, p).distance).toBeLessThanOrEqual(tolerance + 1e-8);
    }
  });

  it("drops the points in the straight sides of a rectangle, wherever it starts", () => {
    const side = Array.from({ length: 50 }, (_, i): Point => [i / 5, 0]);
    const ring = [...side, [10, 0], [10, 5], [0, 5]] as Point[];
    for (const k of [0, 7, 30]) expect(simplifyRing([...ring.slice(k), ...ring.slice(0, k)], 0.001)).toHaveLength(5);
  });
});
