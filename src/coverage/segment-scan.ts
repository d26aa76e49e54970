import { CELL_LIMIT } from "./sample.js";
import { EMPTY, FULL, type TileStore } from "./tile-store.js";

/** Cells of a tile along a side, as a shift. */
const TILE_SHIFT = 6;

/**
 * Where a segment runs over worked cells, exact up to rounding: cell by cell along it, and tile by tile where a tile is all of one kind.
 *
 * @param store - the bitmap
 * @param ends - start and end, x0, y0, x1, y1, metres
 * @param limits - cells a metre, and longest extent of the segment along an axis, cells
 * @param runs - takes the fractions of the segment at which each run on worked ground begins and ends; two numbers for each two cells of
 * the extent, and a few
 * @returns how many runs; -1 where the segment is not finite, too long or too far out. A segment of no length has the run 0 to 1 or none
 * @see Amanatides and Woo, A Fast Voxel Traversal Algorithm for Ray Tracing, 1987
 */
export function workedRuns(store: TileStore, ends: Float64Array, limits: Float64Array, runs: Float64Array): number {
  // hot: once a row of sections and look-ahead
  const scale = limits[0]!;
  const extent = limits[1]!;
  const ax = ends[0]! * scale;
  const ay = ends[1]! * scale;
  const bx = ends[2]! * scale;
  const by = ends[3]! * scale;
  const dx = bx - ax;
  const dy = by - ay;
  const inReach = Math.max(Math.abs(ax), Math.abs(ay), Math.abs(bx), Math.abs(by)) < CELL_LIMIT;
  if (!(inReach && Math.abs(dx) <= extent && Math.abs(dy) <= extent)) return -1;

  let column = Math.floor(ax);
  let row = Math.floor(ay);
  const endColumn = Math.floor(bx);
  const endRow = Math.floor(by);
  const stepX = dx > 0 ? 1 : -1;
  const stepY = dy > 0 ? 1 : -1;
  const edgeX = dx > 0 ? 1 : 0;
  const edgeY = dy > 0 ? 1 : 0;
  // many cells to a row: they are looked at by words
  const flat = Math.abs(dx) > 3 * Math.abs(dy);
  const endTileColumn = endColumn >> TILE_SHIFT;
  const endTileRow = endRow >> TILE_SHIFT;

  let count = 0;
  let on = 0;
  let since = 0;
  // fraction of the segment at which it came to where it is
  let at = 0;
  for (;;) {
    const tileColumn = column >> TILE_SHIFT;
    const tileRow = row >> TILE_SHIFT;
    const slot = store.workedSlot(tileColumn, tileRow);
    if (slot === EMPTY || slot === FULL) {
      const now = slot === FULL ? 1 : 0;
      if (now !== on) {
        if (on === 1) {
          runs[2 * count] = since;
          runs[2 * count + 1] = at;
          count++;
        } else since = at;
        on = now;
      }
      // on to where it leaves the tile; 2 where it stays in its columns, in its rows
      const exitX = tileColumn === endTileColumn ? 2 : (((tileColumn + edgeX) << TILE_SHIFT) - ax) / dx;
      const exitY = tileRow === endTileRow ? 2 : (((tileRow + edgeY) << TILE_SHIFT) - ay) / dy;
      if (exitX === 2 && exitY === 2) break;
      if (exitX < exitY) {
        at = exitX;
        column = stepX > 0 ? (tileColumn + 1) << TILE_SHIFT : (tileColumn << TILE_SHIFT) - 1;
        // the row whose crossing is the first after it
        if (row !== endRow) {
          row = Math.floor(ay + at * dy);
          while (row !== endRow && (row + edgeY - ay) / dy <= at) row += stepY;
          while ((row - stepY + edgeY - ay) / dy > at) row -= stepY;
          // rounding may put a crossing at the very end beyond it
          if ((row - endRow) * stepY > 0) row = endRow;
        }
      } else {
        at = exitY;
        row = stepY > 0 ? (tileRow + 1) << TILE_SHIFT : (tileRow << TILE_SHIFT) - 1;
        if (column !== endColumn) {
          column = Math.floor(ax + at * dx);
          while (column !== endColumn && (column + edgeX - ax) / dx < at) column += stepX;
          while ((column - stepX + edgeX - ax) / dx >= at) column -= stepX;
          if ((column - endColumn) * stepX > 0) column = endColumn;
        }
      }
      continue;
    }
    const words = store.words(slot);
    const offset = store.offset(slot);
    let inside = true;
    if (flat) {
      // row by row: cells of a row stand in one word, and those that are alike are passed at once
      let leaveY = row === endRow ? 2 : (row + edgeY - ay) / dy;
      while (inside) {
        const word = words[offset + ((column & 32) << 1) + (row & 63)]!;
        const now = (word >>> (column & 31)) & 1;
        if (now !== on) {
          if (on === 1) {
            runs[2 * count] = since;
            runs[2 * count + 1] = at;
            count++;
          } else since = at;
          on = now;
        }
        const others = now === 1 ? ~word : word;
        let last: number;
        if (stepX > 0) {
          const above = others >>> (column & 31);
          last = above === 0 ? column | 31 : column + 30 - Math.clz32(above & -above);
        } else {
          const below = others << (31 - (column & 31));
          last = below === 0 ? column & ~31 : column + 1 - Math.clz32(below);
        }
        if ((last - endColumn) * stepX >= 0) last = endColumn;
        const leaveX = last === endColumn ? 2 : (last + edgeX - ax) / dx;
        if (leaveX < leaveY) {
          at = leaveX;
          column = last + stepX;
          inside = column >> TILE_SHIFT === tileColumn;
          continue;
        }
        if (leaveY === 2) break;
        // the column in which it leaves the row
        let exit = Math.floor(ax + leaveY * dx);
        if ((exit - column) * stepX < 0) exit = column;
        else if ((exit - last) * stepX > 0) exit = last;
        while (exit !== last && (exit + edgeX - ax) / dx < leaveY) exit += stepX;
        while (exit !== column && (exit - stepX + edgeX - ax) / dx >= leaveY) exit -= stepX;
        column = exit;
        at = leaveY;
        row += stepY;
        leaveY = row === endRow ? 2 : (row + edgeY - ay) / dy;
        inside = row >> TILE_SHIFT === tileRow;
      }
    } else {
      // fraction at which it leaves the column and the row; 2 where it stays to its end
      let leaveX = column === endColumn ? 2 : (column + edgeX - ax) / dx;
      let leaveY = row === endRow ? 2 : (row + edgeY - ay) / dy;
      while (inside) {
        const now = (words[offset + ((column & 32) << 1) + (row & 63)]! >>> (column & 31)) & 1;
        if (now !== on) {
          if (on === 1) {
            runs[2 * count] = since;
            runs[2 * count + 1] = at;
            count++;
          } else since = at;
          on = now;
        }
        if (leaveX < leaveY) {
          at = leaveX;
          column += stepX;
          leaveX = column === endColumn ? 2 : (column + edgeX - ax) / dx;
          inside = column >> TILE_SHIFT === tileColumn;
        } else {
          if (leaveY === 2) break;
          at = leaveY;
          row += stepY;
          leaveY = row === endRow ? 2 : (row + edgeY - ay) / dy;
          inside = row >> TILE_SHIFT === tileRow;
        }
      }
    }
    if (inside) break;
  }
  if (on === 1) {
    runs[2 * count] = since;
    runs[2 * count + 1] = 1;
    count++;
  }
  return count;
}

/** Share of a segment that its runs take up: exactly 1 for all of it, exactly 0 for none; NaN for -1 runs. */
export function shareOfRuns(runs: Float64Array, count: number): number {
  if (count < 0) return Number.NaN;
  let worked = 0;
  for (let k = 0; k < count; k++) worked += runs[2 * k + 1]! - runs[2 * k]!;
  return Math.min(1, Math.max(0, worked));
}

/**
 * Share of the whole segment that is worked in each of some pieces of it.
 *
 * @param runs - of `workedRuns`
 * @param count - how many
 * @param pieces - fractions at which each piece begins and ends, rising, none over another
 * @param shares - takes one number a piece, of the whole segment's length
 */
export function runsInPieces(runs: Float64Array, count: number, pieces: Float64Array, shares: Float64Array): void {
  let k = 0;
  for (let i = 0; 2 * i < pieces.length; i++) {
    const from = pieces[2 * i]!;
    const to = pieces[2 * i + 1]!;
    let worked = 0;
    while (k < count && runs[2 * k + 1]! <= from) k++;
    for (let j = k; j < count && runs[2 * j]! < to; j++) {
      worked += Math.min(to, runs[2 * j + 1]!) - Math.max(from, runs[2 * j]!);
    }
    shares[i] = worked;
  }
}
