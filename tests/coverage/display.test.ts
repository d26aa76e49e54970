import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { CoverageRecord } from "../../src/coverage/index.js";
import { changedTiles } from "../../src/coverage/changed-tiles.js";
import { TILE_WORDS, TileStore } from "../../src/coverage/tile-store.js";
import type { Polygon, Ring } from "../../src/geometry/index.js";
import { signedArea } from "../../src/geometry/index.js";
import { expectCode, expectWithin } from "../helpers/within.js";
import { expectValid } from "./validity.js";

type Quad = Parameters<CoverageRecord["mark"]>;
type Step = { kind: "mark" | "merge" | "paint" | "restore"; quad: Quad };

// cells of 0.5 m, tiles of 32 m, blocks of 512 m: 700 m reach over several blocks
const CELL = 0.5;
const place = fc.double({ min: -700, max: 700, noNaN: true });
const near = fc.double({ min: -40, max: 40, noNaN: true });
const quad = fc
  .tuple(place, place, fc.array(near, { minLength: 8, maxLength: 8 }))
  .map(([x, y, corners]) => corners.map((c, i) => c + (i % 2 === 0 ? x : y)) as unknown as Quad);
const steps: fc.Arbitrary<Step[]> = fc.array(
  fc.record({ kind: fc.constantFrom("mark", "mark", "mark", "merge", "paint", "restore"), quad }),
  { maxLength: 14 },
);

/** What a display shows: the outlines of each tile. */
class Display {
  readonly shown = new Map<number, string>();
  painted = 0;

  paint(record: CoverageRecord): void {
    for (const key of record.changedTiles(this.painted)) {
      this.shown.set(key, JSON.stringify([record.tileOutline(key), record.tileOutline(key, { of: "twice" })]));
    }
    this.painted = record.revision;
  }
}

const sorted = (shown: Map<number, string>): [number, string][] => [...shown].sort((a, b) => a[0] - b[0]);

function areaOf(polygons: readonly Polygon[]): number {
  return polygons.reduce(
    (sum, { exterior, holes }) => sum + signedArea(exterior) + holes.reduce((s, hole) => s + signedArea(hole), 0),
    0,
  );
}

/** Edges of unit length along the cells' borders, by direction. */
function unitEdges(ring: Ring): string[] {
  const edges: string[] = [];
  for (let i = 0; i + 1 < ring.length; i++) {
    const [x, y] = [ring[i]![0] / CELL, ring[i]![1] / CELL];
    const [dx, dy] = [ring[i + 1]![0] / CELL - x, ring[i + 1]![1] / CELL - y];
    const n = Math.abs(dx) + Math.abs(dy);
    for (let k = 0; k < n; k++) {
      const [ux, uy] = [dx / n, dy / n];
      edges.push(`${x + k * ux},${y + k * uy} ${x + (k + 1) * ux},${y + (k + 1) * uy}`);
    }
  }
  return edges;
}

const reversed = (edge: string): string => edge.split(" ").reverse().join(" ");

describe("a display that repaints only what changed", () => {
  test("shows what one that repaints all does, over marks, merges and restarts", () => {
    fc.assert(
      fc.property(steps, (all) => {
        let record = new CoverageRecord({ cellSize: CELL });
        const display = new Display();
        for (const { kind, quad } of all) {
          if (kind === "mark") record.mark(...quad);
          else if (kind === "paint") display.paint(record);
          else if (kind === "restore") record = CoverageRecord.restore(record.snapshot());
          else {
            const other = new CoverageRecord({ cellSize: CELL });
            other.mark(...quad);
            record.merge(other);
          }
        }
        display.paint(record);
        const afresh = new Display();
        afresh.paint(record);
        expect(sorted(display.shown)).toEqual(sorted(afresh.shown));
        expect(record.changedTiles(record.revision)).toEqual([]);
      }),
      { numRuns: 80, seed: 71 },
    );
  });

  test("is told of exactly the tiles in which a cell changed", () => {
    fc.assert(
      fc.property(fc.array(quad, { maxLength: 8 }), (quads) => {
        const record = new CoverageRecord({ cellSize: CELL });
        for (const mark of quads) {
          const before = new Display();
          before.paint(record);
          const changes = record.revision;
          record.mark(...mark);
          const after = new Display();
          after.paint(record);
          const differing = sorted(after.shown)
            .filter(([key, picture]) => before.shown.get(key) !== picture)
            .map(([key]) => key);
          expect(record.changedTiles(changes)).toEqual(differing);
          expect(record.revision - changes).toBe(differing.length > 0 ? 1 : 0);
        }
      }),
      { numRuns: 60, seed: 72 },
    );
  });
});

describe("tiles", () => {
  test("have valid outlines that together bound the whole ground and meet edge to edge", () => {
    fc.assert(
      fc.property(fc.array(quad, { minLength: 1, maxLength: 5 }), fc.constantFrom("worked", "twice"), (quads, of) => {
        const record = new CoverageRecord({ cellSize: CELL });
        for (const mark of quads) record.mark(...mark);
        const edges = new Set<string>();
        for (const key of record.changedTiles(0)) {
          const outline = record.tileOutline(key, { of });
          expectValid(outline);
          const areas = record.tileArea(key);
          expect(areaOf(outline)).toBe(of === "worked" ? areas.worked : areas.workedTwice);
          for (const { exterior, holes } of outline)
            for (const r of [exterior, ...holes]) for (const e of unitEdges(r)) edges.add(e);
        }
        // what neighbours share runs both ways and cancels; what is left is the outline of the whole
        const left = [...edges].filter((edge) => !edges.has(reversed(edge))).sort();
        const whole = record.outline({ of }).flatMap(({ exterior, holes }) => [exterior, ...holes].flatMap(unitEdges));
        expect(left).toEqual(whole.sort());
      }),
      { numRuns: 40, seed: 73 },
    );
  });

  test("have areas that add up to the record's, in cells exactly, also after restoring", () => {
    const record = new CoverageRecord({ cellSize: 0.1 });
    record.mark(-40, -40, 60, -30, 55, 44, -70, 12);
    record.mark(0, 0, 20, 3, 18, 25, -3, 14);
    for (const r of [record, CoverageRecord.restore(record.snapshot())]) {
      let [worked, twice] = [0, 0];
      for (const key of r.changedTiles(0)) {
        const areas = r.tileArea(key);
        worked += Math.round(areas.worked * 100);
        twice += Math.round(areas.workedTwice * 100);
        expectWithin(areas.worked * 100, Math.round(areas.worked * 100), 1e-9, "cells");
      }
      expect(worked).toBe(Math.round(r.areas().worked * 100));
      expect(twice).toBe(Math.round(r.areas().workedTwice * 100));
    }
  });

  test("keep their keys in every record, and reach to the farthest cell", () => {
    const [a, b] = [new CoverageRecord(), new CoverageRecord()];
    a.mark(97, -97, 100, -97, 100, -96.5, 97, -96.5);
    b.mark(0, 0, 3, 0, 3, 0.5, 0, 0.5);
    b.mark(97, -97, 100, -97, 100, -96.5, 97, -96.5);
    expect(b.changedTiles(1)).toEqual(a.changedTiles(0));
    expect(a.tileBounds(b.changedTiles(0)[1] ?? -1)).toEqual({ minX: 0, minY: 0, maxX: 6.4, maxY: 6.4 });
    for (const [x, y] of [
      [-1.07e8, 1.07e8],
      [1.07e8, -1.07e8],
    ] as const) {
      const far = new CoverageRecord();
      far.mark(x, y, x + 1, y, x + 1, y + 1, x, y + 1);
      const key = far.changedTiles(0)[0]!;
      const box = far.tileBounds(key);
      expect(box.minX <= x && x < box.maxX && box.minY <= y && y < box.maxY).toBe(true);
      expect(far.tileArea(key).worked).toBeGreaterThan(0);
    }
  });

  test("without ground are empty; a tile worked whole is a square", () => {
    const record = new CoverageRecord({ cellSize: 1 });
    record.mark(0, 0, 64, 0, 64, 64, 0, 64);
    const key = record.changedTiles(0)[0]!;
    expect(record.tileOutline(key)).toEqual([
      {
        exterior: [
          [0, 0],
          [64, 0],
          [64, 64],
          [0, 64],
          [0, 0],
        ],
        holes: [],
      },
    ]);
    expect(record.tileOutline(key, { of: "twice" })).toEqual([]);
    expect(record.tileOutline(key + 1)).toEqual([]);
    expect(record.tileOutline(key + 1000)).toEqual([]);
    expect(record.tileArea(key + 1000)).toEqual({ worked: 0, workedTwice: 0 });
  });

  test("refuse what is no key, no revision or no ground", () => {
    const record = new CoverageRecord();
    record.mark(0, 0, 3, 0, 3, 0.5, 0, 0.5);
    const key = record.changedTiles(0)[0]!;
    for (const bad of [-1, 0.5, key + 0.5, 2 ** 53, Number.NaN, Infinity, "1", undefined, null, {}] as number[]) {
      expect(() => record.tileOutline(bad)).toThrowError(expect.objectContaining({ name: "FeeringError" }));
      expect(() => record.tileArea(bad)).toThrowError(expect.objectContaining({ argument: "key" }));
      expect(() => record.tileBounds(bad)).toThrowError(expect.objectContaining({ argument: "key" }));
    }
    for (const bad of [Number.NaN, Infinity, "1", undefined, null] as number[]) {
      expectCode(() => record.changedTiles(bad), "not-finite");
    }
    expectCode(() => record.changedTiles(-1), "out-of-range");
    for (const of of ["nonsense", 3, {}, Object.create(null), Symbol("x")] as "worked"[]) {
      expectCode(() => record.tileOutline(key, { of }), "out-of-range");
      expectCode(() => record.outline({ of }), "out-of-range");
      expectCode(() => record.cellRuns({ of }), "out-of-range");
    }
    for (const bad of [null, 3, "x"] as unknown as object[]) {
      expectCode(() => record.tileOutline(key, bad), "not-finite");
      expectCode(() => record.outline(bad), "not-finite");
      expectCode(() => record.cellRuns(bad), "not-finite");
    }
  });
});

describe("revisions", () => {
  test("of a restored record go on from the snapshot's; before it and beyond it every tile has changed", () => {
    const record = new CoverageRecord();
    record.mark(0, 0, 3, 0, 3, 0.5, 0, 0.5);
    record.mark(97, 97, 100, 97, 100, 97.5, 97, 97.5);
    const restored = CoverageRecord.restore(record.snapshot());
    expect(restored.revision).toBe(2);
    expect(restored.changedTiles(2)).toEqual([]);
    expect(restored.changedTiles(1)).toEqual(record.changedTiles(0));
    restored.mark(1, 0.2, 2, 0.2, 2, 0.4, 1, 0.4);
    expect(restored.changedTiles(2)).toEqual([record.changedTiles(0)[0]]);
    expect(restored.changedTiles(99)).toEqual(record.changedTiles(0));
  });

  test("outlast the 32 bits of a tile's stamp", () => {
    const store = new TileStore();
    const words = new Int32Array(TILE_WORDS).fill(1);
    const change = (column: number): void => {
      const block = store.make(column, 0);
      store.put(block, "worked", 0, words, TILE_WORDS);
      store.touch(block, 0);
      store.advance();
    };
    change(0);
    store.revision = 2 ** 32 - 4;
    change(1);
    const painted = store.revision;
    change(2);
    expect(changedTiles(store, painted).length).toBe(1);
    change(3);
    // stamps ran out: who has not seen the change before sees all
    expect(store.base).toBe(store.revision);
    expect(changedTiles(store, painted).length).toBe(4);
    const later = store.revision;
    change(1);
    expect(changedTiles(store, later).length).toBe(1);
    expect(changedTiles(store, store.revision)).toEqual([]);
  });
});
