import { FeeringError, requireNumber, requireObject } from "../errors/index.js";
import type { Bounds } from "../geometry/types.js";
import { FAR, type RowRuns, RunsBuilder } from "./row-runs.js";
import { type Block, EMPTY, FULL, type TileStore } from "./tile-store.js";

/** A window of cells: columns and rows, the first ones and those after the last. */
export interface CellWindow {
  /** first column */
  readonly firstColumn: number;
  /** first row */
  readonly firstRow: number;
  /** column after the last */
  readonly endColumn: number;
  /** row after the last */
  readonly endRow: number;
}

/** Cells that reach into a box by more than this, cells, are part of it: an edge on a cell's border may be rounded. */
const SLIVER = 1e-6;

/** Cells that a box touches; {@link FAR} bounds one that reaches farther than any cell. */
export function cellWindow(box: Bounds, scale: number): CellWindow {
  requireObject(box, "options.within");
  const clamp = (cells: number): number => Math.min(FAR, Math.max(-FAR, cells));
  return {
    firstColumn: clamp(Math.floor(requireNumber(box.minX, "options.within.minX") * scale + SLIVER)),
    firstRow: clamp(Math.floor(requireNumber(box.minY, "options.within.minY") * scale + SLIVER)),
    endColumn: clamp(Math.ceil(requireNumber(box.maxX, "options.within.maxX") * scale - SLIVER)),
    endRow: clamp(Math.ceil(requireNumber(box.maxY, "options.within.maxY") * scale - SLIVER)),
  };
}

/** One of the two planes of the bitmap. */
export type Plane = "worked" | "twice";

/** Check which ground a caller asks for. */
export function requirePlane(of: Plane | undefined): Plane {
  const plane: unknown = of ?? "worked";
  if (plane === "worked" || plane === "twice") return plane;
  const given = typeof plane === "string" ? `"${plane}"` : typeof plane;
  throw new FeeringError("out-of-range", `options.of is ${given}, needs "worked" or "twice"`, {
    argument: "options.of",
    value: plane,
  });
}

/**
 * The set cells of one plane as runs.
 *
 * @param store - the bitmap
 * @param plane - which plane
 * @param window - leave out cells outside of it; default none
 */
export function bitmapRuns(store: TileStore, plane: Plane, window?: CellWindow): RowRuns {
  const out = new RunsBuilder();
  const firstRow = window?.firstRow ?? -FAR;
  const endRow = window?.endRow ?? FAR;
  for (const blocks of blockRows(store)) {
    for (let t = 0; t < 16; t++) {
      const tileRow = (blocks[0]!.row << 4) + t;
      const from = Math.max(tileRow << 6, firstRow);
      const to = Math.min((tileRow + 1) << 6, endRow);
      if (from >= to || !anyBits(blocks, plane, t)) continue;
      for (let row = from; row < to; row++) {
        out.row(row);
        for (const block of blocks) blockRow(out, store, block, plane, t, row & 63, window);
      }
    }
  }
  return out.build();
}

/** The set cells of one plane of one tile as runs. */
export function tileRuns(store: TileStore, block: Block, plane: Plane, tile: number): RowRuns {
  const out = new RunsBuilder();
  const slot = block[plane][tile]!;
  if (slot === EMPTY) return out.build();
  const words = store.words(slot);
  const offset = store.offset(slot);
  const west = (block.column << 10) + ((tile & 15) << 6);
  const south = (block.row << 10) + ((tile >> 4) << 6);
  for (let row = 0; row < 64; row++) {
    out.row(south + row);
    wordRuns(out, words[offset + row]!, west, -FAR, FAR);
    wordRuns(out, words[offset + row + 64]!, west + 32, -FAR, FAR);
  }
  return out.build();
}

/** Blocks by block row, ascending, and by column within each. */
export function blockRows(store: TileStore): Block[][] {
  const sorted = [...store.blocks].sort((a, b) => a.row - b.row || a.column - b.column);
  const rows: Block[][] = [];
  for (const block of sorted) {
    const last = rows[rows.length - 1];
    if (last !== undefined && last[0]!.row === block.row) last.push(block);
    else rows.push([block]);
  }
  return rows;
}

function anyBits(blocks: readonly Block[], plane: Plane, tileRow: number): boolean {
  for (const block of blocks) {
    const slots = block[plane];
    for (let t = 0; t < 16; t++) if (slots[(tileRow << 4) | t] !== EMPTY) return true;
  }
  return false;
}

function blockRow(
  out: RunsBuilder,
  store: TileStore,
  block: Block,
  plane: Plane,
  tileRow: number,
  row: number,
  window: CellWindow | undefined,
): void {
  const slots = block[plane];
  const first = window?.firstColumn ?? -FAR;
  const end = window?.endColumn ?? FAR;
  for (let t = 0; t < 16; t++) {
    const slot = slots[(tileRow << 4) | t]!;
    if (slot === EMPTY) continue;
    const west = (block.column << 10) + (t << 6);
    if (west >= end || west + 64 <= first) continue;
    if (slot === FULL) {
      out.run(Math.max(west, first), Math.min(west + 64, end));
      continue;
    }
    const words = store.words(slot);
    const offset = store.offset(slot) + row;
    wordRuns(out, words[offset]!, west, first, end);
    wordRuns(out, words[offset + 64]!, west + 32, first, end);
  }
}

/** Runs of set bits of one word, from the lowest up. */
function wordRuns(out: RunsBuilder, bits: number, west: number, first: number, end: number): void {
  let at = 0;
  let word = bits;
  while (word !== 0) {
    const zeros = lowestSet(word);
    at += zeros;
    word >>>= zeros;
    const ones = word === -1 || word === 0xffffffff ? 32 : lowestSet(~word);
    out.run(Math.max(west + at, first), Math.min(west + at + ones, end));
    at += ones;
    word = ones === 32 ? 0 : word >>> ones;
  }
}

function lowestSet(word: number): number {
  return 31 - Math.clz32(word & -word);
}
