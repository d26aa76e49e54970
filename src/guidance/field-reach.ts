import { PolygonIndex } from "../geometry/polygon-index.js";
import type { Polygon } from "../geometry/types.js";
import { CellHeap } from "./cell-heap.js";
import type { GuidancePattern } from "./guidance-pattern.js";
import { RIGHT, SLOTS, X, Y } from "./line-locator.js";
import { makeLocator } from "./make-locator.js";

/** How closely the outermost distances are found before they are refined, metres. */
const CLOSELY = 1e-2;

/** Where refining stops, metres. */
const FINE = 1e-4;

/** Cells across the field to begin with. */
const ACROSS = 48;

/** Most cells that are looked at. */
const LIMIT = 400_000;

/** Least and largest signed distance from the line. */
export interface FieldReach {
  /** metres, right positive: of the place farthest to the left */
  readonly left: number;
  /** metres, right positive: of the place farthest to the right */
  readonly right: number;
}

/**
 * How far a field reaches to both sides of a pattern's line, over all its places and not its corners alone: beside a bend the
 * farthest one may lie on an edge or within.
 *
 * Cells of a grid are divided as long as they may reach farther: the distance changes by no more than the way gone; the best
 * place is then moved outwards. Within a centimetre, and nearly always within a millimetre; a place nearer to the far side of a line that comes back beside itself is found where it is as large as a
 * forty-eighth of the field.
 */
export function fieldReach(pattern: GuidancePattern, polygons: readonly Polygon[]): FieldReach {
  const index = new PolygonIndex(polygons);
  const locator = makeLocator(pattern);
  const numbers = new Float64Array(SLOTS);
  const distance = (x: number, y: number): number => {
    numbers[X] = x;
    numbers[Y] = y;
    locator.locate(numbers);
    return numbers[RIGHT]!;
  };
  return { left: -farthest(index, polygons, (x, y) => -distance(x, y)), right: farthest(index, polygons, distance) };
}

function farthest(index: PolygonIndex, polygons: readonly Polygon[], value: (x: number, y: number) => number): number {
  const { minX, minY, maxX, maxY } = index.bounds;
  const half = Math.max(maxX - minX, maxY - minY) / (2 * ACROSS);
  let best = Number.NEGATIVE_INFINITY;
  let bestX = minX;
  let bestY = minY;
  const found = (x: number, y: number, here: number): void => {
    if (!(here > best)) return;
    best = here;
    bestX = x;
    bestY = y;
  };
  for (const { exterior, holes } of polygons) {
    for (const ring of [exterior, ...holes]) for (const [x, y] of ring) found(x, y, value(x, y));
  }
  const cells = new CellHeap();
  const add = (x: number, y: number, h: number): void => {
    const reach = h * Math.SQRT2;
    const inside = index.contains(x, y);
    if (!inside && index.distanceToBoundary(x, y) > reach) return;
    const here = value(x, y);
    if (inside) found(x, y, here);
    if (here + reach > best + CLOSELY) cells.push([x, y, h, here + reach]);
  };
  for (let x = minX + half; x < maxX + half; x += 2 * half) {
    for (let y = minY + half; y < maxY + half; y += 2 * half) add(x, y, half);
  }
  for (let count = 0; cells.size > 0 && count < LIMIT; count++) {
    const [x, y, h, most] = cells.pop();
    if (most <= best + CLOSELY) break;
    const q = h / 2;
    // what is left of a cell on the edge is as good as inside
    if (h * Math.SQRT2 < CLOSELY / 2) {
      found(x, y, most - h * Math.SQRT2);
      continue;
    }
    add(x - q, y - q, q);
    add(x + q, y - q, q);
    add(x - q, y + q, q);
    add(x + q, y + q, q);
  }
  for (let step = CLOSELY; step > FINE; ) {
    const before = best;
    const x = bestX;
    const y = bestY;
    for (let k = 0; k < 16; k++) {
      const qx = x + step * Math.cos((k * Math.PI) / 8);
      const qy = y + step * Math.sin((k * Math.PI) / 8);
      if (index.contains(qx, qy)) found(qx, qy, value(qx, qy));
    }
    if (best <= before) step /= 2;
  }
  return best;
}
