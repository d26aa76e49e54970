import { requireNumber, requirePoint } from "../errors/require.js";
import type { Point, Polygon } from "../geometry/types.js";

/** Farthest coordinate, metres: more than twice the way round the Earth is a mistake of unit. */
export const FARTHEST = 1e8;

/**
 * Check that a point is one, and on Earth.
 *
 * @throws `FeeringError` `not-finite` or `out-of-range`
 */
export function requireNear(point: unknown, argument: string, index?: number): Point {
  const checked = requirePoint(point, argument, index);
  for (let axis = 0; axis < 2; axis++) {
    // compared first: a curve may have a million points
    if (Math.abs(checked[axis]!) <= FARTHEST) continue;
    requireNumber(checked[axis], argument, {
      min: -FARTHEST,
      max: FARTHEST,
      ...(index === undefined ? {} : { index }),
    });
  }
  return checked;
}

/** Check that all points of a list, known to be points, are on Earth. */
export function requireAllNear(points: readonly Point[], argument: string): void {
  for (let i = 0; i < points.length; i++) requireNear(points[i], argument, i);
}

/** Check that a polygon, known to be one, is on Earth. */
export function requirePolygonNear(polygon: Polygon, argument: string): void {
  requireAllNear(polygon.exterior, `${argument}.exterior`);
  polygon.holes.forEach((hole, i) => {
    requireAllNear(hole, `${argument}.holes[${i}]`);
  });
}
