import { popcount } from "./popcount.js";
import { EMPTY, FULL, TILE_WORDS, type TileStore } from "./tile-store.js";

/**
 * Add the ground of one store to another: in each of the two planes the union.
 *
 * @param into - the store that grows
 * @param from - the store that is read
 * @returns cells that are new as worked, and as worked twice
 */
export function mergeStores(into: TileStore, from: TileStore): { fresh: number; twice: number } {
  const words = new Int32Array(TILE_WORDS);
  let fresh = 0;
  let twice = 0;
  for (const theirs of from.blocks) {
    const ours = into.make(theirs.column, theirs.row);
    for (let tile = 0; tile < theirs.worked.length; tile++) {
      if (theirs.worked[tile] === EMPTY) continue;
      const workedBefore = ours.workedCells[tile]!;
      const worked = unite(into, ours.worked[tile]!, from, theirs.worked[tile]!, words);
      if (worked > workedBefore) into.put(ours, "worked", tile, words, worked);
      const twiceBefore = ours.twiceCells[tile]!;
      const twiceNow = unite(into, ours.twice[tile]!, from, theirs.twice[tile]!, words);
      if (twiceNow > twiceBefore) into.put(ours, "twice", tile, words, twiceNow);
      const added = worked - workedBefore;
      const addedTwice = twiceNow - twiceBefore;
      if (added + addedTwice === 0) continue;
      into.touch(ours, tile);
      fresh += added;
      twice += addedTwice;
    }
  }
  if (fresh + twice > 0) into.advance();
  return { fresh, twice };
}

/** Words of two slots together; gives the number of their cells. */
function unite(one: TileStore, oneSlot: number, two: TileStore, twoSlot: number, out: Int32Array): number {
  if (oneSlot === EMPTY && twoSlot === EMPTY) return 0;
  if (oneSlot === FULL || twoSlot === FULL) {
    out.fill(-1);
    return TILE_WORDS * 32;
  }
  const a = one.words(oneSlot);
  const b = two.words(twoSlot);
  const aStart = one.offset(oneSlot);
  const bStart = two.offset(twoSlot);
  let cells = 0;
  for (let w = 0; w < TILE_WORDS; w++) {
    const word = a[aStart + w]! | b[bStart + w]!;
    out[w] = word;
    cells += popcount(word);
  }
  return cells;
}
