import type { Polygon, Ring } from "./types.js";

/**
 * Signed area of a ring, by the shoelace sum relative to its first vertex, so that a ring far from the origin (a UTM
 * northing, say) loses no digits.
 *
 * A ring that crosses itself gives the sum of its parts weighted by how often they are wound round.
 *
 * @param ring - open or closed, metres
 * @returns square metres, positive for a counter-clockwise ring, 0 for fewer than 3 vertices
 */
export function signedArea(ring: Ring): number {
  const n = ring.length;
  if (n < 3) return 0;
  const x0 = ring[0]![0];
  const y0 = ring[0]![1];
  let twice = 0;
  let px = 0;
  let py = 0;
  for (let i = 1; i < n; i++) {
    const point = ring[i]!;
    const x = point[0] - x0;
    const y = point[1] - y0;
    twice += px * y - x * py;
    px = x;
    py = y;
  }
  return twice / 2 + 0;
}

/**
 * Area of a polygon: its exterior less its holes, whichever way each is wound.
 *
 * @param polygon - valid, metres: holes inside the exterior and apart from each other
 * @returns square metres
 */
export function polygonArea(polygon: Polygon): number {
  let area = Math.abs(signedArea(polygon.exterior));
  for (const hole of polygon.holes) area -= Math.abs(signedArea(hole));
  return area;
}
