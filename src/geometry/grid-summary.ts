import type { GridLevel } from "./grid-level.js";

/** Cells a side of a square of the summary, as a shift. */
export const SUMMARY = 3;
/** In the summary: cells of different winding numbers, or of edges. */
export const MIXED: number = -128;

/**
 * Winding number of each square of 8 x 8 cells of a level in which all cells have the same and none has an edge: most of
 * a field, in a table small enough to stay in the cache.
 *
 * @param level - the level
 * @param columns - squares a row
 *
 * @internal
 */
export function summaryOf(level: GridLevel, columns: number): Int8Array {
  const summary = new Int8Array(columns * (((level.rows - 1) >> SUMMARY) + 1));
  const none = MIXED + 1;
  summary.fill(none);
  for (let row = 0; row < level.rows; row++) {
    for (let column = 0; column < level.columns; column++) {
      const at = (row >> SUMMARY) * columns + (column >> SUMMARY);
      const cell = level.cells[row * level.columns + column]!;
      const winding = (cell & 1) === 1 || Math.abs(cell >> 1) > 100 ? MIXED : cell >> 1;
      if (summary[at] === none) summary[at] = winding;
      else if (summary[at] !== winding) summary[at] = MIXED;
    }
  }
  return summary;
}
