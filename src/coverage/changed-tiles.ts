import { tileKey } from "./tile-key.js";
import { type Block, BLOCK_TILES, type TileStore } from "./tile-store.js";

/**
 * Keys of the tiles that changed after a revision, ascending.
 *
 * Blocks are walked from the one that changed last and no further than changes reach, so the cost does not grow with the
 * field. A revision before the store's base, or one that it has not reached, gives every tile with ground.
 */
export function changedTiles(store: TileStore, since: number): number[] {
  const keys: number[] = [];
  if (since < store.base || since > store.revision) {
    for (const block of store.blocks) {
      for (let tile = 0; tile < BLOCK_TILES; tile++) if (block.workedCells[tile] !== 0) keys.push(keyOf(block, tile));
    }
    return keys.sort((a, b) => a - b);
  }
  const stamp = since - store.base;
  for (let block = store.newest; block !== undefined && block.latest > since; block = block.older) {
    const stamps = block.stamps;
    for (let tile = 0; tile < BLOCK_TILES; tile++) if (stamps[tile]! > stamp) keys.push(keyOf(block, tile));
  }
  return keys.sort((a, b) => a - b);
}

function keyOf(block: Block, tile: number): number {
  return tileKey((block.column << 4) + (tile & 15), (block.row << 4) + (tile >> 4));
}
