import { FeeringError, requireList } from "../errors/index.js";
import { requirePolygon } from "../geometry/require-polygon.js";
import type { Polygon, Ring } from "../geometry/types.js";
import { combineRuns, type RowRuns, RunsBuilder } from "./row-runs.js";
import { CELL_LIMIT, firstRowAt, SAMPLE_X, SAMPLE_Y } from "./sample.js";

/** Most cells in the box round one polygon: 10 km x 10 km at cells of 0.1 m. */
const MOST_CELLS = 1e10;

/**
 * The cells whose sample lies inside any of some polygons, as runs.
 *
 * Even-odd over all rings of a polygon, so winding does not matter and holes are out; the same arithmetic as for quads.
 *
 * @param polygons - rings open or closed, metres
 * @param argument - name of the argument, for errors
 * @param scale - cells a metre
 * @throws FeeringError `too-few-points`, `not-finite`, or `too-large` for a box of over 1e10 cells
 */
export function polygonRuns(polygons: readonly Polygon[], argument: string, scale: number): RowRuns {
  requireList(polygons, argument);
  let all = new RunsBuilder().build();
  polygons.forEach((polygon, i) => {
    const runs = onePolygon(polygon, `${argument}[${i}]`, scale);
    all = i === 0 ? runs : combineRuns(all, runs, "either");
  });
  return all;
}

function onePolygon(polygon: Polygon, argument: string, scale: number): RowRuns {
  requirePolygon(polygon, argument);
  const rings = [polygon.exterior, ...polygon.holes];
  const box = requireSize(rings, argument, scale);

  // crossings by row: count, then place
  const starts = new Int32Array(box.endRow - box.firstRow + 1);
  eachEdge(rings, scale, (low, high) => {
    for (let row = firstRowAt(low[1]); row < firstRowAt(high[1]); row++) starts[row - box.firstRow]!++;
  });
  let total = 0;
  for (let r = 0; r < starts.length; r++) {
    const count = starts[r]!;
    starts[r] = total;
    total += count;
  }
  const columns = new Int32Array(total);
  const next = starts.slice();
  eachEdge(rings, scale, (low, high) => {
    const slope = (high[0] - low[0]) / (high[1] - low[1]);
    const end = firstRowAt(high[1]);
    for (let row = firstRowAt(low[1]); row < end; row++) {
      columns[next[row - box.firstRow]!++] = Math.ceil(low[0] + (row + SAMPLE_Y - low[1]) * slope - SAMPLE_X);
    }
  });

  const out = new RunsBuilder();
  for (let row = box.firstRow; row < box.endRow; row++) {
    const crossed = columns.subarray(starts[row - box.firstRow], starts[row - box.firstRow + 1]).sort();
    out.row(row);
    for (let k = 0; k + 1 < crossed.length; k += 2) out.run(crossed[k]!, crossed[k + 1]!);
  }
  return out.build();
}

/** Every edge of some rings, in cells, from its lower end; level ones are left out. */
function eachEdge(
  rings: readonly Ring[],
  scale: number,
  visit: (low: readonly [number, number], high: readonly [number, number]) => void,
): void {
  for (const ring of rings) {
    let from = ring[ring.length - 1]!;
    for (const to of ring) {
      const a: [number, number] = [from[0] * scale, from[1] * scale];
      const b: [number, number] = [to[0] * scale, to[1] * scale];
      if (a[1] < b[1]) visit(a, b);
      else if (b[1] < a[1]) visit(b, a);
      from = to;
    }
  }
}

/**
 * Check that a record can hold the box of a polygon's rings.
 *
 * @param scale - cells a metre
 * @throws FeeringError `too-large` for a box of over 1e10 cells or beyond 2^30 cells from the origin
 */
export function requireSize(
  rings: readonly Ring[],
  argument: string,
  scale: number,
): { firstRow: number; endRow: number } {
  let minX = Infinity;
  let maxX = -Infinity;
  let minY = Infinity;
  let maxY = -Infinity;
  for (const ring of rings) {
    for (const point of ring) {
      minX = Math.min(minX, point[0] * scale);
      maxX = Math.max(maxX, point[0] * scale);
      minY = Math.min(minY, point[1] * scale);
      maxY = Math.max(maxY, point[1] * scale);
    }
  }
  const farthest = Math.max(-minX, maxX, -minY, maxY);
  const cells = (maxX - minX) * (maxY - minY);
  if (farthest >= CELL_LIMIT || cells > MOST_CELLS || maxY - minY > MOST_CELLS / 1e3) {
    const what = farthest >= CELL_LIMIT ? `reaches ${farthest / scale} m from the origin` : `spans ${cells} cells`;
    throw new FeeringError("too-large", `${argument} ${what}, more than coverage can hold`, { argument, value: cells });
  }
  return { firstRow: firstRowAt(minY), endRow: firstRowAt(maxY) };
}
