import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  nearestOnLine,
  type Point,
  type Polygon,
  PolygonIndex,
  pointInPolygon,
  segmentCrossing,
} from "../../src/geometry/index.js";
import { expectCode, expectWithin } from "../helpers/within.js";
import { comb, PLACES, placed, polygon, random, rectangle, spiral, starShaped } from "./shapes.js";

describe("pointInPolygon", () => {
  const field = polygon(rectangle(0, 0, 10, 10), rectangle(4, 4, 2, 2));

  it("tells inside, boundary and outside, holes included", () => {
    expect(pointInPolygon(field, [1, 1])).toBe("inside");
    expect(pointInPolygon(field, [5, 5])).toBe("outside");
    expect(pointInPolygon(field, [11, 5])).toBe("outside");
    for (const p of [
      [0, 0],
      [10, 10],
      [5, 0],
      [0, 5],
      [10, 3],
      [3, 10],
      [4, 5],
      [6, 6],
      [5, 4],
    ] as Point[]) {
      expect(pointInPolygon(field, p), String(p)).toBe("boundary");
    }
  });

  it("is exact to one unit in the last place", () => {
    const triangle = polygon([
      [0, 0],
      [1, 0.1],
      [0, 1],
    ]);
    // on the first edge in doubles: 3 · 0.1 is one unit above 0.3
    expect(
      pointInPolygon(
        polygon([
          [0, 0],
          [10, 3],
          [0, 9],
        ]),
        [5, 1.5],
      ),
    ).toBe("boundary");
    expect(
      pointInPolygon(
        polygon([
          [0, 0],
          [10, 3],
          [0, 9],
        ]),
        [5, 1.5 - 2 ** -52],
      ),
    ).toBe("outside");
    expect(
      pointInPolygon(
        polygon([
          [0, 0],
          [10, 3],
          [0, 9],
        ]),
        [5, 1.5 + 2 ** -52],
      ),
    ).toBe("inside");
    expect(pointInPolygon(triangle, [0.5, 0.25])).toBe("inside");
  });

  it("does not stumble over a ray that meets vertices or runs along edges", () => {
    const steps = polygon([
      [0, 0],
      [4, 0],
      [4, 2],
      [6, 2],
      [6, 0],
      [10, 0],
      [10, 4],
      [6, 4],
      [6, 3],
      [4, 3],
      [4, 4],
      [0, 4],
    ]);
    expect(pointInPolygon(steps, [1, 2])).toBe("inside");
    expect(pointInPolygon(steps, [5, 2.5])).toBe("inside");
    expect(pointInPolygon(steps, [5, 0])).toBe("outside");
    expect(pointInPolygon(steps, [5, 4])).toBe("outside");
    expect(pointInPolygon(steps, [-1, 2])).toBe("outside");
    expect(pointInPolygon(steps, [11, 2])).toBe("outside");
  });
});

describe("PolygonIndex", () => {
  const hollow = polygon(rectangle(0, 0, 10, 10), rectangle(4, 4, 2, 2));

  it("counts the boundary as inside, of holes too", () => {
    const index = new PolygonIndex(hollow);
    expect(index.contains(0, 5)).toBe(true);
    expect(index.contains(4, 5)).toBe(true);
    expect(index.contains(5, 5)).toBe(false);
    expect(index.contains(10 + 1e-12, 5)).toBe(false);
    expect(index.bounds).toEqual({ minX: 0, minY: 0, maxX: 10, maxY: 10 });
  });

  it("takes a list as the union of its polygons, overlapping or touching, and an empty list as nothing", () => {
    const two = new PolygonIndex([polygon(rectangle(0, 0, 6, 4)), polygon(rectangle(4, 0, 6, 4)), hollow]);
    expect(two.contains(5, 2)).toBe(true);
    expect(two.insideShare(-5, 2, 15, 2)).toBe(0.5);
    const none = new PolygonIndex([]);
    expect(none.contains(0, 0)).toBe(false);
    expect(none.insideShare(0, 0, 1, 1)).toBe(0);
    expect(none.distanceToBoundary(0, 0)).toBe(Number.NaN);
  });

  it("fills a hole of one polygon by another that lies in it", () => {
    const filled = new PolygonIndex([hollow, polygon(rectangle(4, 4, 2, 2))]);
    expect(filled.contains(5, 5)).toBe(true);
    expect(filled.insideShare(0, 5, 10, 5)).toBe(1);
  });

  it("throws for what is no polygon, with the name of the ring", () => {
    expect(
      expectCode(
        () =>
          new PolygonIndex(
            polygon([
              [0, 0],
              [1, 1],
            ]),
          ),
        "too-few-points",
      ).argument,
    ).toBe("polygon.exterior");
    const bad = polygon(rectangle(0, 0, 9, 9), [
      [1, 1],
      [2, Number.NaN],
      [2, 2],
    ]);
    expect(expectCode(() => new PolygonIndex([hollow, bad]), "not-finite").argument).toBe("polygons[1].holes[0]");
    expectCode(() => new PolygonIndex(null as unknown as Polygon), "too-few-points");
    expectCode(() => new PolygonIndex([{ exterior: rectangle(0, 0, 1, 1) } as unknown as Polygon]), "too-few-points");
  });

  it("answers what is not finite with false, 0 and NaN", () => {
    const index = new PolygonIndex(hollow);
    expect(index.contains(Number.NaN, 1)).toBe(false);
    expect(index.contains(1, Number.POSITIVE_INFINITY)).toBe(false);
    expect(index.insideShare(1, 1, Number.NaN, 1)).toBe(0);
    expect(index.insideShare(1, 1, Number.POSITIVE_INFINITY, 1)).toBe(0);
    expect(index.distanceToBoundary(Number.NaN, 1)).toBe(Number.NaN);
  });

  const shapes: Record<string, () => Polygon> = {
    "a rectangle of many points on its sides": () => polygon(dense(rectangle(0, 0, 40, 20), 0.1)),
    "a ring with holes": () =>
      polygon(
        starShaped(500, (i) => 40 + 5 * Math.sin(i * 0.3)),
        rectangle(-5, -5, 4, 4),
        starShaped(90, (i) => 1 + (i % 2)).map(([x, y]): Point => [x + 10, y]),
      ),
    "a comb of 400 teeth": () => polygon(comb(400, 100)),
    "a comb lying on its side": () => polygon(comb(400, 100).map(([x, y]): Point => [-y, x])),
    "a spiral": () => polygon(spiral(600, 8)),
    "a star of long thin spikes": () => polygon(starShaped(2000, (i) => (i % 2 === 0 ? 50 : 100))),
    "a field with a dense clump of points in one place": () =>
      polygon([
        [0, 0],
        [1000, 0],
        [1000, 1000],
        ...starShaped(2000, () => 0.01)
          .slice(0, 1000)
          .map(([x, y]): Point => [500 + x, 1000 - y]),
        [0, 1000],
      ]),
    "a triangle thinner than a micrometre": () =>
      polygon([
        [0, 0],
        [100, 1e-7],
        [50, 3e-7],
      ]),
    "whole metres, so that edges and vertices fall on cell borders": () =>
      polygon(starShaped(24, (i) => 16 + 8 * (i % 2)).map(([x, y]): Point => [Math.round(x), Math.round(y)])),
  };
  const cases = Object.keys(shapes).flatMap((name) => PLACES.map((place) => ({ name, place })));
  it.for(cases)("says the same as brute force of $name, $place.name", ({ name, place }) => {
    const plain = shapes[name]!();
    const move = (points: readonly Point[]): Point[] => placed(points, place.degrees, place.east, place.north);
    const shape = { exterior: move(plain.exterior), holes: plain.holes.map(move) };
    const index = new PolygonIndex(shape);
    const { minX, minY, maxX, maxY } = index.bounds;
    const next = random(shape.exterior.length);
    for (let k = 0; k < 600; k++) {
      let x = minX + next() * (maxX - minX);
      let y = minY + next() * (maxY - minY);
      if (k % 3 === 1) [x, y] = shape.exterior[Math.floor(next() * shape.exterior.length)]!;
      if (k % 6 === 4) {
        x += (next() - 0.5) * 0.01;
        y += (next() - 0.5) * 0.01;
      }
      if (k % 5 === 2) x = Math.round(x);
      if (k % 5 > 2) y = Math.round(y);
      expect(index.contains(x, y), `${x}, ${y}`).toBe(pointInPolygon(shape, [x, y]) !== "outside");
    }
    for (let k = 0; k < 100; k++) {
      const reach = k % 2 === 0 ? 3 : 200;
      const a: Point = [minX + next() * (maxX - minX), minY + next() * (maxY - minY)];
      const b: Point = [a[0] + (next() - 0.5) * reach, a[1] + (next() - 0.5) * reach];
      // places on the segment are rounded at the size of the coordinates
      const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
      const tolerance = 1e-9 + (place.east === 0 ? 0 : (20 * 2 ** -29) / length);
      expectWithin(
        index.insideShare(a[0], a[1], b[0], b[1]),
        plainShare(shape, a, b),
        tolerance,
        `share of ${String(a)} to ${String(b)}`,
      );
      const distance = index.distanceToBoundary(a[0], a[1]);
      const rings = [shape.exterior, ...shape.holes];
      const expected = Math.min(...rings.map((ring) => nearestOnLine(ring, a, { closed: true }).distance));
      expectWithin(distance, expected, 1e-9 + 1e-12 * expected);
    }
  });

  describe("insideShare", () => {
    const index = new PolygonIndex(hollow);

    it("is the share of the length between exact crossings", () => {
      expect(index.insideShare(-5, 2, 5, 2)).toBe(0.5);
      expect(index.insideShare(0, 5, 10, 5)).toBe(0.8);
      expect(index.insideShare(10, 5, 0, 5)).toBe(0.8);
      expect(index.insideShare(1, 1, 3, 3)).toBe(1);
      expect(index.insideShare(4.5, 4.5, 5.5, 5.5)).toBe(0);
      expect(index.insideShare(20, 20, 30, 30)).toBe(0);
    });

    it("counts what runs along a boundary as inside, and what only touches it as it is beside", () => {
      expect(index.insideShare(0, 0, 10, 0)).toBe(1);
      expect(index.insideShare(-10, 0, 10, 0)).toBe(0.5);
      expect(index.insideShare(4, 4, 4, 6)).toBe(1);
      // across a corner only
      expect(index.insideShare(-1, 1, 1, -1)).toBe(0);
      // from one hole corner past the next
      expect(index.insideShare(3, 3, 7, 7)).toBe(0.5);
      expect(index.insideShare(3, 5, 5, 3)).toBe(1);
      // outside, ending on the boundary
      expect(index.insideShare(-4, 5, 0, 5)).toBe(0);
    });

    it("counts a slanted edge as inside where the ends are its own points", () => {
      const slant = new PolygonIndex(
        polygon([
          [0, 0],
          [0.1, 0.7],
          [-3, 5],
        ]),
      );
      expect(slant.insideShare(0, 0, 0.1, 0.7)).toBe(1);
      expect(slant.insideShare(0.1, 0.7, 0, 0)).toBe(1);
    });

    it("of a segment of no length is 0 or 1 as its point lies", () => {
      expect(index.insideShare(1, 1, 1, 1)).toBe(1);
      expect(index.insideShare(0, 0, 0, 0)).toBe(1);
      expect(index.insideShare(5, 5, 5, 5)).toBe(0);
      expect(index.insideShare(-5, 5, -5, 5)).toBe(0);
    });

    it("of two parts of a segment adds up to that of the whole", () => {
      const shape = new PolygonIndex(polygon(starShaped(40, (i) => 10 + 8 * Math.sin(i * 1.7))));
      const c = fc.double({ min: -20, max: 20, noNaN: true });
      fc.assert(
        fc.property(c, c, c, c, fc.double({ min: 0.01, max: 0.99, noNaN: true }), (ax, ay, bx, by, t) => {
          const mx = ax + t * (bx - ax);
          const my = ay + t * (by - ay);
          if (Math.hypot(bx - ax, by - ay) < 1e-3) return;
          const parts = t * shape.insideShare(ax, ay, mx, my) + (1 - t) * shape.insideShare(mx, my, bx, by);
          expectWithin(shape.insideShare(ax, ay, bx, by), parts, 1e-9);
          expectWithin(shape.insideShare(bx, by, ax, ay), shape.insideShare(ax, ay, bx, by), 1e-12);
        }),
      );
    });

    it("grows no error along a comb of 1000 crossings", () => {
      const teeth = new PolygonIndex(polygon(comb(500, 10)));
      // half way up, half of the width is tooth
      expectWithin(teeth.insideShare(0, 5, 500, 5), 0.5, 1e-12);
      expectWithin(teeth.insideShare(0, 9, 500, 9), 0.1, 1e-12);
    });
  });
});

function dense(ring: readonly Point[], spacing: number): Point[] {
  return ring.flatMap((a, i) => {
    const b = ring[(i + 1) % ring.length]!;
    const count = Math.round(Math.hypot(b[0] - a[0], b[1] - a[1]) / spacing);
    return Array.from(
      { length: count },
      (_, k): Point => [a[0] + (k / count) * (b[0] - a[0]), a[1] + (k / count) * (b[1] - a[1])],
    );
  });
}

// every crossing by segmentCrossing, every piece by its middle
function plainShare(shape: Polygon, a: Point, b: Point): number {
  const cuts = [0, 1];
  for (const ring of [shape.exterior, ...shape.holes]) {
    ring.forEach((p, i) => {
      const crossing = segmentCrossing(a, b, p, ring[(i + 1) % ring.length]!);
      if (crossing.kind === "point") cuts.push(crossing.t);
    });
  }
  cuts.sort((s, t) => s - t);
  let share = 0;
  for (let i = 1; i < cuts.length; i++) {
    const t = (cuts[i - 1]! + cuts[i]!) / 2;
    const middle: Point = [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])];
    if (cuts[i]! > cuts[i - 1]! && pointInPolygon(shape, middle) !== "outside") share += cuts[i]! - cuts[i - 1]!;
  }
  return share;
}
