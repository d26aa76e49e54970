import { CELL_LIMIT } from "./sample.js";
import type { TileStore } from "./tile-store.js";

/**
 * Share of a segment's length that runs over worked cells, exact up to rounding: cell by cell along it.
 *
 * Runs are added up, not cells, so that a segment all on worked ground gives exactly 1 and one on none exactly 0.
 *
 * @param store - the bitmap
 * @param ends - start and end, x0, y0, x1, y1, metres
 * @param limits - cells a metre, and longest extent of the segment along an axis, cells
 * @returns 0..1; for a segment of no length 0 or 1; NaN where it is not finite, too long or too far out
 * @see Amanatides and Woo, A Fast Voxel Traversal Algorithm for Ray Tracing, 1987
 */
export function workedAlong(store: TileStore, ends: Float64Array, limits: Float64Array): number {
  // hot: once a section and look-ahead
  const scale = limits[0]!;
  const extent = limits[1]!;
  const ax = ends[0]! * scale;
  const ay = ends[1]! * scale;
  const bx = ends[2]! * scale;
  const by = ends[3]! * scale;
  const dx = bx - ax;
  const dy = by - ay;
  const inReach = Math.max(Math.abs(ax), Math.abs(ay), Math.abs(bx), Math.abs(by)) < CELL_LIMIT;
  if (!(inReach && Math.abs(dx) <= extent && Math.abs(dy) <= extent)) return Number.NaN;

  let column = Math.floor(ax);
  let row = Math.floor(ay);
  const endColumn = Math.floor(bx);
  const endRow = Math.floor(by);
  const stepX = dx > 0 ? 1 : -1;
  const stepY = dy > 0 ? 1 : -1;
  const edgeX = dx > 0 ? 1 : 0;
  const edgeY = dy > 0 ? 1 : 0;
  // fraction of the segment at which it leaves the column and the row; 2 where it stays to its end
  let leaveX = column === endColumn ? 2 : (column + edgeX - ax) / dx;
  let leaveY = row === endRow ? 2 : (row + edgeY - ay) / dy;

  let tileColumn = column >> 6;
  let tileRow = row >> 6;
  let slot = store.workedSlot(tileColumn, tileRow);
  let words = store.words(slot);
  let offset = store.offset(slot);
  let on = (words[offset + ((column & 32) << 1) + (row & 63)]! >>> (column & 31)) & 1;
  let since = 0;
  let worked = 0;
  for (let steps = Math.abs(endColumn - column) + Math.abs(endRow - row); steps > 0; steps--) {
    let at = leaveX;
    if (leaveX < leaveY) {
      column += stepX;
      leaveX = column === endColumn ? 2 : (column + edgeX - ax) / dx;
    } else {
      at = leaveY;
      row += stepY;
      leaveY = row === endRow ? 2 : (row + edgeY - ay) / dy;
    }
    if (column >> 6 !== tileColumn || row >> 6 !== tileRow) {
      tileColumn = column >> 6;
      tileRow = row >> 6;
      slot = store.workedSlot(tileColumn, tileRow);
      words = store.words(slot);
      offset = store.offset(slot);
    }
    const now = (words[offset + ((column & 32) << 1) + (row & 63)]! >>> (column & 31)) & 1;
    if (now === on) continue;
    if (on === 1) worked += at - since;
    else since = at;
    on = now;
  }
  if (on === 1) worked += 1 - since;
  return Math.min(1, Math.max(0, worked));
}
