import { FeeringError, requireNumber, requirePoint, requirePoints } from "../errors/index.js";
import type { Line, Point } from "../geometry/types.js";

/**
 * The points with one more at the end.
 *
 * @param points - set so far, metres; not changed
 * @param point - the new one, metres
 * @returns a new list
 * @throws `FeeringError` `not-finite` for a point that is none, `too-few-points` for points that are no list
 */
export function addPoint(points: Line, point: Point): Point[] {
  requirePoints(points, "points", 0);
  requirePoint(point, "point");
  return [...points, point];
}

/**
 * The points with one of them moved.
 *
 * @param points - set so far, metres; not changed
 * @param index - which one, 0 for the first
 * @param to - where to, metres
 * @returns a new list
 * @throws `FeeringError` `out-of-range` for an index that is none, `not-finite` for a point that is none, `too-few-points` for points that are no list
 */
export function movePoint(points: Line, index: number, to: Point): Point[] {
  requirePoints(points, "points", 0);
  requireIndex(index, points.length - 1);
  requirePoint(to, "to");
  const moved = [...points];
  moved[index] = to;
  return moved;
}

/**
 * The points with one more in between.
 *
 * @param points - set so far, metres; not changed
 * @param index - which one the new point becomes: 0 puts it in front, `points.length` at the end
 * @param point - the new one, metres
 * @returns a new list
 * @throws `FeeringError` `out-of-range` for an index that is none, `not-finite` for a point that is none, `too-few-points` for points that are no list
 */
export function insertPoint(points: Line, index: number, point: Point): Point[] {
  requirePoints(points, "points", 0);
  requireIndex(index, points.length);
  requirePoint(point, "point");
  return [...points.slice(0, index), point, ...points.slice(index)];
}

/**
 * The points without one of them.
 *
 * @param points - set so far, metres; not changed
 * @param index - which one, 0 for the first
 * @returns a new list
 * @throws `FeeringError` `out-of-range` for an index that is none, `not-finite` or `too-few-points` for points that are none
 */
export function removePoint(points: Line, index: number): Point[] {
  requirePoints(points, "points", 0);
  requireIndex(index, points.length - 1);
  return [...points.slice(0, index), ...points.slice(index + 1)];
}

function requireIndex(index: number, last: number): void {
  if (last < 0) {
    throw new FeeringError("out-of-range", `index is ${index}, there are no points`, {
      argument: "index",
      value: index,
    });
  }
  requireNumber(index, "index", { min: 0, max: last });
  if (!Number.isInteger(index)) {
    throw new FeeringError("out-of-range", `index is ${index}, needs a whole number`, {
      argument: "index",
      value: index,
    });
  }
}
