import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { Polygon } from "../../src/geometry/types.js";
import { CoverageRecord } from "../../src/coverage/index.js";
import { expectCode, expectWithin } from "../helpers/within.js";
import { areaOf, expectValid, shoelace } from "./validity.js";

/** A record of unit cells from rows of a picture, the last row lowest; # is worked, 2 worked twice. */
function picture(...lines: string[]): CoverageRecord {
  const record = new CoverageRecord({ cellSize: 1 });
  lines.reverse().forEach((line, j) => {
    [...line].forEach((mark, i) => {
      if (mark === "." || mark === " ") return;
      record.mark(i, j, i + 1, j, i + 1, j + 1, i, j + 1);
      if (mark === "2") record.mark(i, j, i + 1, j, i + 1, j + 1, i, j + 1);
    });
  });
  return record;
}

/** Any coverage of a small window, about half of it worked: corners touching everywhere. */
const anyGround = fc.array(fc.boolean(), { minLength: 144, maxLength: 144 });

function ground(cells: readonly boolean[], width: number, west: number, south: number): CoverageRecord {
  const record = new CoverageRecord({ cellSize: 1 });
  cells.forEach((on, k) => {
    const i = west + (k % width);
    const j = south + Math.floor(k / width);
    if (on) record.mark(i, j, i + 1, j, i + 1, j + 1, i, j + 1);
  });
  return record;
}

/** Number of connected parts, by flooding over cell edges. */
function countParts(cells: readonly boolean[], width: number): number {
  const seen = new Set<number>();
  let count = 0;
  cells.forEach((on, start) => {
    if (!on || seen.has(start)) return;
    count++;
    const queue = [start];
    seen.add(start);
    while (queue.length > 0) {
      const k = queue.pop()!;
      const next = [k - width, k + width];
      if (k % width > 0) next.push(k - 1);
      if (k % width < width - 1) next.push(k + 1);
      for (const m of next) {
        if (cells[m] !== true || seen.has(m)) continue;
        seen.add(m);
        queue.push(m);
      }
    }
  });
  return count;
}

describe("outline", () => {
  test("nothing worked has none", () => {
    expect(new CoverageRecord().outline()).toEqual([]);
    expect(new CoverageRecord().outline({ of: "twice" })).toEqual([]);
  });

  test("one quad of whole cells gives its own corners", () => {
    const record = new CoverageRecord();
    record.mark(0, 0, 3, 0, 3, 0.5, 0, 0.5);
    const outline = record.outline();
    expectValid(outline);
    expect(outline.length).toBe(1);
    expect(outline[0]!.holes).toEqual([]);
    const corners = outline[0]!.exterior.slice(1).map((point) => point.join(" "));
    expect(corners.sort()).toEqual(["0 0", "0 0.5", "3 0", "3 0.5"]);
  });

  test.for<[string, string[], number, number]>([
    ["a hole", ["####", "#..#", "####"], 1, 1],
    ["two parts that touch in a corner", ["#.", ".#"], 2, 0],
    ["the same the other way", [".#", "#."], 2, 0],
    ["two holes that touch in a corner", ["#####", "#.###", "##.##", "#####"], 1, 2],
    ["a hole that touches the exterior in a corner", ["#####", "#.###", "##.##", "##.##"], 1, 1],
    ["a ring of ground closed by a corner alone", [".###", "#..#", "#..#", "####"], 1, 1],
    ["a part inside a hole", ["#####", "#...#", "#.#.#", "#...#", "#####"], 2, 1],
    ["a part inside a hole that touches it", ["#####", "##..#", "#.#.#", "#...#", "#####"], 2, 1],
    ["a checkerboard", ["#.#.#", ".#.#.", "#.#.#"], 8, 0],
    ["steps", ["#...", "##..", "###."], 1, 0],
  ])("%s", ([, lines, partCount, holeCount]) => {
    const record = picture(...lines);
    const outline = record.outline();
    expectValid(outline);
    expect(outline.length).toBe(partCount);
    expect(outline.reduce((sum, polygon) => sum + polygon.holes.length, 0)).toBe(holeCount);
    expect(areaOf(outline)).toBe(record.areas().worked);
  });

  test("of any ground is valid, has its area exactly, and a polygon for each connected part", () => {
    fc.assert(
      fc.property(anyGround, fc.constantFrom(-6, 0, 58, 1018), (cells, corner) => {
        const record = ground(cells, 12, corner, -corner);
        const outline = record.outline();
        expectValid(outline);
        expect(areaOf(outline)).toBe(record.areas().worked);
        expect(outline.length).toBe(countParts(cells, 12));
        // marked again from its own outline it is the same ground
        const within = record.areasWithin(outline);
        expect([within.missed, within.outside]).toEqual([0, 0]);
      }),
      { numRuns: 120, seed: 41 },
    );
  });

  test("of marks in any direction has the area of the counted cells", () => {
    const coordinate = fc.double({ min: -20, max: 20, noNaN: true });
    const quad = fc.array(coordinate, { minLength: 8, maxLength: 8 });
    fc.assert(
      fc.property(fc.array(quad, { minLength: 1, maxLength: 5 }), (quads) => {
        const record = new CoverageRecord({ cellSize: 0.5 });
        for (const q of quads) record.mark(...(q as Parameters<CoverageRecord["mark"]>));
        for (const of of ["worked", "twice"] as const) {
          const outline = record.outline({ of });
          expectValid(outline);
          const area = of === "worked" ? record.areas().worked : record.areas().workedTwice;
          expectWithin(areaOf(outline), area, 1e-9, "area, m²");
        }
      }),
      { numRuns: 60, seed: 42 },
    );
  });

  test("of ground worked twice", () => {
    const record = picture("#22#", "#2.#", "####");
    expect(areaOf(record.outline({ of: "twice" }))).toBe(3);
    expect(record.areas().workedTwice).toBe(3);
    expect(record.outline()[0]!.holes.length).toBe(1);
  });
});

describe("outline with a tolerance", () => {
  /** Farthest that a corner of `from` lies from any segment of `to`. */
  function farthest(from: readonly Polygon[], to: readonly Polygon[]): number {
    let most = 0;
    for (const point of from.flatMap((p) => [...p.exterior, ...p.holes.flat()])) {
      let least = Infinity;
      for (const ring of to.flatMap((p) => [p.exterior, ...p.holes])) {
        for (let i = 0; i + 1 < ring.length; i++) {
          const [ax, ay] = ring[i]!;
          const dx = ring[i + 1]![0] - ax;
          const dy = ring[i + 1]![1] - ay;
          const t = Math.min(1, Math.max(0, ((point[0] - ax) * dx + (point[1] - ay) * dy) / (dx * dx + dy * dy)));
          least = Math.min(least, Math.hypot(point[0] - ax - t * dx, point[1] - ay - t * dy));
        }
      }
      most = Math.max(most, least);
    }
    return most;
  }

  /** Even-odd, a ring's corners against another ring; touching corners are left out by asking for the middle of a side. */
  function holesInside(polygons: readonly Polygon[]): boolean {
    return polygons.every((polygon) =>
      polygon.holes.every((hole) => {
        const x = (hole[0]![0] + hole[1]![0]) / 2;
        const y = (hole[0]![1] + hole[1]![1]) / 2 + 1e-7;
        let inside = false;
        polygon.exterior.slice(1).forEach((b, i) => {
          const a = polygon.exterior[i]!;
          if (a[1] > y !== b[1] > y && x < a[0] + ((y - a[1]) / (b[1] - a[1])) * (b[0] - a[0])) inside = !inside;
        });
        return inside;
      }),
    );
  }

  test("makes a slanted pass a handful of corners", () => {
    const record = new CoverageRecord();
    record.mark(0, 0, 90, 40, 80, 62.5, -10, 22.5);
    const exact = record.outline();
    const outline = record.outline({ tolerance: 0.15 });
    expect(exact[0]!.exterior.length).toBeGreaterThan(500);
    expect(outline[0]!.exterior.length).toBeLessThan(12);
    expectWithin(areaOf(outline), record.areas().worked, 0.15 * 250, "area, m²");
    expectValid(outline);
  });

  test("stays valid and within the tolerance on the worst ground there is", () => {
    fc.assert(
      fc.property(anyGround, fc.constantFrom(0.5, 0.75, 1, 1.5, 2.2, 4, 30), (cells, tolerance) => {
        const record = ground(cells, 12, 3, -5);
        const exact = record.outline();
        const outline = record.outline({ tolerance });
        expectValid(outline);
        expect(holesInside(outline)).toBe(true);
        expect(outline.length).toBe(exact.length);
        expect(farthest(exact, outline)).toBeLessThanOrEqual(tolerance + 1e-9);
      }),
      { numRuns: 200, seed: 43 },
    );
  });

  test("stays valid where passes leave slivers, tongues and islands", () => {
    const place = fc.double({ min: -25, max: 25, noNaN: true });
    const strip = fc.tuple(place, place, place, place, fc.double({ min: 0.3, max: 4, noNaN: true }));
    fc.assert(
      fc.property(
        fc.array(strip, { minLength: 2, maxLength: 9 }),
        fc.constantFrom(0.25, 0.6, 1.3),
        (strips, tolerance) => {
          const record = new CoverageRecord({ cellSize: 0.25 });
          for (const [ax, ay, bx, by, width] of strips) {
            const length = Math.hypot(bx - ax, by - ay);
            if (length < 1) continue;
            const nx = ((by - ay) / length) * width;
            const ny = ((ax - bx) / length) * width;
            record.mark(ax, ay, bx, by, bx + nx, by + ny, ax + nx, ay + ny);
          }
          const exact = record.outline();
          const outline = record.outline({ tolerance });
          expectValid(outline);
          expect(holesInside(outline)).toBe(true);
          expect(farthest(exact, outline)).toBeLessThanOrEqual(tolerance + 1e-9);
        },
      ),
      { numRuns: 40, seed: 44 },
    );
  });

  test("below half a cell nothing is dropped; a bad tolerance is refused", () => {
    const record = picture("##.", ".##");
    expect(record.outline({ tolerance: 0.49 })).toEqual(record.outline());
    expectCode(() => record.outline({ tolerance: -1 }), "out-of-range");
    expectCode(() => record.outline({ tolerance: Number.NaN }), "not-finite");
  });
});

describe("outline with a least area", () => {
  const record = picture("######.#", "#...##..", "#.#.##..", "#...#.#.", "########");

  test("leaves out small parts and fills small holes", () => {
    const full = record.outline();
    expect(full.length).toBe(3);
    expect(full.reduce((sum, polygon) => sum + polygon.holes.length, 0)).toBe(2);
    // the hole of one cell is filled, parts of one cell go, the one in the hole of 9 with it
    const least = record.outline({ leastArea: 1.5 });
    expectValid(least);
    expect(least.map((polygon) => polygon.holes.length)).toEqual([1]);
    expect(areaOf(least)).toBe(record.areas().worked + 1 - 2);
    expect(record.outline({ leastArea: 9 })[0]!.holes.length).toBe(1);
    expect(record.outline({ leastArea: 9.5 })[0]!.holes.length).toBe(0);
    expect(record.outline({ leastArea: 1000 })).toEqual([]);
    expectCode(() => record.outline({ leastArea: -1 }), "out-of-range");
  });
});

describe("outline within a box", () => {
  test("is cut at the box; all boxes of changed tiles together have the whole area", () => {
    const record = new CoverageRecord();
    record.mark(0, 0, 90, 40, 80, 62.5, -10, 22.5);
    let area = 0;
    for (const key of record.changedTiles(0)) {
      const part = areaOf(record.outline({ within: record.tileBounds(key) }));
      expectWithin(part, record.tileArea(key).worked, 1e-9, "tile, m²");
      area += part;
    }
    expectWithin(area, record.areas().worked, 1e-8, "all tiles, m²");
    expect(record.outline({ within: { minX: 500, minY: 0, maxX: 600, maxY: 9 } })).toEqual([]);
    expect(record.outline({ within: { minX: -1e12, minY: -1e12, maxX: 1e12, maxY: 1e12 } })).toEqual(record.outline());
    expectCode(() => record.outline({ within: { minX: Number.NaN, minY: 0, maxX: 1, maxY: 1 } }), "not-finite");
  });
});

describe("ground of a field", () => {
  const field = [
    {
      exterior: [
        [0, 0],
        [10, 0],
        [10, 6],
        [0, 6],
      ] as [number, number][],
      holes: [
        [
          [7, 2],
          [9, 2],
          [9, 4],
          [7, 4],
        ] as [number, number][],
      ],
    },
  ];

  test("missed, worked in it and worked outside of it", () => {
    const record = new CoverageRecord({ cellSize: 0.5 });
    record.mark(-2, 1, 8, 1, 8, 3, -2, 3);
    record.mark(0, 1, 2, 1, 2, 3, 0, 3);
    // in the field: 8 x 2 less 1 x 1 of the hole; outside: 2 x 2 and 1 x 1
    expect(record.areasWithin(field)).toEqual({ field: 56, worked: 15, workedTwice: 4, missed: 41, outside: 5 });
    const missed = record.missed(field);
    expect(missed.area).toBe(41);
    expect(areaOf(missed.outline)).toBe(41);
    expectValid(missed.outline);
  });

  test("all missed where nothing is worked; nothing missed where all is", () => {
    const record = new CoverageRecord({ cellSize: 0.5 });
    expect(record.missed(field).area).toBe(56);
    expect(record.missed(field).outline[0]!.holes.length).toBe(1);
    expect(record.missed([])).toEqual({ area: 0, outline: [] });
    record.mark(-1, -1, 11, -1, 11, 7, -1, 7);
    expect(record.missed(field)).toEqual({ area: 0, outline: [] });
  });

  test("rings open or closed, in either winding, overlapping polygons counted once", () => {
    const record = new CoverageRecord({ cellSize: 0.5 });
    record.mark(1, 1, 3, 1, 3, 3, 1, 3);
    const closed = [{ exterior: [...field[0]!.exterior, field[0]!.exterior[0]!], holes: field[0]!.holes }];
    const turned = [
      { exterior: [...field[0]!.exterior].reverse(), holes: field[0]!.holes.map((r) => [...r].reverse()) },
    ];
    expect(record.areasWithin(closed)).toEqual(record.areasWithin(field));
    expect(record.areasWithin(turned)).toEqual(record.areasWithin(field));
    expect(record.areasWithin([...field, ...turned])).toEqual(record.areasWithin(field));
  });

  test("a field that quads fill by its own edges is covered to the last cell", () => {
    // an uneven hexagon as a fan of four triangles
    const hexagon: [number, number][] = [
      [3.3, 0.7],
      [51.2, -8.4],
      [77.7, 31.4],
      [60.1, 66.6],
      [21.9, 71.3],
      [-12.4, 33.2],
    ];
    const record = new CoverageRecord();
    for (let k = 1; k < 5; k++) record.mark(...hexagon[0]!, ...hexagon[k]!, ...hexagon[k + 1]!, ...hexagon[0]!);
    const within = record.areasWithin([{ exterior: hexagon, holes: [] }]);
    expect([within.missed, within.outside, record.areas().workedTwice]).toEqual([0, 0, 0]);
    expectWithin(within.field, Math.abs(shoelace([...hexagon, hexagon[0]!])), 3, "area, m²");
  });

  test.for<[string, unknown, string, string]>([
    [
      "NaN in a hole",
      [
        {
          exterior: field[0]!.exterior,
          holes: [
            [
              [0, 0],
              [1, Number.NaN],
              [1, 1],
            ],
          ],
        },
      ],
      "not-finite",
      "field[0].holes[0]",
    ],
    [
      "two points",
      [
        {
          exterior: [
            [0, 0],
            [1, 1],
          ],
          holes: [],
        },
      ],
      "too-few-points",
      "field[0].exterior",
    ],
    [
      "a field of 1000 km",
      [
        {
          exterior: [
            [0, 0],
            [1e6, 0],
            [1e6, 1e6],
          ],
          holes: [],
        },
      ],
      "too-large",
      "field[0]",
    ],
    [
      "a point out of reach",
      [
        {
          exterior: [
            [1e9, 0],
            [1e9 + 1, 0],
            [1e9, 1],
          ],
          holes: [],
        },
      ],
      "too-large",
      "field[0]",
    ],
  ])("%s is refused", ([, polygons, code, argument]) => {
    const record = new CoverageRecord();
    try {
      record.missed(polygons as never);
      expect.fail("nothing was thrown");
    } catch (error) {
      expect((error as { code: string }).code).toBe(code);
      expect((error as { argument: string }).argument).toBe(argument);
    }
  });
});
