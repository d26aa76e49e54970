import { describe, expect, test } from "vitest";
import { checkPolygon, polygonArea } from "../../src/geometry/index.js";
import type { Point } from "../../src/geometry/types.js";
import { boundaryFromTrack } from "../../src/survey/index.js";
import { expectCode, expectWithin } from "../helpers/within.js";
import { drive, gaussian, place } from "./laps.js";
import { hausdorff, ringsOf } from "./worked.js";

const EXACT = { closing: 0, smallestHole: 0, smallestPart: 0, tolerance: 0 };

/** Passes up and down with half turns between them, as fixes: `count` passes of `length`, `width` apart, from x = 0. */
function passes(count: number, length: number, width: number, step = 0.5): Point[] {
  const corners: Point[] = [];
  for (let k = 0; k < count; k++) {
    const ends: Point[] = [
      [k * width, 0],
      [k * width, length],
    ];
    corners.push(...(k % 2 === 0 ? ends : ends.reverse()));
    if (k === count - 1) break;
    for (let i = 1; i < 12; i++) {
      const a = (i * Math.PI) / 12;
      const up = k % 2 === 0;
      corners.push([
        (k + 0.5) * width - (width / 2) * Math.cos(a),
        (up ? length : 0) + (up ? 1 : -1) * (width / 2) * Math.sin(a),
      ]);
    }
  }
  return drive(corners, { step });
}

describe("the ground swept along a track", () => {
  test("a straight track gives a rectangle, wherever the tool is and whichever way it is driven", () => {
    const up = drive(
      [
        [3, 0],
        [3, 100],
      ],
      { step: 0.45 },
    );
    for (const track of [
      up,
      [...up].reverse(),
      [
        [3, 0],
        [3, 100],
      ] as const,
    ]) {
      const north = track[0][1] === 0;
      const strip = boundaryFromTrack(track, 6, { ...EXACT, maximumStep: 200, lateralOffset: 2, forwardOffset: -5 });
      const x = north ? 5 : 1;
      const y = north ? -5 : 5;
      expect(strip.polygons).toHaveLength(1);
      expect(
        hausdorff(ringsOf(strip.polygons), [
          [
            [x - 3, y],
            [x + 3, y],
            [x + 3, y + 100],
            [x - 3, y + 100],
            [x - 3, y],
          ],
        ]),
      ).toBeLessThan(0.01);
      expectWithin(strip.area, 600, 1e-6, "area, m²");
      expectWithin(strip.sweptLength, 100, 1e-9, "length, m");
      expect(strip.cuts).toBe(0);
    }
  });

  test("a circle gives a ring of the width, at any offset", () => {
    const radius = 30;
    const circle = Array.from({ length: 361 }, (_, i): Point => {
      const a = (i * Math.PI) / 180;
      return [radius * Math.sin(a), radius * Math.cos(a)]; // clockwise: right is inward
    });
    for (const lateralOffset of [0, 4, -4]) {
      const ring = boundaryFromTrack(circle, 8, { ...EXACT, lateralOffset });
      const inner = radius - lateralOffset - 4;
      const outer = inner + 8;
      expect(ring.polygons).toHaveLength(1);
      expect(ring.polygons[0]!.holes).toHaveLength(1);
      expectWithin(ring.area, Math.PI * (outer ** 2 - inner ** 2), 0.002 * ring.area, "area, m²");
    }
  });

  test("a corner is turned on the spot: the outside is an arc", () => {
    const track: Point[] = [
      [0, 0],
      [0, 50],
      [50, 50],
    ];
    const boundary = boundaryFromTrack(track, 10, { ...EXACT, maximumStep: 100 });
    // two rectangles that share a square's quarter at the corner, and a quarter of a disc
    const area = 2 * 500 - 25 + 25 * Math.PI * 0.25;
    expectWithin(boundary.area, area, 0.001 * area, "area, m²");
  });

  test("reversing sweeps what it goes over, and the tool keeps to its own side", () => {
    // forward 40 m, back 20 m, forward 20 m and on to 60 m: the strip of a tool to the right stays to the right
    const track = drive(
      [
        [0, 0],
        [0, 40],
        [0, 20],
        [0, 60],
      ],
      { step: 0.5 },
    );
    const strip = boundaryFromTrack(track, 4, { ...EXACT, lateralOffset: 5 });
    expectWithin(strip.area, 240, 1e-6, "area, m²");
    expect(
      hausdorff(ringsOf(strip.polygons), [
        [
          [3, 0],
          [7, 0],
          [7, 60],
          [3, 60],
          [3, 0],
        ],
      ]),
    ).toBeLessThan(0.01);
    expectWithin(strip.sweptLength, 100, 1e-9, "length, m");
  });

  test("passes with noise give the field between them, in one piece", () => {
    const normal = gaussian(4);
    const noisy = (sigma: number): Point[] =>
      place(passes(6, 150, 12), 33, 500, -200).map(([x, y]): Point => [x + sigma * normal(), y + sigma * normal()]);
    const still = boundaryFromTrack(noisy(0), 12);
    // six passes, and at each half turn a half disc of the outer end's radius; the discs of one end only touch
    const area = 72 * 150 + 5 * (Math.PI / 2) * 12 ** 2;
    expectWithin(still.area, area, 0.01 * area, "area, m²");
    for (const sigma of [0.02, 0.05]) {
      const boundary = boundaryFromTrack(noisy(sigma), 12, { minimumStep: 1 });
      expect(boundary.polygons).toHaveLength(1);
      expect(boundary.polygons[0]!.holes).toHaveLength(0);
      expectWithin(boundary.area, still.area, 0.01 * still.area, "area, m²");
      for (const polygon of boundary.polygons) checkPolygon(polygon);
    }
  });

  test("a standstill with noise sweeps nothing but where it stands", () => {
    const track = drive(
      [
        [0, 0],
        [0, 60],
      ],
      { noise: 0.02, stops: [30], stopFixes: 600, seed: 2 },
    );
    const boundary = boundaryFromTrack(track, 12);
    expectWithin(boundary.area, 720, 12, "area, m²");
  });

  test("a gap longer than the longest step is not swept", () => {
    const track = [
      ...drive([
        [0, 0],
        [0, 40],
      ]),
      ...drive([
        [0, 55],
        [0, 100],
      ]),
    ];
    const cut = boundaryFromTrack(track, 6, EXACT);
    expect(cut.polygons).toHaveLength(2);
    expect(cut.cuts).toBe(1);
    expectWithin(cut.sweptLength, 85, 1e-9, "length, m");
    // the strip is narrower than the gap is long: a disc of the gap's width slips in from the sides, a larger one does not
    expect(boundaryFromTrack(track, 6, { closing: 15 }).polygons).toHaveLength(2);
    const closed = boundaryFromTrack(track, 6, { closing: 40 });
    expect(closed.polygons).toHaveLength(1);
    expectWithin(polygonArea(closed.polygons[0]!), 600, 60, "area, m²");
    expectWithin(boundaryFromTrack(track, 6, { ...EXACT, maximumStep: 15 }).area, 600, 1e-6, "area, m²");
  });

  test("a boom wider than most, and one of a hand's width", () => {
    const track = drive([
      [0, 0],
      [0, 120],
    ]);
    expectWithin(boundaryFromTrack(track, 180, EXACT).area, 180 * 120, 1, "area, m²");
    expectWithin(boundaryFromTrack(track, 0.3, EXACT).area, 36, 0.5, "area, m²");
  });

  test("bad input is named", () => {
    expectCode(() => boundaryFromTrack([[0, 0]], 6), "too-few-points");
    expect(
      expectCode(
        () =>
          boundaryFromTrack(
            [
              [0, 0],
              [Number.NaN, 1],
            ],
            6,
          ),
        "not-finite",
      ).index,
    ).toBe(1);
    expectCode(
      () =>
        boundaryFromTrack(
          [
            [0, 0],
            [0, 0.2],
            [0, 0.3],
          ],
          6,
        ),
      "degenerate",
    );
    expectCode(
      () =>
        boundaryFromTrack(
          [
            [0, 0],
            [0, 0],
          ],
          6,
          { minimumStep: 0 },
        ),
      "degenerate",
    );
    const track: Point[] = [
      [0, 0],
      [0, 5],
    ];
    for (const width of [0, -1])
      expect(expectCode(() => boundaryFromTrack(track, width), "out-of-range").argument).toBe("width");
    expectCode(() => boundaryFromTrack(track, Number.POSITIVE_INFINITY), "not-finite");
    expectCode(() => boundaryFromTrack(track, 6, { lateralOffset: Number.NaN }), "not-finite");
    expectCode(() => boundaryFromTrack(track, 6, { maximumStep: 0 }), "out-of-range");
    expect(expectCode(() => boundaryFromTrack(track, 6, { cellSize: 0.001 }), "out-of-range").argument).toBe(
      "options.cellSize",
    );
    expect(expectCode(() => boundaryFromTrack(track, 1e5), "out-of-range").argument).toBe("track");
    expect(
      expectCode(
        () =>
          boundaryFromTrack(
            [
              [1e12, 0],
              [1e12, 5],
            ],
            6,
          ),
        "out-of-range",
      ).argument,
    ).toBe("track");
  });
});
