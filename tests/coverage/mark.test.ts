import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { CoverageRecord } from "../../src/coverage/index.js";
import { expectCode, expectWithin } from "../helpers/within.js";
import { cellsInRing } from "./oracle.js";

type Quad = [number, number, number, number, number, number, number, number];

/** Cells of a record within a window, read one by one. */
function cellsOf(record: CoverageRecord, quad: readonly number[]): Set<string> {
  const c = record.cellSize;
  const xs = quad.filter((_, i) => i % 2 === 0);
  const ys = quad.filter((_, i) => i % 2 === 1);
  const cells = new Set<string>();
  for (let j = Math.floor(Math.min(...ys) / c) - 2; j <= Math.max(...ys) / c + 2; j++) {
    for (let i = Math.floor(Math.min(...xs) / c) - 2; i <= Math.max(...xs) / c + 2; i++) {
      if (record.isCovered((i + 0.5) * c, (j + 0.5) * c)) cells.add(`${i},${j}`);
    }
  }
  return cells;
}

const coordinate = fc.double({ min: -9, max: 9, noNaN: true });
const anyQuad = fc.tuple(
  coordinate,
  coordinate,
  coordinate,
  coordinate,
  coordinate,
  coordinate,
  coordinate,
  coordinate,
);
/** Corners on quarters of a cell: centres fall on edges and corners all the time. */
const quarter = fc.integer({ min: -60, max: 60 }).map((q) => q / 4);
const latticeQuad = fc.tuple(quarter, quarter, quarter, quarter, quarter, quarter, quarter, quarter);

describe("mark", () => {
  test("a rectangle of 3 m x 0.5 m is 150 cells of 0.1 m, 1.5 m² exactly", () => {
    const record = new CoverageRecord();
    expect(record.mark(0, 0, 3, 0, 3, 0.5, 0, 0.5)).toBe(150);
    expect(record.lastNew).toBe(150);
    expect(record.lastAgain).toBe(0);
    expect(record.areas()).toEqual({ worked: 1.5, workedTwice: 0, marked: 1.5 });
  });

  test("the second mark of the same quad adds nothing new and works all of it twice, the third nothing more", () => {
    const record = new CoverageRecord();
    const quad: Quad = [1, 1, 4.2, 2, 4, 2.7, 0.8, 1.6];
    const cells = record.mark(...quad);
    expect(record.mark(...quad)).toBe(0);
    expect(record.lastAgain).toBe(cells);
    const area = record.areas().worked;
    expect(record.areas()).toEqual({ worked: area, workedTwice: area, marked: 2 * area });
    record.mark(...quad);
    expect(record.areas()).toEqual({ worked: area, workedTwice: area, marked: (cells * 3) / 100 });
  });

  test("the cells of any quad, concave and bow-tie too, are those whose centre is inside", () => {
    fc.assert(
      fc.property(anyQuad, (quad) => {
        const record = new CoverageRecord({ cellSize: 1 });
        const expected = cellsInRing(quad);
        expect(record.mark(...quad)).toBe(expected.size);
        expect(cellsOf(record, quad)).toEqual(expected);
      }),
      { numRuns: 400, seed: 11 },
    );
  });

  test("corners far out give the same cells as corners near the origin, moved by whole cells", () => {
    const farTest = (quad: Quad, east: number, north: number): void => {
      const near = new CoverageRecord({ cellSize: 0.5 });
      const far = new CoverageRecord({ cellSize: 0.5 });
      // coordinates of 1/1024 m stay exact at 5e4 m
      const exact = quad.map((v) => Math.round(v * 1024) / 1024) as Quad;
      const moved = exact.map((v, i) => v + (i % 2 === 0 ? east : north)) as Quad;
      expect(far.mark(...moved)).toBe(near.mark(...exact));
      expect([...cellsOf(far, moved)].length).toBe(near.lastNew);
      expect(far.isCovered(moved[0], moved[1])).toBe(near.isCovered(exact[0], exact[1]));
    };
    fc.assert(
      fc.property(anyQuad, fc.constantFrom(-5e4, 5e4, 0), fc.constantFrom(-5e4, 5e4, 31), (quad, east, north) => {
        farTest(quad, east, north);
      }),
      { numRuns: 150, seed: 12 },
    );
  });

  test("and with corners on quarters of a cell, where edges run through centres all the time", () => {
    fc.assert(
      fc.property(latticeQuad, (quad) => {
        const record = new CoverageRecord({ cellSize: 1 });
        expect(record.mark(...quad)).toBe(cellsInRing(quad).size);
        expect(cellsOf(record, quad)).toEqual(cellsInRing(quad));
      }),
      { numRuns: 400, seed: 13 },
    );
  });

  test("winding and first corner make no difference", () => {
    fc.assert(
      fc.property(anyQuad, fc.integer({ min: 0, max: 3 }), fc.boolean(), (quad, first, back) => {
        const corners = [0, 1, 2, 3].map((k) => [quad[2 * k]!, quad[2 * k + 1]!]);
        const turned = [...corners.slice(first), ...corners.slice(0, first)];
        if (back) turned.reverse();
        const record = new CoverageRecord();
        const cells = record.mark(...quad);
        expect(record.mark(...(turned.flat() as Quad))).toBe(0);
        expect(record.lastAgain).toBe(cells);
      }),
      { numRuns: 200, seed: 14 },
    );
  });

  test.for<[string, Quad, number]>([
    [
      "west and south edges through centres are in, east and north ones out",
      [0.5, 0.5, 3.5, 0.5, 3.5, 2.5, 0.5, 2.5],
      6,
    ],
    ["the same walked clockwise", [0.5, 0.5, 0.5, 2.5, 3.5, 2.5, 3.5, 0.5], 6],
    ["negative coordinates", [-3.5, -2.5, -0.5, -2.5, -0.5, -0.5, -3.5, -0.5], 6],
    ["a bow-tie is its two triangles", [0, 0, 4, 4, 4, 0, 0, 4], 8],
    ["a quad folded onto a line", [0, 0, 5, 0, 5, 0, 0, 0], 0],
    ["a quad of one point", [1.5, 1.5, 1.5, 1.5, 1.5, 1.5, 1.5, 1.5], 0],
    ["between two rows of centres", [0, 0.6, 9, 0.6, 9, 1.4, 0, 1.4], 0],
    ["across the borders of tiles and blocks", [1020, 60, 1030, 60, 1030, 70, 1020, 70], 100],
    ["across the borders left of and below the origin", [-1030, -70, -1020, -70, -1020, -60, -1030, -60], 100],
    ["a concave quad (arrow head)", [0, 0, 4, 4, 8, 0, 4, 8], 16],
  ])("%s", ([, quad, cells]) => {
    const record = new CoverageRecord({ cellSize: 1 });
    expect(record.mark(...quad)).toBe(cells);
    expect(record.refused).toBe(0);
  });

  test("a section's edge through the centres, out by a rounding error, takes and leaves the same cells", () => {
    // 0.15 m is 1.5 cells: computed as 3 x 0.05 it is 0.15000000000000002
    for (const x of [0.15, 3 * 0.05, 0.1 + 0.05, 0.45 / 3]) {
      const record = new CoverageRecord();
      expect(record.mark(0, 0, x, 0, x, 1, 0, 1)).toBe(10);
      expect(record.mark(x, 0, 0.3, 0, 0.3, 1, x, 1)).toBe(20);
    }
  });

  test("a tile worked whole keeps being read right, and its memory is given back", () => {
    const record = new CoverageRecord({ cellSize: 1 });
    record.mark(0, 0, 64, 0, 64, 63, 0, 63);
    record.mark(0, 63, 64, 63, 64, 64, 0, 64);
    expect(record.areas()).toEqual({ worked: 4096, workedTwice: 0, marked: 4096 });
    expect(record.mark(10, 10, 20, 10, 20, 20, 10, 20)).toBe(0);
    expect(record.lastAgain).toBe(100);
    expect(record.areas()).toEqual({ worked: 4096, workedTwice: 100, marked: 4196 });
    expect(record.coveredShare(60, 60, 68, 60, 68, 64, 60, 64)).toBe(0.5);
    record.mark(0, 0, 64, 0, 64, 64, 0, 64);
    expect(record.areas()).toEqual({ worked: 4096, workedTwice: 4096, marked: 8292 });
  });

  test("40 ha worked without gaps need less than 1 MB", () => {
    const record = new CoverageRecord();
    for (let x = 0; x < 800; x += 100)
      for (let y = 0; y < 500; y += 100) record.mark(x, y, x + 100, y, x + 100, y + 100, x, y + 100);
    expectWithin(record.areas().worked, 400_000, 0, "worked");
    expect(record.byteLength).toBeLessThan(1e6);
  });
});

describe("the forms over arrays", () => {
  test("mark and read as those over numbers do", () => {
    fc.assert(
      fc.property(
        fc.array(anyQuad, { minLength: 1, maxLength: 5 }),
        fc.array(anyQuad, { minLength: 1, maxLength: 5 }),
        (marks, reads) => {
          const plain = new CoverageRecord({ cellSize: 0.5 });
          const record = new CoverageRecord({ cellSize: 0.5 });
          const corners = Float64Array.from(marks.flat());
          marks.forEach((quad, k) => {
            expect(record.markFrom(corners, 8 * k)).toBe(plain.mark(...quad));
            expect([record.lastNew, record.lastAgain]).toEqual([plain.lastNew, plain.lastAgain]);
          });
          const shares = new Float64Array(reads.length);
          record.coveredShares(Float64Array.from(reads.flat()), shares);
          expect([...shares]).toEqual(reads.map((quad) => plain.coveredShare(...quad)));
        },
      ),
      { numRuns: 60, seed: 15 },
    );
  });

  test("beyond the array is refused and read as NaN, no more than asked is written", () => {
    const record = new CoverageRecord();
    const corners = Float64Array.of(0, 0, 3, 0, 3, 0.5, 0, 0.5, 9);
    expect(record.markFrom(corners)).toBe(150);
    for (const start of [1.5, 8, -1, 1e9, Number.NaN]) expect(record.markFrom(corners, start)).toBe(0);
    expect(record.refused).toBe(5);
    expect(record.areas().marked).toBe(1.5);
    const shares = new Float64Array(3).fill(7);
    record.coveredShares(corners, shares, 2);
    expect([...shares]).toEqual([1, Number.NaN, 7]);
  });
});

describe("refusal", () => {
  const good: Quad = [0, 0, 3, 0, 3, 0.5, 0, 0.5];
  test("a corner that is NaN or infinite is refused whole, counted and read as NaN", () => {
    for (let i = 0; i < 8; i++) {
      for (const bad of [Number.NaN, Infinity, -Infinity, 1e300, undefined as unknown as number]) {
        const record = new CoverageRecord();
        const quad = [...good] as Quad;
        quad[i] = bad;
        expect(record.mark(...quad)).toBe(0);
        expect(record.refused).toBe(1);
        expect(record.areas()).toEqual({ worked: 0, workedTwice: 0, marked: 0 });
        expect(record.coveredShare(...quad)).toBeNaN();
        expect(record.refused).toBe(1);
      }
    }
  });

  test("a quad to y = 1e9 m and one just over the extent are refused, one of the extent is taken", () => {
    const record = new CoverageRecord({ maximumExtent: 50 });
    expect(record.mark(0, 0, 3, 0, 3, 1e9, 0, 1e9)).toBe(0);
    expect(record.mark(0, 0, 50.01, 0, 50.01, 1, 0, 1)).toBe(0);
    expect(record.mark(0, 0, 3, 0, 3, 50.01, 0, 50.01)).toBe(0);
    expect(record.refused).toBe(3);
    expect(record.areas().marked).toBe(0);
    expect(record.mark(0, 0, 50, 0, 50, 0.1, 0, 0.1)).toBe(500);
    expect(record.refused).toBe(3);
  });

  test("a place beyond the reach of the lattice is refused, one just inside is taken", () => {
    const record = new CoverageRecord();
    expect(record.mark(1.1e8, 0, 1.1e8 + 1, 0, 1.1e8 + 1, 1, 1.1e8, 1)).toBe(0);
    expect(record.refused).toBe(1);
    expect(record.mark(-1e8, 1e8, 1 - 1e8, 1e8, 1 - 1e8, 1e8 + 1, -1e8, 1e8 + 1)).toBeGreaterThan(80);
  });

  test("after a refused mark the last counts are zero", () => {
    const record = new CoverageRecord();
    record.mark(...good);
    record.mark(Number.NaN, 0, 3, 0, 3, 0.5, 0, 0.5);
    expect([record.lastNew, record.lastAgain]).toEqual([0, 0]);
  });

  test.for<[string, object, string, string]>([
    ["a cell size of NaN", { cellSize: Number.NaN }, "not-finite", "options.cellSize"],
    ["no cell size at all", { cellSize: 0 }, "out-of-range", "options.cellSize"],
    ["a negative cell size", { cellSize: -0.1 }, "out-of-range", "options.cellSize"],
    ["an extent of 0", { maximumExtent: 0 }, "out-of-range", "options.maximumExtent"],
    ["an extent of too many cells", { cellSize: 0.01, maximumExtent: 201 }, "out-of-range", "options.maximumExtent"],
    ["an infinite extent", { maximumExtent: Infinity }, "not-finite", "options.maximumExtent"],
  ])("settings: %s", ([, options, code, argument]) => {
    expect(expectCode(() => new CoverageRecord(options), code).argument).toBe(argument);
  });
});
