import { describe, expect, test } from "vitest";
import { recordedCurve, wavyField } from "../../bench/workloads.js";
import type { Point, Polygon } from "../../src/geometry/types.js";
import { offsetLine, offsetLineFamily, offsetPolygon, offsetPolygonFamily } from "../../src/offset/index.js";
import { random } from "../helpers/random.js";
import { chainsOf, LONG } from "./engine.js";
import { judgeLine, judgePolygons } from "./oracle.js";
import { lineKinds, polygonKinds } from "./shapes.js";

/** Inputs that an offset once got wrong, as small as they could be made, and the ones they were found in. */

describe("lines", () => {
  const judged = (line: readonly Point[], distance: number): string[] => {
    const chains = chainsOf(offsetLine(line, distance));
    return judgeLine(line, distance, false, chains, { monotone: false }).defects.slice(0, 3);
  };

  test("sharp corners much nearer to one another than the distance", () => {
    const line: Point[] = [
      [143.2, 38],
      [143.3, 38.16],
      [143.4, 38],
      [143.45, 38.22],
      [144, 38.2],
      [144.7, 38.7],
    ];
    expect(judged(line, -12)).toEqual([]);
    expect(judged(line, 12)).toEqual([]);
  });

  test("noise 10 cm apart and a metre apart, on the inner side of a bend", () => {
    expect(judged(lineKinds["drive with 2 cm noise"](random(1_000_022)), -42.481489617076534)).toEqual([]);
    expect(judged(lineKinds["drive with 2 cm noise, 10 cm apart"](random(1_000_013)), -22.597815430223363)).toEqual([]);
    expect(judged(lineKinds["drive with 2 cm noise, 10 cm apart"](random(1_000_009)), 8.367635221745134)).toEqual([]);
  });

  test("forty passes each side of a recorded curve", () => {
    const line = recordedCurve(LONG ? 10_000 : 1000);
    const distances = Array.from({ length: 80 }, (_, i) => 6 * (i < 40 ? i - 40 : i - 39));
    const family = offsetLineFamily(line, distances);
    const failures = distances.flatMap((distance, i) => {
      if (!LONG && i % 8 !== 3) return [];
      const { defects } = judgeLine(line, distance, false, chainsOf(family[i]!), {
        interior: 1,
        spacing: 3,
        monotone: false,
      });
      return defects.slice(0, 1).map((what) => `${distance} m: ${what}`);
    });
    expect(failures).toEqual([]);
  });

  test("a corner that falls exactly on the ends of two segments is kept", () => {
    const line: Point[] = [
      [0, -12],
      [0, 4],
      [0, 12],
      [-8, 12],
      [-32, 12],
    ];
    expect(judged(line, -8)).toEqual([]);
    expect(offsetLine(line, -8)[0]!.points).toEqual([
      [-8, -12],
      [-8, 4],
      [-32, 4],
    ]);
  });

  test("stations of a loop that crosses itself stay within a lap past its start", () => {
    const line: Point[] = [
      [-47.26, -57.67],
      [56.26, -27.35],
      [-50.36, 38.48],
      [51.87, -8.97],
      [-3.15, -17.93],
      [53.08, -35.32],
      [32.47, -22.35],
    ];
    const chains = chainsOf(offsetLine(line, 1, { closed: true }));
    expect(judgeLine(line, 1, true, chains, { monotone: false }).defects.slice(0, 3)).toEqual([]);
  });
});

describe("polygons", () => {
  const judged = (polygon: Polygon, distance: number, spacing = 0.5): string[] => {
    const result = offsetPolygon(polygon, distance);
    return judgePolygons([polygon], distance, result, { interior: 2, spacing, ties: true }).defects.slice(0, 3);
  };

  test("a noisy circle far inward keeps its ring", () => {
    expect(judged(polygonKinds["noisy circle"](random(1_000_023)), -36.203292300895576)).toEqual([]);
  });

  test("a field of 20 000 noisy vertices and 50 obstacles, 12 m inward", () => {
    expect(judged(wavyField(20_000, 50), -12, 1)).toEqual([]);
  });

  test("eleven rings of a field of 2000 noisy vertices", () => {
    const field = wavyField(2000, 5);
    const distances = Array.from({ length: 11 }, (_, i) => -(12 + 6 * i));
    const failures = offsetPolygonFamily(field, distances).flatMap((result, i) => {
      const { defects } = judgePolygons([field], distances[i]!, result, { interior: 1, spacing: 2 });
      return defects.slice(0, 1).map((what) => `${distances[i]} m: ${what}`);
    });
    expect(failures).toEqual([]);
  });

  test.for([-4, -8, -12, -48, -8.5, 4])("a square with a vertex each 4 m, %f m", (distance) => {
    const exterior: Point[] = [];
    for (let i = 0; i < 100; i += 4) exterior.push([i, 0]);
    for (let i = 0; i < 100; i += 4) exterior.push([100, i]);
    for (let i = 100; i > 0; i -= 4) exterior.push([i, 100]);
    for (let i = 100; i > 0; i -= 4) exterior.push([0, i]);
    const result = offsetPolygon({ exterior, holes: [] }, distance);
    expect(judgePolygons([{ exterior, holes: [] }], distance, result).defects.slice(0, 3)).toEqual([]);
    expect(result.length).toBe(1);
    if (distance < 0) expect(result[0]!.exterior.length).toBe(5);
  });

  // as in the outline of county 24045 of us-atlas: there is no ground on either side of the spike
  test.for<[string, Point[]]>([
    [
      "a spike of no width from a notch",
      [
        [0, 0],
        [100, 0],
        [80, 50],
        [90, 50],
        [80, 50],
        [100, 100],
        [0, 100],
      ],
    ],
    [
      "the same, tip repeated",
      [
        [0, 0],
        [100, 0],
        [80, 50],
        [90, 50],
        [90, 50],
        [80, 50],
        [100, 100],
        [0, 100],
      ],
    ],
    [
      "a slit of no width into a corner",
      [
        [0, 0],
        [100, 0],
        [80, 20],
        [100, 0],
        [100, 100],
        [0, 100],
      ],
    ],
  ])("%s", ([, exterior]) => {
    const polygon = { exterior, holes: [] };
    expect(judged(polygon, -5)).toEqual([]);
    expect(judged(polygon, 5)).toEqual([]);
    expect(offsetPolygon(polygon, -5).length).toBe(1);
    expect(offsetPolygon(polygon, 5).length).toBe(1);
  });

  // as in the outline of county 51041: the last vertex lies on the second segment but for rounding
  test("a ring that retraces a stretch is refused or grown, never lost", () => {
    const exterior: Point[] = [
      [44378, -11749],
      [42158.836, -19295.662],
      [39622.966, -20059.8466],
      [41524.8686, -19486.7082],
    ];
    let parts: number | string | undefined;
    try {
      parts = offsetPolygon({ exterior, holes: [] }, 100).length;
    } catch (error) {
      parts = (error as { code?: string }).code;
    }
    expect([1, "self-crossing"]).toContain(parts);
  });
});
