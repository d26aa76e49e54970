import { describe, expect, test } from "vitest";
import type { Point, Polygon } from "../../src/geometry/types.js";
import { offsetLine, offsetPolygon } from "../../src/offset/index.js";
import { expectWithin } from "../helpers/within.js";
import { areaOf, chainsOf, lengthOf } from "./engine.js";
import { judgeLine } from "./oracle.js";

/** The written rules: what happens exactly at a limit, and what a mitred corner is. All by plane geometry. */

const part = (...exterior: Point[]): Polygon => ({ exterior, holes: [] });
const rectangle = (w: number, h: number): Polygon => part([0, 0], [w, 0], [w, h], [0, h]);

describe("ties", () => {
  test.for([
    [24, 100],
    [24, 24],
    [24 - 1e-9, 100],
  ])("a rectangle of %f by %f m has nothing left at 12 m", ([w, h]) => {
    expect(offsetPolygon(rectangle(w!, h!), -12)).toEqual([]);
  });

  test("a rectangle wider by 0.1 mm has a strip of 0.1 mm left", () => {
    const result = offsetPolygon(rectangle(24.0001, 100), -12);
    expect(result.length).toBe(1);
    expectWithin(areaOf(result), 0.0001 * 76, 1e-8, "area, m²");
  });

  test("a corridor exactly twice the distance wide: parallels within it end where they would turn back", () => {
    const pieces = chainsOf(
      offsetLine(
        [
          [0, 0],
          [0, 40],
          [4, 40],
          [4, 0],
        ],
        2,
      ),
    );
    for (const { points } of pieces) {
      for (let i = 2; i < points.length; i++) {
        const [a, b, c] = [points[i - 2]!, points[i - 1]!, points[i]!];
        const ux = b[0] - a[0];
        const uy = b[1] - a[1];
        const vx = c[0] - b[0];
        const vy = c[1] - b[1];
        const reversed = ux * vy - uy * vx === 0 && ux * vx + uy * vy < 0;
        expect(reversed, `turns back at ${b[0]} ${b[1]}`).toBe(false);
      }
      for (const [x] of points) expect(x).toBe(2);
    }
  });

  test.for([1, -1])("the tip of an exact reversal belongs to both sides, %i", (side) => {
    const line: Point[] = [
      [0, 0],
      [60, 0],
      [20, 0],
    ];
    const pieces = chainsOf(offsetLine(line, side * 5));
    expect(judgeLine(line, side * 5, false, pieces, { ties: true, monotone: false }).defects).toEqual([]);
    // half a circle of 5 m about (60, 0) at the least
    const tip = pieces
      .flatMap(({ points }) => points)
      .filter(([x, y]) => Math.abs(Math.hypot(x - 60, y) - 5) < 1e-9 && x > 60);
    expect(tip.length).toBeGreaterThan(20);
  });

  test("two polygons that share an edge are joined", () => {
    const a = rectangle(50, 100);
    const b = part([50, 0], [100, 0], [100, 100], [50, 100]);
    const result = offsetPolygon([a, b], -10);
    expect(result.length).toBe(1);
    expectWithin(areaOf(result), 80 * 80, 1e-4, "area, m²");
  });
});

describe("mitred joins", () => {
  test("a rectangle outward is a rectangle", () => {
    const result = offsetPolygon(rectangle(200, 100), 12, { join: "mitre" });
    expect(result.length).toBe(1);
    expectWithin(areaOf(result), 224 * 124, 1e-6, "area, m²");
    expect(result[0]!.exterior.length).toBe(5);
  });

  test("an L inward keeps its re-entrant corner sharp", () => {
    const ell = part([0, 0], [100, 0], [100, 50], [50, 50], [50, 100], [0, 100]);
    const result = offsetPolygon(ell, -9, { join: "mitre" });
    // arms of 32 m: 82 x 32 below and 32 x 50 above
    expectWithin(areaOf(result), 82 * 32 + 32 * 50, 1e-6, "area, m²");
    // round, the corner of the ground that is left bulges by what lies between its square and its quarter disc
    const chords = 1e-4 * 9 * Math.PI;
    expectWithin(areaOf(offsetPolygon(ell, -9)), 82 * 32 + 32 * 50 + 81 * (1 - Math.PI / 4), chords, "area, m²");
  });

  test("a line's corner of 90 degrees: the tip at distance times the root of two", () => {
    const [piece] = offsetLine(
      [
        [0, 0],
        [100, 0],
        [100, 100],
      ],
      10,
      { join: "mitre" },
    );
    expect(piece!.points.length).toBe(3);
    expectWithin(piece!.points[1]![0], 110, 1e-9, "east, m");
    expectWithin(piece!.points[1]![1], -10, 1e-9, "north, m");
    expectWithin(piece!.stations[1]!, 100, 1e-9, "station, m");
  });

  test("a tip beyond the limit stays round", () => {
    // turn of 150 degrees: the tip would lie 1 / cos(75°) = 3.86 distances off
    const a = (150 * Math.PI) / 180;
    const line: Point[] = [
      [0, 0],
      [100, 0],
      [100 + 80 * Math.cos(a), 80 * Math.sin(a)],
    ];
    const round = chainsOf(offsetLine(line, 5));
    expect(lengthOf(chainsOf(offsetLine(line, 5, { join: "mitre" })))).toBeCloseTo(lengthOf(round), 9);
    const sharp = chainsOf(offsetLine(line, 5, { join: "mitre", mitreLimit: 4 }));
    // two tangents of 5 tan(75°) for an arc of 5 times the turn
    expectWithin(lengthOf(sharp) - lengthOf(round), 10 * Math.tan(a / 2) - 5 * a, 1e-3, "length, m");
  });
});

describe("options of lines", () => {
  // a line that comes back to itself leaves pieces of many lengths
  const line = Array.from({ length: 200 }, (_, i): Point => [i, 8 * Math.sin(i / 3)]);

  test("pieces shorter than the least length are left out, others are as they were", () => {
    const all = offsetLine(line, 6);
    const lengths = all.map((piece) => lengthOf([piece]));
    const limit = [...lengths].sort((a, b) => a - b)[lengths.length >> 1]!;
    const long = offsetLine(line, 6, { minimumLength: limit });
    expect(long).toEqual(all.filter((_, i) => lengths[i]! >= limit));
  });

  test("a loop is closed by repeating its first point, or by saying so", () => {
    const square: Point[] = [
      [0, 0],
      [100, 0],
      [100, 100],
      [0, 100],
    ];
    // counter-clockwise: the inside is on the left
    const said = offsetLine(square, -10, { closed: true });
    const repeated = offsetLine([...square, square[0]!], -10);
    expect(said).toEqual(repeated);
    expect(said.length).toBe(1);
    expect(said[0]!.closed).toBe(true);
    expectWithin(lengthOf(chainsOf(said)), 320, 1e-9, "length, m");
    // outside there are four rounded corners, or three and two square ends
    const quarter = 5 * Math.PI;
    const round = offsetLine([...square, square[0]!], 10);
    expect(round.map((piece) => piece.closed)).toEqual([true]);
    expectWithin(lengthOf(chainsOf(round)), 400 + 4 * quarter, 1e-3, "length, m");
    const open = offsetLine([...square, square[0]!], 10, { closed: false });
    expect(open.map((piece) => piece.closed)).toEqual([false]);
    expectWithin(lengthOf(chainsOf(open)), 400 + 3 * quarter, 1e-3, "length, m");
  });
});

describe("slits of no width", () => {
  // a cut 40 m deep into a field of 100 m, there and back on itself
  const slit: Polygon = part([0, 0], [50, 0], [50, 40], [50, 0], [100, 0], [100, 100], [0, 100]);
  const moved = (polygon: Polygon, by: number): Polygon => ({
    exterior: polygon.exterior.map(([x, y]): Point => [x + by, y]),
    holes: [],
  });

  test("are boundary in a list as in a polygon alone", () => {
    for (const distance of [-5, 5]) {
      const alone = areaOf(offsetPolygon(slit, distance));
      expectWithin(areaOf(offsetPolygon([slit], distance)), alone, 1e-9, "a list of one, m²");
      expectWithin(areaOf(offsetPolygon([slit, moved(slit, 200)], distance)), 2 * alone, 1e-6, "a list of two, m²");
    }
    // the slit's own 5 m round it: 10 m wide from the inner edge on, and half a circle
    const taken = 10 * 35 + (Math.PI * 25) / 2;
    expectWithin(areaOf(offsetPolygon(slit, -5)), 90 * 90 - taken, 0.01, "area inside, m²");
  });

  test("stay in a list where others touch each other", () => {
    const square = part([200, 0], [250, 0], [250, 100], [200, 100]);
    const result = offsetPolygon([square, slit, moved(square, 50)], -5);
    expectWithin(areaOf(result), areaOf(offsetPolygon(slit, -5)) + 90 * 90, 1e-3, "area, m²");
  });

  test("go where their polygon is joined with others", () => {
    const result = offsetPolygon([slit, part([100, 0], [150, 0], [150, 100], [100, 100])], -5);
    expectWithin(areaOf(result), 140 * 90, 1e-3, "area, m²");
  });

  test("a polygon inside another's ground is joined though their rings do not meet, one in its hole is not", () => {
    const inner = part([40, 60], [60, 60], [60, 80], [40, 80]);
    expectWithin(areaOf(offsetPolygon([slit, inner], -5)), 90 * 90, 1e-3, "joined, without the slit, m²");
    const hole: Point[] = [
      [30, 50],
      [30, 90],
      [70, 90],
      [70, 50],
    ];
    const ring = offsetPolygon([{ exterior: slit.exterior, holes: [hole] }, inner], -5);
    const outer = offsetPolygon({ exterior: slit.exterior, holes: [hole] }, -5);
    expectWithin(areaOf(ring), areaOf(outer) + 100, 1e-6, "apart, m²");
  });
});
