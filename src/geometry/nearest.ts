import { orient2d } from "robust-predicates";
import { FeeringError, requireObject, requirePoint, requirePoints } from "../errors/index.js";
import type { Line, Point } from "./types.js";

/** The point of a line nearest to a query point, and where on the line it lies. */
export interface NearestPoint {
  /** distance from the query point to the line, metres, never negative; NaN when the query was not finite */
  readonly distance: number;
  /** the same with the side of the line, metres: right of its direction positive, left negative */
  readonly signedDistance: number;
  /** the nearest point, metres */
  readonly x: number;
  /** the nearest point, metres */
  readonly y: number;
  /** index of the segment it lies on: segment `i` runs from point `i` to the next; -1 when the query was not finite */
  readonly segment: number;
  /** place on that segment, 0 at its start to 1 at its end */
  readonly fraction: number;
  /** distance from the line's start to the nearest point, along the line, metres */
  readonly station: number;
}

/** Options of nearest-point queries. */
export interface NearestOptions {
  /** whether the line returns from its last point to its first; default false */
  readonly closed?: boolean;
}

/**
 * Squared length at and below which a segment counts as having none, square metres: above it no quotient overflows.
 *
 * @internal
 */
export const NO_LENGTH = 1e-300;

/**
 * The point of a line nearest to a point, by looking at every segment: the plain form of `LineIndex`, for a few queries.
 *
 * The rules, the same in both: of several nearest points the one on the segment of lowest index is given; segments of
 * no length are skipped. The side at a corner is that of the region the point lies in: beyond the outside of a corner it
 * is the outer side, at the tip of an exact reversal the side of the arriving segment. Before the start and past the
 * end of an open line it is the side of the end segment extended straight; exactly on that extension it is positive.
 *
 * @param line - at least two distinct points, metres
 * @param p - query point, metres
 * @param options - whether the line is closed
 * @returns the nearest point; its side is exact, its distance is good to a few units in the last place of the
 * coordinates' differences
 * @throws `FeeringError` `too-few-points`, `not-finite`, or `degenerate` when all points coincide
 * @example
 * ```ts
 * nearestOnLine([[0, 0], [0, 100]], [3, 40]); // signedDistance 3, x 0, y 40, segment 0, fraction 0.4, station 40
 * ```
 */
export function nearestOnLine(line: Line, p: Point, options: NearestOptions = {}): NearestPoint {
  requirePoints(line, "line", 2);
  requirePoint(p, "p");
  requireObject(options, "options");
  const closed = options.closed ?? false;
  const count = closed ? line.length : line.length - 1;
  let best = Number.POSITIVE_INFINITY;
  let segment = -1;
  let fraction = 0;
  let along = 0;
  let station = 0;
  for (let i = 0; i < count; i++) {
    const a = line[i]!;
    const b = line[i + 1 === line.length ? 0 : i + 1]!;
    const ex = b[0] - a[0];
    const ey = b[1] - a[1];
    const squared = ex * ex + ey * ey;
    if (!(squared > NO_LENGTH)) continue;
    const length = Math.sqrt(squared);
    const dx = p[0] - a[0];
    const dy = p[1] - a[1];
    const forward = dx * ex + dy * ey;
    let t: number;
    let gap: number;
    if (forward <= 0) {
      t = 0;
      gap = dx * dx + dy * dy;
    } else if (forward >= squared) {
      t = 1;
      gap = (p[0] - b[0]) * (p[0] - b[0]) + (p[1] - b[1]) * (p[1] - b[1]);
    } else {
      const cross = dx * ey - dy * ex;
      t = forward / squared;
      gap = (cross * cross) / squared;
    }
    if (gap < best) {
      best = gap;
      segment = i;
      fraction = t;
      station = along + t * length;
    }
    along += length;
  }
  if (segment < 0) {
    throw new FeeringError("degenerate", `line has no length: all its ${line.length} points coincide`, {
      argument: "line",
    });
  }
  const a = line[segment]!;
  const b = line[segment + 1 === line.length ? 0 : segment + 1]!;
  const distance = Math.sqrt(best);
  const sign = sideOfLine(line, closed, segment, fraction, p);
  return {
    distance,
    signedDistance: sign < 0 ? -distance : distance,
    x: fraction === 1 ? b[0] : a[0] + fraction * (b[0] - a[0]),
    y: fraction === 1 ? b[1] : a[1] + fraction * (b[1] - a[1]),
    segment,
    fraction,
    station,
  };
}

// the side of the line at its foot: below 0 left, above 0 right, 0 on it or straight beyond an end
function sideOfLine(line: Line, closed: boolean, segment: number, fraction: number, p: Point): number {
  const n = line.length;
  const a = line[segment]!;
  const b = line[segment + 1 === n ? 0 : segment + 1]!;
  const here = orient2d(a[0], a[1], b[0], b[1], p[0], p[1]);
  if (fraction > 0 && fraction < 1) return here;
  const step = fraction === 0 ? -1 : 1;
  const corner = fraction === 0 ? a : b;
  // the next segment of some length, across duplicate points
  let i = segment + (fraction === 0 ? 0 : 1);
  for (let tries = 0; tries < n; tries++) {
    i += step;
    if (closed) i = i < 0 ? i + n : i >= n ? i - n : i;
    else if (i < 0 || i >= n) return here;
    const far = line[i]!;
    if (far[0] === corner[0] && far[1] === corner[1]) continue;
    return fraction === 0 ? sideAtCorner(far, corner, b, p) : sideAtCorner(a, corner, far, p);
  }
  return here;
}

/**
 * On which side of the corner from `a` over `b` to `c` a point lies whose nearest point is `b`.
 *
 * @internal
 */
export function sideAtCorner(a: Point, b: Point, c: Point, p: Point): number {
  const turn = orient2d(a[0], a[1], b[0], b[1], c[0], c[1]);
  const first = orient2d(a[0], a[1], b[0], b[1], p[0], p[1]);
  if (turn === 0) return first;
  const second = orient2d(b[0], b[1], c[0], c[1], p[0], p[1]);
  // left of a left turn is left of both segments; right of a right turn is right of both
  if (turn < 0) return first < 0 && second < 0 ? -1 : first === 0 && second === 0 ? 0 : 1;
  return first > 0 && second > 0 ? 1 : first === 0 && second === 0 ? 0 : -1;
}
