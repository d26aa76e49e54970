import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { type Point, type Polygon, polygonArea, PolygonIndex, union, unionStrips } from "../../src/geometry/index.js";
import { expectCode, expectWithin } from "../helpers/within.js";

const area = (polygons: readonly Polygon[]): number => polygons.reduce((sum, p) => sum + polygonArea(p), 0);

/** Strips of a drive: headings change by `turns`, degrees a step; edges are shared by neighbours. */
function driveStrips(turns: readonly number[], step: number, width: number): Point[][] {
  let x = 0;
  let y = 0;
  let heading = 0;
  const edges: [Point, Point][] = [];
  for (const turn of [0, ...turns]) {
    heading += (turn * Math.PI) / 180;
    x += step * Math.sin(heading);
    y += step * Math.cos(heading);
    const rx = Math.cos(heading) * (width / 2);
    const ry = -Math.sin(heading) * (width / 2);
    edges.push([
      [x - rx, y - ry],
      [x + rx, y + ry],
    ]);
  }
  return edges.slice(1).map(([left, right], i) => [edges[i]![0], left, right, edges[i]![1]]);
}

describe("strips one after the other", () => {
  it("make one rectangle on a straight way, whichever way round each is", () => {
    const strips = driveStrips([0, 0, 0, 0], 2, 3);
    const mixed = strips.map((strip, i) => (i % 2 === 0 ? strip : [...strip].reverse()));
    const made = unionStrips(mixed);
    expect(made).toHaveLength(1);
    expectWithin(area(made), 8 * 3, 1e-5, "area, m²");
  });

  it("cover what their union covers, on any drive, turns on the spot and loops among them", () => {
    fc.assert(
      fc.property(
        fc.array(fc.oneof(fc.double({ min: -8, max: 8, noNaN: true }), fc.double({ min: -70, max: 70, noNaN: true })), {
          minLength: 1,
          maxLength: 60,
        }),
        fc.double({ min: 0.5, max: 4, noNaN: true }),
        (turns, step) => {
          const strips = driveStrips(turns, step, 6);
          const quick = unionStrips(strips);
          const plain = union(strips.map((exterior) => ({ exterior, holes: [] })));
          // both lie within 1 µm, and drop slivers thinner than 0.1 mm
          const edge = 2 * strips.length * (6 + 2 * step);
          expectWithin(area(quick), area(plain), 1e-4 * edge, "area, m²");
        },
      ),
      { numRuns: 40 },
    );
  });

  it("keep the hole that a loop leaves", () => {
    const made = unionStrips(driveStrips(new Array<number>(72).fill(5), 3, 6));
    expect(made).toHaveLength(1);
    expect(made[0]!.holes).toHaveLength(1);
    expect(new PolygonIndex(made).contains(36, 3)).toBe(false);
  });

  it("take what is no strip as union takes it, and nothing for nothing", () => {
    expect(unionStrips([])).toEqual([]);
    const triangle: Point[] = [
      [0, 0],
      [4, 0],
      [0, 4],
    ];
    expectWithin(
      area(unionStrips([triangle, ...driveStrips([0], 1, 2)])),
      area(
        union([
          { exterior: triangle, holes: [] },
          ...driveStrips([0], 1, 2).map((exterior) => ({ exterior, holes: [] })),
        ]),
      ),
      1e-9,
      "area, m²",
    );
    expectCode(
      () =>
        unionStrips([
          [
            [0, 0],
            [Number.NaN, 0],
            [1, 1],
            [0, 1],
          ],
        ]),
      "not-finite",
    );
    expectCode(
      () =>
        unionStrips([
          [
            [0, 0],
            [1, 0],
          ],
        ]),
      "too-few-points",
    );
  });
});
