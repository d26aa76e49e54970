import { popcount } from "./popcount.js";
import type { QuadScan } from "./quad-scan.js";
import { type Block, EMPTY, FULL, TILE_CELLS, type TileStore } from "./tile-store.js";

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
 * Work goes tile by tile within each band of rows, a 32-bit word at a time; bits are counted only where ground was
 * worked before.
 */
export function markQuad(store: TileStore, quad: QuadScan, counts: MarkCounts): void {
  // hot: once a section and fix
  counts.fresh = 0;
  counts.again = 0;
  counts.twice = 0;
  for (let first = quad.firstRow; first < quad.endRow; ) {
    const end = quad.band(first);
    const tileRow = first >> 6;
    const lastTile = (quad.endColumn - 1) >> 6;
    for (let tileColumn = quad.firstColumn >> 6; tileColumn <= lastTile; tileColumn++) {
      const block = store.make(tileColumn >> 4, tileRow >> 4);
      const tile = ((tileRow & 15) << 4) | (tileColumn & 15);
      markTile(store, block, tile, quad, first, end, tileColumn << 6, counts);
    }
    first = end;
  }
  if (counts.fresh + counts.twice > 0) store.revision++;
}

function markTile(
  store: TileStore,
  block: Block,
  tile: number,
  quad: QuadScan,
  first: number,
  end: number,
  west: number,
  counts: MarkCounts,
): void {
  const spans = quad.spans;
  const used = quad.counts;
  let slot = block.worked[tile]!;
  let words = store.words(slot);
  let offset = store.offset(slot);
  let twiceSlot = block.twice[tile]!;
  let twiceWords = store.words(twiceSlot);
  let twiceOffset = store.offset(twiceSlot);
  let cells = 0;
  let again = 0;
  let twice = 0;
  for (let row = first; row < end; row++) {
    const at = (row - first) << 2;
    const n = at + used[row - first]!;
    for (let s = at; s < n; s += 2) {
      let from = spans[s]! - west;
      let to = spans[s + 1]! - west;
      if (from < 0) from = 0;
      if (to > 64) to = 64;
      if (from >= to) continue;
      cells += to - from;
      // the one or two words of the row: bits from..to of 64
      for (let half = from >> 5; half <= (to - 1) >> 5; half++) {
        const low = from - (half << 5);
        const high = to - (half << 5);
        const mask = (low > 0 ? -1 << low : -1) & (high < 32 ? ~(-1 << high) : -1);
        const word = ((row & 63) << 1) + half;
        const old = words[offset + word]!;
        const hit = old & mask;
        if (hit !== mask) {
          if (slot === EMPTY) {
            slot = store.newSlot();
            block.worked[tile] = slot;
            words = store.words(slot);
            offset = store.offset(slot);
          }
          words[offset + word] = old | mask;
        }
        if (hit === 0) continue;
        again += popcount(hit);
        const oldTwice = twiceWords[twiceOffset + word]!;
        const newTwice = hit & ~oldTwice;
        if (newTwice === 0) continue;
        if (twiceSlot === EMPTY) {
          twiceSlot = store.newSlot();
          block.twice[tile] = twiceSlot;
          twiceWords = store.words(twiceSlot);
          twiceOffset = store.offset(twiceSlot);
        }
        twiceWords[twiceOffset + word] = oldTwice | hit;
        twice += popcount(newTwice);
      }
    }
  }
  if (cells === 0) return;
  const fresh = cells - again;
  counts.fresh += fresh;
  counts.again += again;
  counts.twice += twice;
  if (fresh + twice === 0) return;
  block.revision[tile] = store.revision + 1;
  settle(store, block.worked, block.workedCells, tile, fresh);
  settle(store, block.twice, block.twiceCells, tile, twice);
}

/** Bring a tile's count up to date; a tile that has become full gives its words back. */
function settle(store: TileStore, slots: Int32Array, cells: Uint16Array, tile: number, added: number): void {
  if (added === 0) return;
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
    const tileRow = first >> 6;
    const lastTile = (quad.endColumn - 1) >> 6;
    for (let tileColumn = quad.firstColumn >> 6; tileColumn <= lastTile; tileColumn++) {
      const slot = store.workedSlot(tileColumn, tileRow);
      if (slot !== EMPTY) again += countTile(store, slot, quad, first, end, tileColumn << 6);
    }
    first = end;
  }
  counts.fresh = cells - again;
  counts.again = again;
  counts.twice = 0;
}

function countTile(store: TileStore, slot: number, quad: QuadScan, first: number, end: number, west: number): number {
  const words = store.words(slot);
  const offset = store.offset(slot);
  const spans = quad.spans;
  const used = quad.counts;
  let again = 0;
  for (let row = first; row < end; row++) {
    const at = (row - first) << 2;
    const n = at + used[row - first]!;
    for (let s = at; s < n; s += 2) {
      let from = spans[s]! - west;
      let to = spans[s + 1]! - west;
      if (from < 0) from = 0;
      if (to > 64) to = 64;
      if (from >= to) continue;
      if (slot === FULL) {
        again += to - from;
        continue;
      }
      for (let half = from >> 5; half <= (to - 1) >> 5; half++) {
        const low = from - (half << 5);
        const high = to - (half << 5);
        const mask = (low > 0 ? -1 << low : -1) & (high < 32 ? ~(-1 << high) : -1);
        const hit = words[offset + ((row & 63) << 1) + half]! & mask;
        if (hit === -1) again += 32;
        else if (hit !== 0) again += popcount(hit);
      }
    }
  }
  return again;
}
