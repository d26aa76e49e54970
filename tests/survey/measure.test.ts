import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { Point, Ring } from "../../src/geometry/types.js";
import { measurePath, measurePolygon, planArea, slopeAngle, slopeArea } from "../../src/survey/index.js";
import { expectCode, expectWithin } from "../helpers/within.js";

const coordinate = fc.double({ min: -5000, max: 5000, noNaN: true });
const point = fc.tuple(coordinate, coordinate);

describe("a path", () => {
  test("3-4-5 triangle: 70 m along, 50 m direct", () => {
    expect(
      measurePath([
        [0, 0],
        [30, 0],
        [30, 40],
      ]),
    ).toEqual({ length: 70, direct: 50 });
  });
  test("none and one point measure 0, a closed path is 0 direct", () => {
    expect(measurePath([])).toEqual({ length: 0, direct: 0 });
    expect(measurePath([[5, 5]])).toEqual({ length: 0, direct: 0 });
    expect(
      measurePath([
        [0, 0],
        [10, 0],
        [0, 0],
      ]),
    ).toEqual({ length: 20, direct: 0 });
  });
  test("direct is never longer than the path, and the way back measures the same", () => {
    fc.assert(
      fc.property(fc.array(point, { minLength: 2, maxLength: 30 }), (points) => {
        const there = measurePath(points);
        const back = measurePath([...points].reverse());
        expect(there.direct).toBeLessThanOrEqual(there.length * (1 + 1e-14));
        expectWithin(back.length, there.length, 1e-12 * there.length);
        expectWithin(back.direct, there.direct, 1e-12 * there.direct);
      }),
    );
  });
  test("a bad point is named", () => {
    const error = expectCode(
      () =>
        measurePath([
          [0, 0],
          [1, Number.NaN],
        ]),
      "not-finite",
    );
    expect(error.index).toBe(1);
    expectCode(() => measurePath("0,0 1,1" as never), "too-few-points");
  });
});

describe("a polygon", () => {
  // closed forms: a rectangle, an L of 200 x 200 less 100 x 100, the triangle 300-400-500
  const shapes: [string, Ring, number, number][] = [
    [
      "rectangle",
      [
        [0, 0],
        [200, 0],
        [200, 100],
        [0, 100],
      ],
      20_000,
      600,
    ],
    [
      "L",
      [
        [0, 0],
        [200, 0],
        [200, 100],
        [100, 100],
        [100, 200],
        [0, 200],
      ],
      30_000,
      800,
    ],
    [
      "triangle",
      [
        [0, 0],
        [400, 0],
        [0, 300],
      ],
      60_000,
      1200,
    ],
  ];
  test.for(shapes)("%s, open and closed, both windings, turned and moved to UTM size", ([, ring, area, perimeter]) => {
    for (const angle of [0, 0.7, 2.1]) {
      const moved = ring.map(
        ([x, y]): Point => [
          500_000 + x * Math.cos(angle) - y * Math.sin(angle),
          5_800_000 + x * Math.sin(angle) + y * Math.cos(angle),
        ],
      );
      for (const exterior of [moved, [...moved, moved[0]!], [...moved].reverse()]) {
        const measured = measurePolygon({ exterior, holes: [] });
        // a northing of 5.8e6 m is stored to 1e-9 m
        expectWithin(measured.area, area, 1e-6, "m2");
        expectWithin(measured.perimeter, perimeter, 1e-8, "m");
      }
    }
  });
  test("holes are taken off the area and not the perimeter", () => {
    const exterior: Ring = [
      [0, 0],
      [100, 0],
      [100, 100],
      [0, 100],
    ];
    const holes: Ring[] = [
      [
        [10, 10],
        [20, 10],
        [20, 20],
        [10, 20],
      ],
      [
        [50, 50],
        [50, 60],
        [70, 60],
        [70, 50],
      ],
    ];
    expect(measurePolygon({ exterior, holes })).toEqual({
      area: 9700,
      perimeter: 400,
      holesArea: 300,
      holesPerimeter: 100,
    });
  });
  test("area and perimeter do not depend on start vertex or winding", () => {
    fc.assert(
      fc.property(fc.array(point, { minLength: 3, maxLength: 20 }), fc.nat(), (ring, shift) => {
        fc.pre(new Set(ring.map(String)).size >= 3);
        const k = shift % ring.length;
        const turned = [...ring.slice(k), ...ring.slice(0, k)].reverse();
        const a = measurePolygon({ exterior: ring, holes: [] });
        const b = measurePolygon({ exterior: turned, holes: [] });
        expectWithin(b.area, a.area, 1e-6, "m2");
        expectWithin(b.perimeter, a.perimeter, 1e-9, "m");
      }),
    );
  });
  test("100 000 vertices at UTM size, and a spike of no width, measure by the closed form", () => {
    const n = 100_000;
    const exterior = Array.from({ length: n }, (_, i): Point => {
      const a = (2 * Math.PI * i) / n;
      return [500_000 + 250 * Math.cos(a), 5_800_000 + 250 * Math.sin(a)];
    });
    const measured = measurePolygon({ exterior, holes: [] });
    // a northing of 5.8e6 m is stored to 1e-9 m: 1e5 edges of it
    expectWithin(measured.area, (n / 2) * 250 ** 2 * Math.sin((2 * Math.PI) / n), 1e-3, "m2");
    expectWithin(measured.perimeter, 2 * n * 250 * Math.sin(Math.PI / n), 1e-4, "m");
    const spiked: Ring = [
      [0, 0],
      [100, 0],
      [100, 50],
      [300, 50],
      [100, 50],
      [100, 100],
      [0, 100],
    ];
    expect(measurePolygon({ exterior: spiked, holes: [] })).toMatchObject({ area: 10_000, perimeter: 800 });
  });
  test("collinear points have area 0; fewer than three distinct are refused", () => {
    expect(
      measurePolygon({
        exterior: [
          [0, 0],
          [1, 1],
          [2, 2],
        ],
        holes: [],
      }).area,
    ).toBe(0);
    const ring: Ring = [
      [0, 0],
      [1, 1],
      [0, 0],
      [1, 1],
      [0, 0],
    ];
    const error = expectCode(() => measurePolygon({ exterior: ring, holes: [] }), "too-few-points");
    expect(error.message).toBe("polygon.exterior has 2 distinct points, needs 3");
    const square: Ring = [
      [0, 0],
      [9, 0],
      [9, 9],
      [0, 9],
    ];
    expect(expectCode(() => measurePolygon({ exterior: square, holes: [[[1, 1]]] }), "too-few-points").argument).toBe(
      "polygon.holes[0]",
    );
  });
});

describe("slopes", () => {
  // plan over slope area for a gradient in per cent, to six decimals: cos(atan g)
  test.for([
    [0.05, 0.998752],
    [0.1, 0.995037],
    [0.2, 0.980581],
    [0.3, 0.957826],
  ] as const)("a gradient of %d has %d of its slope area on the plan", ([gradient, share]) => {
    expectWithin(planArea(1, slopeAngle(gradient)), share, 5e-7);
    expectWithin(planArea(slopeArea(10_000, slopeAngle(gradient)), slopeAngle(gradient)), 10_000, 1e-9, "m2");
  });
  test("a gradient of 1 is 45 degrees; 90 degrees and NaN are refused", () => {
    expectWithin(slopeAngle(1), 45, 1e-13);
    expectWithin(slopeAngle(-1), -45, 1e-13);
    expectCode(() => slopeArea(1, 90), "out-of-range");
    expectCode(() => planArea(1, -90), "out-of-range");
    expectCode(() => slopeArea(Number.NaN, 3), "not-finite");
    expectCode(() => slopeAngle(Number.NaN), "not-finite");
  });
});
