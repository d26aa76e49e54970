import { FeeringError } from "../errors/index.js";
import { CELL_LIMIT } from "./sample.js";

/** Tile columns and rows are from -2^24 to 2^24: cells stay below {@link CELL_LIMIT}. */
const TILE_LIMIT = CELL_LIMIT / 64;
/** Keys a row of tiles. */
const STRIDE = 4 * TILE_LIMIT;

/**
 * Name of a tile, by its column and row: the same for the same ground in every record of one cell size. Keys ascend by
 * row, then by column.
 *
 * @returns a whole number from 0, below 2^52
 */
export function tileKey(column: number, row: number): number {
  return (row + TILE_LIMIT) * STRIDE + column + TILE_LIMIT;
}

/**
 * Column and row of a tile.
 *
 * @param key - from {@link tileKey}
 * @throws `FeeringError` `not-finite` or `out-of-range` for what is no key
 */
export function tileOfKey(key: number): { column: number; row: number } {
  if (typeof key !== "number" || !Number.isFinite(key)) {
    throw new FeeringError("not-finite", "key is no number", { argument: "key", value: key });
  }
  const column = (key % STRIDE) - TILE_LIMIT;
  const row = Math.floor(key / STRIDE) - TILE_LIMIT;
  if (!Number.isInteger(key) || key < 0 || column > TILE_LIMIT || row > TILE_LIMIT) {
    throw new FeeringError("out-of-range", `key is ${key}, which names no tile`, { argument: "key", value: key });
  }
  return { column, row };
}
