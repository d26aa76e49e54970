import type { Point, Polygon } from "../geometry/index.js";

/** heights tried between two neighbouring ones of vertices, as shares: not the middle alone, where symmetric shapes have corners */
const SHARES = [0.5, 0.37, 0.61, 0.13, 0.83];

/**
 * A point inside a polygon, in the widest stretch of a line across it.
 *
 * @internal
 */
export function pointInside(polygon: Polygon): Point {
  const rings = [polygon.exterior, ...polygon.holes];
  let south = Number.POSITIVE_INFINITY;
  let north = Number.NEGATIVE_INFINITY;
  for (const [, y] of polygon.exterior) {
    if (y < south) south = y;
    if (y > north) north = y;
  }
  let best: Point = polygon.exterior[0]!;
  let widest = -1;
  for (const share of SHARES) {
    const y = south + share * (north - south);
    const cuts: number[] = [];
    for (const ring of rings) {
      for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
        const a = ring[j]!;
        const b = ring[i]!;
        if (a[1] > y !== b[1] > y) cuts.push(a[0] + ((y - a[1]) / (b[1] - a[1])) * (b[0] - a[0]));
      }
    }
    cuts.sort((a, b) => a - b);
    for (let i = 0; i + 1 < cuts.length; i += 2) {
      const width = cuts[i + 1]! - cuts[i]!;
      if (width > widest) {
        widest = width;
        best = [(cuts[i]! + cuts[i + 1]!) / 2, y];
      }
    }
  }
  return best;
}
