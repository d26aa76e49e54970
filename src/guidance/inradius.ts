import { LineIndex } from "../geometry/line-index.js";
import { boundsOf } from "../geometry/bounds.js";
import { PolygonIndex } from "../geometry/polygon-index.js";
import type { Ring } from "../geometry/types.js";
import { CellHeap } from "./cell-heap.js";

/** How far below the true one the search may stop before it is refined, as a share of the extent. */
const COARSE = 2e-4;

/** How near the refined radius comes, metres. */
const FINE = 1e-7;

/**
 * Largest distance that a point inside a ring has from it, metres: the radius of the largest circle that fits.
 *
 * Cells of a square grid are divided as long as one may hold a better centre (the distance changes by no more than the way
 * gone), largest promise first; the best centre is then moved uphill. The lowest of all it could be: a circle of this radius fits.
 *
 * @see D. Garcia-Castellanos and U. Lombardo, Poles of inaccessibility, Scottish Geographical Journal 123, 2007
 */
export function inradius(ring: Ring): number {
  const index = new LineIndex(ring, { closed: true });
  const polygon = new PolygonIndex({ exterior: ring, holes: [] });
  const { minX, minY, maxX, maxY } = boundsOf(ring);
  const extent = Math.max(maxX - minX, maxY - minY);
  let best = 0;
  let bestX = 0;
  let bestY = 0;
  const depth = (x: number, y: number): number => {
    const distance = index.nearest(x, y).distance;
    const inside = polygon.contains(x, y);
    if (inside && distance > best) {
      best = distance;
      bestX = x;
      bestY = y;
    }
    return inside ? distance : -distance;
  };
  const cells = new CellHeap();
  const size = Math.min(maxX - minX, maxY - minY) / 2;
  const add = (x: number, y: number, half: number): void => {
    const most = depth(x, y) + half * Math.SQRT2;
    if (most > best + COARSE * extent) cells.push([x, y, half, most]);
  };
  // a sliver is as wide as many cells are long
  const half = Math.max(size, extent / 200);
  for (let x = minX + half; x < maxX + half; x += 2 * half) {
    for (let y = minY + half; y < maxY + half; y += 2 * half) add(x, y, half);
  }
  for (let count = 0; cells.size > 0 && count < LIMIT; count++) {
    const [x, y, h, most] = cells.pop();
    if (most <= best + COARSE * extent) break;
    add(x - h / 2, y - h / 2, h / 2);
    add(x + h / 2, y - h / 2, h / 2);
    add(x - h / 2, y + h / 2, h / 2);
    add(x + h / 2, y + h / 2, h / 2);
  }
  // uphill by ever smaller steps in sixteen directions
  for (let step = 4 * COARSE * extent; step > FINE; ) {
    const before = best;
    const x = bestX;
    const y = bestY;
    for (let k = 0; k < 16; k++) depth(x + step * Math.cos((k * Math.PI) / 8), y + step * Math.sin((k * Math.PI) / 8));
    if (best <= before) step /= 2;
  }
  return best;
}

/** Most cells that are divided: a ring that needs more is one of slivers, and the refinement does the rest. */
const LIMIT = 200_000;
