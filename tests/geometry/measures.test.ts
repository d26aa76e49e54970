import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  boundsOf,
  footOnSegment,
  normalisePolygon,
  type Point,
  pathLength,
  polygonArea,
  ringLength,
  signedArea,
} from "../../src/geometry/index.js";
import { expectWithin } from "../helpers/within.js";
import { PLACES, placed, polygon, rectangle, starShaped } from "./shapes.js";

const radii = fc.array(fc.double({ min: 1, max: 100, noNaN: true }), { minLength: 3, maxLength: 40 });

describe("signedArea", () => {
  it("is positive counter-clockwise, negative clockwise, the same open and closed", () => {
    const ring = rectangle(2, 3, 4, 5);
    expect(signedArea(ring)).toBe(20);
    expect(signedArea([...ring, ring[0]!])).toBe(20);
    expect(signedArea([...ring].reverse())).toBe(-20);
    expect(signedArea([])).toBe(0);
    expect(signedArea(ring.slice(0, 2))).toBe(0);
  });

  it.for(PLACES)("of a regular 360-gon is n/2 r² sin(2π/n), $name", ({ degrees, east, north }) => {
    const ring = placed(
      starShaped(360, () => 100),
      degrees,
      east,
      north,
    );
    // rounding of the coordinates themselves, 2^-29 m at 3.2e7 m, times the length of the ring
    const tolerance = 1e-9 + 2 ** -29 * 629;
    expectWithin(signedArea(ring), 180 * 1e4 * Math.sin((2 * Math.PI) / 360), east === 0 ? 1e-9 : tolerance);
  });

  it("does not depend on the first vertex, and is kept by turns and moves", () => {
    fc.assert(
      fc.property(radii, fc.nat(), fc.double({ min: 0, max: 360, noNaN: true }), (r, start, degrees) => {
        const ring = starShaped(r.length, (i) => r[i]!);
        const area = signedArea(ring);
        const k = start % ring.length;
        expectWithin(signedArea([...ring.slice(k), ...ring.slice(0, k)]), area, 1e-12 * area);
        expectWithin(signedArea(placed(ring, degrees, 1000, -1000)), area, 1e-9);
      }),
    );
  });
});

describe("polygonArea", () => {
  it("takes holes away whichever way the rings are wound", () => {
    const hole = rectangle(1, 1, 2, 2);
    expect(polygonArea(polygon(rectangle(0, 0, 10, 10), hole))).toBe(96);
    expect(polygonArea(polygon(rectangle(0, 0, 10, 10).reverse(), hole, rectangle(5, 5, 1, 1).reverse()))).toBe(95);
  });
});

describe("lengths", () => {
  it("of a line count its segments, of a ring its closing one too", () => {
    const points: Point[] = [
      [0, 0],
      [3, 4],
      [3, 0],
    ];
    expect(pathLength(points)).toBe(9);
    expect(ringLength(points)).toBe(12);
    expect(ringLength([...points, [0, 0]])).toBe(12);
    expect(pathLength([])).toBe(0);
    expect(ringLength([[1, 1]])).toBe(0);
  });
});

describe("boundsOf", () => {
  it("gives the box of points, and the empty box for none", () => {
    expect(
      boundsOf([
        [3, -1],
        [0, 5],
        [2, 2],
      ]),
    ).toEqual({ minX: 0, minY: -1, maxX: 3, maxY: 5 });
    const empty = boundsOf([]);
    expect(empty.minX).toBeGreaterThan(empty.maxX);
  });
});

describe("footOnSegment", () => {
  it("is the perpendicular foot, or exactly the nearer end", () => {
    expect(footOnSegment([3, 4], [0, 0], [10, 0])).toEqual([3, 0]);
    const end: Point = [10, 0];
    expect(footOnSegment([30, 4], [0, 0], end)).toBe(end);
    expect(footOnSegment([5, 5], end, end)).toBe(end);
  });

  it("is no farther from the point than any other point of the segment", () => {
    const c = fc.double({ min: -100, max: 100, noNaN: true });
    fc.assert(
      fc.property(c, c, c, c, c, c, fc.double({ min: 0, max: 1, noNaN: true }), (ax, ay, bx, by, px, py, t) => {
        const foot = footOnSegment([px, py], [ax, ay], [bx, by]);
        const other = Math.hypot(px - ax - t * (bx - ax), py - ay - t * (by - ay));
        expect(Math.hypot(px - foot[0], py - foot[1])).toBeLessThanOrEqual(other + 1e-12);
      }),
    );
  });
});

describe("normalisePolygon", () => {
  it("closes rings, winds the exterior counter-clockwise and holes clockwise, and leaves its input alone", () => {
    const exterior = Object.freeze(rectangle(0, 0, 10, 10).reverse());
    const hole = Object.freeze(rectangle(2, 2, 1, 1));
    const result = normalisePolygon(polygon(exterior, hole));
    expect(signedArea(result.exterior)).toBe(100);
    expect(signedArea(result.holes[0]!)).toBe(-1);
    for (const ring of [result.exterior, ...result.holes]) expect(ring[0]).toEqual(ring[ring.length - 1]);
    expect(normalisePolygon(result)).toEqual(result);
  });
});
