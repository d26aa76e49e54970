import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { type Point, polygonArea } from "../../src/geometry/index.js";
import { bufferZone } from "../../src/headland/index.js";
import { polygon, rectangle } from "../geometry/shapes.js";
import { expectCode, expectWithin } from "../helpers/within.js";
import { distanceToRing, inAny, inPolygon } from "./oracle.js";

const WIDER = 4e-4; // m: tube and flattening

function distanceToLine(line: readonly Point[], x: number, y: number): number {
  // there and back is a ring
  return distanceToRing([...line, ...[...line].reverse()], x, y);
}

describe("a buffer zone", () => {
  it("of a straight edge is a strip on both sides with round ends", () => {
    const zone = bufferZone(
      {
        lines: [
          [
            [0, 0],
            [100, 0],
          ],
        ],
      },
      5,
    );
    expect(zone.length).toBe(1);
    const least = 100 * 10 + Math.PI * 25;
    expect(polygonArea(zone[0]!)).toBeGreaterThan(least);
    expectWithin(polygonArea(zone[0]!), least, WIDER * (200 + 10 * Math.PI));
  });

  it("includes the pond, and joins what overlaps", () => {
    const pond = polygon(rectangle(0, 0, 20, 10));
    const zone = bufferZone(
      {
        polygons: [pond],
        points: [[27, 5]],
        lines: [
          [
            [10, 10],
            [10, 40],
          ],
        ],
      },
      5,
    );
    expect(zone.length).toBe(1);
    expect(zone[0]!.holes).toEqual([]);
    expect(bufferZone({ polygons: [pond] }, 5).length).toBe(1);
    expectWithin(polygonArea(bufferZone({ polygons: [pond] }, 5)[0]!), 200 + 300 + Math.PI * 25, 92 * WIDER);
  });

  it("of a ring ditch has the ground inside as a hole", () => {
    const ring: Point[] = [...rectangle(0, 0, 100, 100), [0, 0]];
    const zone = bufferZone({ lines: [ring] }, 10);
    expect(zone.length).toBe(1);
    expect(zone[0]!.holes.length).toBe(1);
    expectWithin(polygonArea({ exterior: zone[0]!.holes[0]!, holes: [] }), 6400, 320 * WIDER);
  });

  it("holds every point within the width and none beyond it, whatever the lines", () => {
    const coordinate = fc.integer({ min: 0, max: 60 });
    const point = fc.tuple(coordinate, coordinate);
    const lines = fc.array(
      fc.array(point, { minLength: 2, maxLength: 7 }).filter((line) => line.some((p) => p[0] !== line[0]![0])),
      { minLength: 1, maxLength: 3 },
    );
    fc.assert(
      fc.property(
        lines,
        fc.constantFrom(0.5, 3, 10),
        fc.array(
          fc.tuple(fc.double({ min: -12, max: 72, noNaN: true }), fc.double({ min: -12, max: 72, noNaN: true })),
          { minLength: 60, maxLength: 60 },
        ),
        (given, width, places) => {
          const zone = bufferZone({ lines: given }, width);
          for (const [x, y] of places) {
            const distance = Math.min(...given.map((line) => distanceToLine(line, x, y)));
            if (distance <= width) expect(inAny(zone, x, y), `(${x}, ${y}) at ${distance}`).toBe(true);
            if (distance > width + WIDER) expect(inAny(zone, x, y), `(${x}, ${y}) at ${distance}`).toBe(false);
          }
        },
      ),
      { numRuns: 20 },
    );
  });

  it("is never narrower than the width: no point of its edge is nearer", () => {
    const line: Point[] = [
      [0, 0],
      [50, 10],
      [60, 60],
      [55, 12],
      [120, 40],
    ];
    for (const tolerance of [1e-5, 1e-4, 1e-2]) {
      for (const part of bufferZone({ lines: [line], points: [[200, 0]] }, 6, { tolerance })) {
        for (let i = 0; i + 1 < part.exterior.length; i++) {
          const [ax, ay] = part.exterior[i]!;
          const [bx, by] = part.exterior[i + 1]!;
          const distance = Math.min(
            distanceToLine(line, (ax + bx) / 2, (ay + by) / 2),
            Math.hypot((ax + bx) / 2 - 200, (ay + by) / 2),
          );
          expect(distance).toBeGreaterThan(6 - 2e-6);
          expect(distance).toBeLessThan(6 + 3e-4 + 2 * tolerance);
        }
      }
    }
  });

  it("of a recorded bank with standstills, of thousands of points, is one polygon", () => {
    const bank: Point[] = [];
    for (let i = 0; i < 3000; i++) bank.push([i, 20 * Math.sin(i / 40)], [i, 20 * Math.sin(i / 40)]);
    const zone = bufferZone({ lines: [bank] }, 6);
    expect(zone.length).toBe(1);
    expect(inPolygon(zone[0]!, 1500, 20 * Math.sin(1500 / 40) + 5)).toBe(true);
  });

  it("is empty for no sources, and refuses bad input", () => {
    expect(bufferZone({}, 5)).toEqual([]);
    expect(bufferZone({ lines: [] }, 5)).toEqual([]);
    expectCode(
      () =>
        bufferZone(
          {
            lines: [
              [
                [0, 0],
                [1, 0],
              ],
            ],
          },
          0,
        ),
      "out-of-range",
    );
    expectCode(
      () =>
        bufferZone(
          {
            lines: [
              [
                [0, 0],
                [1, 0],
              ],
            ],
          },
          Number.NaN,
        ),
      "not-finite",
    );
    expectCode(() => bufferZone({ lines: [[[0, 0]]] }, 5), "too-few-points");
    expectCode(
      () =>
        bufferZone(
          {
            lines: [
              [
                [0, 0],
                [0, 0],
              ],
            ],
          },
          5,
        ),
      "degenerate",
    );
    expectCode(
      () =>
        bufferZone(
          {
            lines: [
              [
                [0, 0],
                [Number.NaN, 0],
              ],
            ],
          },
          5,
        ),
      "not-finite",
    );
    expectCode(() => bufferZone({ points: [[0, Number.POSITIVE_INFINITY]] }, 5), "not-finite");
    expectCode(
      () =>
        bufferZone(
          {
            polygons: [
              polygon([
                [0, 0],
                [2, 2],
                [2, 0],
                [0, 2],
              ]),
            ],
          },
          5,
        ),
      "self-crossing",
    );
    expectCode(() => bufferZone(undefined as never, 5), "too-few-points");
  });
});
