import type { Bounds, Point } from "./types.js";

/**
 * Smallest axis-parallel box round points.
 *
 * @param points - metres
 * @returns metres; for no points the empty box, with `minX` and `minY` infinite and `maxX` and `maxY` minus infinite
 */
export function boundsOf(points: readonly Point[]): Bounds {
  let minX = Number.POSITIVE_INFINITY;
  let minY = Number.POSITIVE_INFINITY;
  let maxX = Number.NEGATIVE_INFINITY;
  let maxY = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < points.length; i++) {
    const point = points[i]!;
    const x = point[0];
    const y = point[1];
    if (x < minX) minX = x;
    if (x > maxX) maxX = x;
    if (y < minY) minY = y;
    if (y > maxY) maxY = y;
  }
  return { minX, minY, maxX, maxY };
}
