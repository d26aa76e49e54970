import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { CoverageRecord } from "../../src/coverage/index.js";
import { expectWithin } from "../helpers/within.js";
import { cellsInRing } from "./oracle.js";

const coordinate = fc.double({ min: -9, max: 9, noNaN: true });
const quadOf = fc.tuple(coordinate, coordinate, coordinate, coordinate, coordinate, coordinate, coordinate, coordinate);

/** Shares of cells are ratios of whole numbers: rounding alone. */
const ROUNDING = 1e-12;

describe("coveredShare", () => {
  test("counts the worked cells of any quad over any other", () => {
    fc.assert(
      fc.property(quadOf, quadOf, quadOf, (first, second, ahead) => {
        const record = new CoverageRecord({ cellSize: 1 });
        record.mark(...first);
        record.mark(...second);
        const worked = new Set([...cellsInRing(first), ...cellsInRing(second)]);
        const cells = [...cellsInRing(ahead)];
        fc.pre(cells.length > 0);
        const share = cells.filter((cell) => worked.has(cell)).length / cells.length;
        expectWithin(record.coveredShare(...ahead), share, ROUNDING, "share");
      }),
      { numRuns: 150, seed: 31 },
    );
  });

  test("is exactly 1 on what was just marked and exactly 0 beside it", () => {
    const record = new CoverageRecord();
    record.mark(0.03, 0.04, 3.03, 0.54, 2.9, 1, -0.1, 0.5);
    expect(record.coveredShare(0.03, 0.04, 3.03, 0.54, 2.9, 1, -0.1, 0.5)).toBe(1);
    expect(record.coveredShare(10, 0, 13, 0, 13, 0.5, 10, 0.5)).toBe(0);
    // within the same tile, and within one never marked
    expect(record.coveredShare(4, 3, 5, 3, 5, 4, 4, 4)).toBe(0);
    expect(record.coveredShare(-400, 3, -399, 3, -399, 4, -400, 4)).toBe(0);
  });

  test("more marks never lower it (P22)", () => {
    fc.assert(
      fc.property(fc.array(quadOf, { minLength: 1, maxLength: 8 }), quadOf, (marks, ahead) => {
        const record = new CoverageRecord({ cellSize: 0.5 });
        let before = record.coveredShare(...ahead);
        for (const mark of marks) {
          record.mark(...mark);
          const now = record.coveredShare(...ahead);
          expect(now).toBeGreaterThanOrEqual(before);
          before = now;
        }
      }),
      { numRuns: 100, seed: 32 },
    );
  });

  test("a quad too thin for any centre is read along its longer middle line", () => {
    const record = new CoverageRecord();
    record.mark(0, 0, 3, 0, 3, 0.5, 0, 0.5);
    // 1 mm deep, half over worked ground; along y and along x, either winding
    expectWithin(record.coveredShare(1.5, 0.26, 4.5, 0.26, 4.5, 0.261, 1.5, 0.261), 0.5, ROUNDING, "lying");
    expectWithin(record.coveredShare(1.5, 0.26, 1.5, 0.261, 4.5, 0.261, 4.5, 0.26), 0.5, ROUNDING, "the other way");
    expectWithin(record.coveredShare(1.01, 0.3, 1.011, 0.3, 1.011, 0.7, 1.01, 0.7), 0.5, ROUNDING, "standing");
    expect(record.coveredShare(1, 0.2, 1, 0.2, 1, 0.2, 1, 0.2)).toBe(1);
    expect(record.coveredShare(9, 0.2, 9, 0.2, 9, 0.2, 9, 0.2)).toBe(0);
  });

  test("reading changes nothing", () => {
    const record = new CoverageRecord();
    record.mark(0, 0, 3, 0, 3, 0.5, 0, 0.5);
    const hash = record.hash();
    const revision = record.revision;
    record.coveredShare(2, 0, 20, 0, 20, 9, 2, 9);
    record.coveredAlong(-3, -3, 8, 9);
    record.isCovered(Number.NaN, 0);
    expect(record.hash()).toBe(hash);
    expect([record.revision, record.lastNew, record.refused]).toEqual([revision, 150, 0]);
  });
});

describe("coveredAlong", () => {
  /** Share by clipping the segment to each cell of a window: slow, and written another way. */
  function byClipping(record: CoverageRecord, ax: number, ay: number, bx: number, by: number): number {
    const c = record.cellSize;
    let share = 0;
    for (let j = -12; j < 12; j++) {
      for (let i = -12; i < 12; i++) {
        if (!record.isCovered((i + 0.5) * c, (j + 0.5) * c)) continue;
        let from = 0;
        let to = 1;
        for (const [a, d, low] of [
          [ax, bx - ax, i * c],
          [ay, by - ay, j * c],
        ] as const) {
          if (d === 0) {
            if (a < low || a >= low + c) to = -1;
            continue;
          }
          from = Math.max(from, Math.min((low - a) / d, (low + c - a) / d));
          to = Math.min(to, Math.max((low - a) / d, (low + c - a) / d));
        }
        share += Math.max(0, to - from);
      }
    }
    return share;
  }

  test("is the share of the length over worked cells, for any segment", () => {
    fc.assert(
      fc.property(quadOf, quadOf, coordinate, coordinate, coordinate, coordinate, (first, second, ax, ay, bx, by) => {
        // a length that a share can be taken of
        fc.pre(Math.hypot(bx - ax, by - ay) > 1e-3);
        const record = new CoverageRecord({ cellSize: 1 });
        record.mark(...first);
        record.mark(...second);
        const share = record.coveredAlong(ax, ay, bx, by);
        expectWithin(share, byClipping(record, ax, ay, bx, by), 1e-9, "share");
        expectWithin(record.coveredAlong(bx, by, ax, ay), share, 1e-9, "reversed");
      }),
      { numRuns: 300, seed: 33 },
    );
  });

  test.for<[string, [number, number, number, number], number]>([
    ["all on worked ground is exactly 1", [0.1, 0.1, 2.9, 0.4], 1],
    ["from border to border is exactly 1", [0, 0.2, 3, 0.2], 1],
    ["backwards from border to border too", [3, 0.2, 0, 0.2], 1],
    ["up through it from border to border", [1.2, 0, 1.2, 0.5], 1],
    ["none on worked ground is exactly 0", [3.1, 0, 9, 7], 0],
    ["along the east border is outside", [3, 0.1, 3, 0.4], 0],
    ["along the west border is inside", [0, 0.1, 0, 0.4], 1],
    ["no length, on worked ground", [1, 0.2, 1, 0.2], 1],
    ["no length, off it", [1, 0.7, 1, 0.7], 0],
    ["half of it", [1.5, 0.2, 4.5, 0.2], 0.5],
    ["half of it, going west over tiles", [4.5, 0.2, -1.5, 0.2], 0.5],
    ["as long as is taken", [-98.5, 0.2, 101.5, 0.2], 0.015],
  ])("%s", ([, segment, share]) => {
    const record = new CoverageRecord();
    record.mark(0, 0, 3, 0, 3, 0.5, 0, 0.5);
    if (share === 0 || share === 1) expect(record.coveredAlong(...segment)).toBe(share);
    else expectWithin(record.coveredAlong(...segment), share, ROUNDING, "share");
  });

  test("NaN for a segment that is not finite or too long", () => {
    const record = new CoverageRecord();
    for (const bad of [Number.NaN, Infinity, -Infinity, 201]) expect(record.coveredAlong(0, 0, bad, 0)).toBeNaN();
    expect(record.coveredAlong(1e9, 0, 1e9, 0)).toBeNaN();
    expect(record.isCovered(Infinity, 0)).toBe(false);
  });

  test("a long segment over a tile worked whole and one never touched", () => {
    const record = new CoverageRecord({ cellSize: 1 });
    record.mark(0, 0, 64, 0, 64, 64, 0, 64);
    expect(record.coveredAlong(-64, 32.5, 128, 32.5)).toBeCloseTo(1 / 3, 12);
    expect(record.coveredAlong(0, 0, 63.9, 63.9)).toBe(1);
    expect(record.coveredAlong(-10, -10, -1, -30)).toBe(0);
  });
});

describe("coveredPieces", () => {
  test("gives each piece what coveredAlong gives it, and the whole", () => {
    const cut = fc.double({ min: 0, max: 1, noNaN: true });
    fc.assert(
      fc.property(
        quadOf,
        quadOf,
        fc.array(cut, { minLength: 2, maxLength: 12 }),
        coordinate,
        coordinate,
        coordinate,
        coordinate,
        (first, second, cuts, ax, ay, bx, by) => {
          fc.pre(Math.hypot(bx - ax, by - ay) > 1e-3);
          // cells small enough that the segment crosses tiles of all kinds
          const record = new CoverageRecord({ cellSize: 0.05 });
          record.mark(...first);
          record.mark(...second);
          const pieces = Float64Array.from(cuts.length % 2 === 0 ? cuts : cuts.slice(1)).sort();
          const shares = new Float64Array(pieces.length / 2);
          const whole = record.coveredPieces(Float64Array.of(ax, ay, bx, by), pieces, shares);
          expect(whole).toBe(record.coveredAlong(ax, ay, bx, by));
          shares.forEach((share, i) => {
            const [from, to] = [pieces[2 * i]!, pieces[2 * i + 1]!];
            const at = (f: number): [number, number] => [ax + f * (bx - ax), ay + f * (by - ay)];
            // a piece whose ends fall on other sides of a cell's border by rounding
            const piece = record.coveredAlong(...at(from), ...at(to)) * (to - from);
            expectWithin(share, piece, 1e-9, "piece");
          });
        },
      ),
      { numRuns: 300 },
    );
  });

  test("NaN where the segment is refused", () => {
    const record = new CoverageRecord();
    const shares = new Float64Array(2);
    expect(
      record.coveredPieces(Float64Array.of(0, 0, Number.NaN, 0), Float64Array.of(0, 0.5, 0.5, 1), shares),
    ).toBeNaN();
    expect([...shares]).toEqual([Number.NaN, Number.NaN]);
  });
});
