import { popcount } from "./popcount.js";
import type { QuadScan } from "./quad-scan.js";
import { EMPTY, FULL, TILE_CELLS, type TileStore } from "./tile-store.js";

/** What one mark did, cells; owned by the record and overwritten by the next mark. */
export interface MarkCounts {
  /** cells that were not worked before */
  fresh: number;
  /** cells that were */
  again: number;
  /** of those, cells that were worked once until now */
  twice: number;
}

/**
 * Set the cells of a quad in both planes and count.
 *
 * Work goes strip by strip of 32 columns within each band of rows, a word at a time; bits are counted only where ground
 * was worked before.
 */
export function markQuad(store: TileStore, quad: QuadScan, counts: MarkCounts): void {
  // hot: once a section and fix
  counts.fresh = 0;
  counts.again = 0;
  counts.twice = 0;
  for (let first = quad.firstRow; first < quad.endRow; ) {
    const end = quad.band(first);
    const lastStrip = (quad.endColumn - 1) >> 5;
    for (let strip = quad.firstColumn >> 5; strip <= lastStrip; strip++) {
      markStrip(store, strip, quad.from, quad.to, first, end, counts);
      if (quad.forked) markStrip(store, strip, quad.from2, quad.to2, first, end, counts);
    }
    first = end;
  }
  if (counts.fresh + counts.twice > 0) store.advance();
}

/** Mark the rows of a band in one strip of a tile, 32 columns wide: one word a row, one after the other in memory. */
function markStrip(
  store: TileStore,
  strip: number,
  fromColumn: Int32Array,
  toColumn: Int32Array,
  first: number,
  end: number,
  counts: MarkCounts,
): void {
  const tileRow = first >> 6;
  const block = store.make(strip >> 5, tileRow >> 4);
  const tile = ((tileRow & 15) << 4) | ((strip >> 1) & 15);
  const west = strip << 5;
  // index of the word of row `first`, from the slot's first word
  const start = ((strip & 1) << 6) + (first & 63);
  let slot = block.worked[tile]!;
  let words = store.words(slot);
  let offset = store.offset(slot) + start;
  let twiceSlot = block.twice[tile]!;
  let twiceWords = store.words(twiceSlot);
  let twiceOffset = store.offset(twiceSlot) + start;
  let cells = 0;
  let fresh = 0;
  let twice = 0;
  const rows = end - first;
  for (let r = 0; r < rows; r++) {
    const from = Math.max(fromColumn[r]! - west, 0);
    const to = Math.min(toColumn[r]! - west, 32);
    if (from >= to) continue;
    cells += to - from;
    const mask = (-1 << from) & (-1 >>> (32 - to));
    const old = words[offset + r]!;
    const hit = old & mask;
    if (hit !== mask) {
      if (slot === EMPTY) {
        slot = store.newSlot();
        block.worked[tile] = slot;
        words = store.words(slot);
        offset = store.offset(slot) + start;
      }
      words[offset + r] = old | mask;
      // bits are counted only in a word that is partly new
      if (hit === 0) {
        fresh += to - from;
        continue;
      }
      fresh += popcount(mask ^ hit);
    }
    const oldTwice = twiceWords[twiceOffset + r]!;
    const newTwice = hit & ~oldTwice;
    if (newTwice === 0) continue;
    if (twiceSlot === EMPTY) {
      block.openTwice();
      twiceSlot = store.newSlot();
      block.twice[tile] = twiceSlot;
      twiceWords = store.words(twiceSlot);
      twiceOffset = store.offset(twiceSlot) + start;
    }
    twiceWords[twiceOffset + r] = oldTwice | hit;
    twice += popcount(newTwice);
  }
  counts.fresh += fresh;
  counts.again += cells - fresh;
  counts.twice += twice;
  if (fresh + twice === 0) return;
  store.touch(block, tile);
  if (fresh > 0) settle(store, block.worked, block.workedCells, tile, fresh);
  if (twice > 0) settle(store, block.twice, block.twiceCells, tile, twice);
}

/** Bring a tile's count up to date; a tile that has become full gives its words back. */
function settle(store: TileStore, slots: Int32Array, cells: Uint16Array, tile: number, added: number): void {
  const count = cells[tile]! + added;
  cells[tile] = count;
  if (count < TILE_CELLS) return;
  store.release(slots[tile]!);
  slots[tile] = FULL;
}

/**
 * Count the worked cells of a quad.
 *
 * @param counts - takes the worked cells as `again`, the others as `fresh`
 */
export function countQuad(store: TileStore, quad: QuadScan, counts: MarkCounts): void {
  // hot: once a section and look-ahead
  let cells = 0;
  let again = 0;
  for (let first = quad.firstRow; first < quad.endRow; ) {
    const end = quad.band(first);
    cells += quad.cells;
    const lastStrip = (quad.endColumn - 1) >> 5;
    for (let strip = quad.firstColumn >> 5; strip <= lastStrip; strip++) {
      const slot = store.workedSlot(strip >> 1, first >> 6);
      if (slot === EMPTY) continue;
      again += countStrip(store, slot, strip, quad.from, quad.to, first, end);
      if (quad.forked) again += countStrip(store, slot, strip, quad.from2, quad.to2, first, end);
    }
    first = end;
  }
  counts.fresh = cells - again;
  counts.again = again;
  counts.twice = 0;
}

function countStrip(
  store: TileStore,
  slot: number,
  strip: number,
  fromColumn: Int32Array,
  toColumn: Int32Array,
  first: number,
  end: number,
): number {
  const words = store.words(slot);
  const offset = store.offset(slot) + ((strip & 1) << 6) + (first & 63);
  const west = strip << 5;
  const rows = end - first;
  let again = 0;
  for (let r = 0; r < rows; r++) {
    const from = Math.max(fromColumn[r]! - west, 0);
    const to = Math.min(toColumn[r]! - west, 32);
    if (from >= to) continue;
    const mask = (-1 << from) & (-1 >>> (32 - to));
    const hit = words[offset + r]! & mask;
    if (hit === mask) again += to - from;
    else if (hit !== 0) again += popcount(hit);
  }
  return again;
}
