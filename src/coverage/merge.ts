import { popcount } from "./popcount.js";
import { EMPTY, TILE_WORDS, type TileStore } from "./tile-store.js";

/**
 * Add the ground of one store to another.
 *
 * @param into - the store that grows
 * @param from - the store that is read
 * @param sameWork - ground in both is one and the same work, and not worked twice for it
 * @returns cells that are new as worked, and as worked twice
 */
export function mergeStores(into: TileStore, from: TileStore, sameWork: boolean): { fresh: number; twice: number } {
  const worked = new Int32Array(TILE_WORDS);
  const twice = new Int32Array(TILE_WORDS);
  const revision = into.revision + 1;
  let fresh = 0;
  let freshTwice = 0;
  // a record merged into itself must not see its own new blocks
  for (const theirs of [...from.blocks]) {
    const ours = into.make(theirs.column, theirs.row);
    for (let tile = 0; tile < theirs.worked.length; tile++) {
      if (theirs.worked[tile] === EMPTY) continue;
      let cells = 0;
      let cellsTwice = 0;
      for (let w = 0; w < TILE_WORDS; w++) {
        const a = word(into, ours.worked[tile]!, w);
        const b = word(from, theirs.worked[tile]!, w);
        const both = sameWork ? 0 : a & b;
        const two = word(into, ours.twice[tile]!, w) | word(from, theirs.twice[tile]!, w) | both;
        worked[w] = a | b;
        twice[w] = two;
        cells += popcount(a | b);
        cellsTwice += popcount(two);
      }
      const added = cells - ours.workedCells[tile]!;
      const addedTwice = cellsTwice - ours.twiceCells[tile]!;
      if (added + addedTwice === 0) continue;
      into.put(ours.worked, ours.workedCells, tile, worked, cells);
      into.put(ours.twice, ours.twiceCells, tile, twice, cellsTwice);
      ours.touch(tile, revision);
      fresh += added;
      freshTwice += addedTwice;
    }
  }
  if (fresh + freshTwice > 0) into.revision = revision;
  return { fresh, twice: freshTwice };
}

function word(store: TileStore, slot: number, w: number): number {
  return store.words(slot)[store.offset(slot) + w]!;
}
