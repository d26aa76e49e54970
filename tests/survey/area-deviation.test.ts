import { expect, test } from "vitest";
import type { Point } from "../../src/geometry/types.js";
import { areaDeviation, measurePolygon } from "../../src/survey/index.js";
import { expectCode, expectWithin } from "../helpers/within.js";
import { gaussian } from "./laps.js";

const square: Point[] = [
  [0, 0],
  [200, 0],
  [200, 200],
  [0, 200],
];

test("a square: side times deviation times the root of 2", () => {
  expectWithin(areaDeviation(square, 0.3), 0.3 * 200 * Math.SQRT2, 1e-9, "m2");
  expect(areaDeviation([...square, square[0]!], 0.3)).toBe(areaDeviation(square, 0.3));
  expect(areaDeviation(square, 0)).toBe(0);
});

test("any shape agrees with 20 000 drawn shapes within 2 %", () => {
  const shape: Point[] = [
    [0, 0],
    [300, 20],
    [260, 150],
    [120, 90],
    [30, 180],
  ];
  const normal = gaussian(42);
  const draws = 20_000;
  let sum = 0;
  let squares = 0;
  for (let k = 0; k < draws; k++) {
    const drawn = shape.map(([x, y]): Point => [x + 0.5 * normal(), y + 0.5 * normal()]);
    const area = measurePolygon({ exterior: drawn, holes: [] }).area;
    sum += area;
    squares += area * area;
  }
  const mean = sum / draws;
  const found = Math.sqrt(squares / draws - mean * mean);
  expectWithin(areaDeviation(shape, 0.5) / found, 1, 0.02, "ratio");
});

test("bad input is refused", () => {
  expectCode(() => areaDeviation([[0, 0]], 1), "too-few-points");
  expectCode(() => areaDeviation(square, -1), "out-of-range");
  expectCode(() => areaDeviation(square, Number.NaN), "not-finite");
});
