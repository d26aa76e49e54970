import { orient2d } from "robust-predicates";
import type { Point, Polygon, Ring } from "./types.js";

/** Where a point lies with regard to a polygon. */
export type PointLocation = "inside" | "boundary" | "outside";

/**
 * Whether a point lies in a polygon, decided exactly, by looking at every edge: the plain form of `PolygonIndex`.
 *
 * A point on any ring, exterior or hole, is on the boundary. Winding and closing of the rings do not matter. A ring
 * that crosses itself counts as inside wherever it is wound round at all.
 *
 * @param polygon - metres
 * @param p - metres
 * @returns `inside`, `boundary` or `outside`; no tolerance: a point 1e-12 m off an edge is not on it
 */
export function pointInPolygon(polygon: Polygon, p: Point): PointLocation {
  const outer = windingOf(polygon.exterior, p);
  if (outer === BOUNDARY) return "boundary";
  if (outer === 0) return "outside";
  let location: PointLocation = "inside";
  for (const hole of polygon.holes) {
    const inner = windingOf(hole, p);
    if (inner === BOUNDARY) return "boundary";
    if (inner !== 0) location = "outside";
  }
  return location;
}

/**
 * What {@link windingOf} gives for a point on the ring.
 *
 * @internal
 */
export const BOUNDARY: number = Number.POSITIVE_INFINITY;

/**
 * How often a ring is wound round a point, counter-clockwise positive; exact.
 *
 * @internal
 */
export function windingOf(ring: Ring, p: Point): number {
  const x = p[0];
  const y = p[1];
  const n = ring.length;
  let winding = 0;
  for (let i = 0, j = n - 1; i < n; j = i++) {
    const ax = ring[j]![0];
    const ay = ring[j]![1];
    const bx = ring[i]![0];
    const by = ring[i]![1];
    if (ay <= y) {
      if (by > y) {
        // upward: the point is left of it, or on it
        const s = orient2d(ax, ay, bx, by, x, y);
        if (s === 0) return BOUNDARY;
        if (s < 0) winding++;
      } else if (by === y && ay === y) {
        if (x >= Math.min(ax, bx) && x <= Math.max(ax, bx)) return BOUNDARY;
      } else if (by === y && bx === x) {
        return BOUNDARY;
      }
    } else if (by <= y) {
      const s = orient2d(ax, ay, bx, by, x, y);
      if (s === 0) return BOUNDARY;
      if (s > 0) winding--;
    }
  }
  return winding;
}
