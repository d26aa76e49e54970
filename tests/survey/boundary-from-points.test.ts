import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { localFrame } from "../../src/frames/index.js";
import type { Line, Point } from "../../src/geometry/types.js";
import {
  addPoint,
  boundaryFromPoints,
  insertPoint,
  measurePolygon,
  movePoint,
  removePoint,
} from "../../src/survey/index.js";
import { expectCode, expectWithin } from "../helpers/within.js";

const square: Line = Object.freeze([
  [0, 0],
  [100, 0],
  [100, 100],
  [0, 100],
] as const);

describe("points set one by one", () => {
  test("set, moved, put in between, taken away: each a new list", () => {
    let points: Line = [];
    for (const p of square) points = addPoint(points, p);
    expect(points).toEqual(square);
    expect(movePoint(square, 2, [120, 100])).toEqual([
      [0, 0],
      [100, 0],
      [120, 100],
      [0, 100],
    ]);
    expect(insertPoint(square, 0, [-5, 50])[0]).toEqual([-5, 50]);
    expect(insertPoint(square, 4, [-5, 50])[4]).toEqual([-5, 50]);
    expect(removePoint(square, 0)).toEqual(square.slice(1));
    expect(square).toHaveLength(4);
  });
  test("inverse pairs: insert and remove, move there and back", () => {
    const point = fc.tuple(
      fc.double({ noNaN: true, noDefaultInfinity: true }),
      fc.double({ noNaN: true, noDefaultInfinity: true }),
    );
    fc.assert(
      fc.property(fc.array(point, { minLength: 1 }), point, fc.nat(), (points, p, k) => {
        const at = k % points.length;
        expect(removePoint(insertPoint(points, at, p), at)).toEqual(points);
        expect(removePoint(addPoint(points, p), points.length)).toEqual(points);
        expect(movePoint(movePoint(points, at, p), at, points[at]!)).toEqual(points);
      }),
    );
  });
  test("an index that is none and a point that is none are refused", () => {
    expectCode(() => movePoint(square, 4, [0, 0]), "out-of-range");
    expectCode(() => movePoint(square, -1, [0, 0]), "out-of-range");
    expectCode(() => insertPoint(square, 5, [0, 0]), "out-of-range");
    expectCode(() => removePoint(square, 1.5), "out-of-range");
    expectCode(() => removePoint(square, Number.NaN), "not-finite");
    expectCode(() => removePoint([], 0), "out-of-range");
    expectCode(() => addPoint(square, [0, Number.NaN]), "not-finite");
    expectCode(() => movePoint(square, 0, undefined as unknown as Point), "not-finite");
  });
});

describe("a boundary from points", () => {
  test("either way round, closed or not: closed and counter-clockwise, holes clockwise", () => {
    const hole: Line = [
      [20, 20],
      [40, 20],
      [40, 40],
      [20, 40],
    ];
    for (const points of [square, [...square].reverse(), [...square, square[0]!]]) {
      for (const inner of [hole, [...hole].reverse()]) {
        const field = boundaryFromPoints(points, [inner]);
        expect(measurePolygon(field)).toEqual({ area: 9600, perimeter: 400, holesArea: 400, holesPerimeter: 80 });
        expect(field.exterior[0]).toEqual(field.exterior[4]);
      }
    }
  });
  test("from positions through a frame", () => {
    const frame = localFrame({ latitude: -23.5, longitude: 179.9999 });
    const positions = square.map((p) => frame.toGeodetic(p));
    const field = boundaryFromPoints(positions.map((p) => frame.toLocal(p)));
    expectWithin(measurePolygon(field).area, 10_000, 1e-5, "m2");
  });
  test("what is no boundary is refused, with its place", () => {
    expectCode(
      () =>
        boundaryFromPoints([
          [0, 0],
          [1, 0],
        ]),
      "too-few-points",
    );
    expectCode(
      () =>
        boundaryFromPoints([
          [0, 0],
          [9, 0],
          [0, 0],
          [9, 0],
        ]),
      "too-few-points",
    );
    expectCode(
      () =>
        boundaryFromPoints([
          [0, 0],
          [5, 5],
          [9, 9],
          [2, 2],
        ]),
      "degenerate",
    );
    const bowTie = expectCode(
      () =>
        boundaryFromPoints([
          [0, 0],
          [100, 100],
          [100, 0],
          [0, 100],
        ]),
      "self-crossing",
    );
    expect(bowTie.message).toContain("(50, 50)");
    const hole: Line = [
      [90, 90],
      [120, 90],
      [120, 120],
    ];
    expectCode(() => boundaryFromPoints(square, [hole]), "hole-outside");
    expectCode(() => boundaryFromPoints(square, [square]), "hole-outside");
    expect(
      expectCode(
        () =>
          boundaryFromPoints([
            [0, 0],
            [1, 0],
            [0, Number.NaN],
          ]),
        "not-finite",
      ).index,
    ).toBe(2);
  });
  test("one bad point can be mended by moving it", () => {
    const crossed = movePoint(square, 3, [150, 50]);
    expectCode(() => boundaryFromPoints(crossed), "self-crossing");
    expect(measurePolygon(boundaryFromPoints(movePoint(crossed, 3, [0, 100]))).area).toBe(10_000);
  });
});
