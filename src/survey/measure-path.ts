import { requireNumber, requireObject, requirePoints } from "../errors/index.js";
import type { Line, Point } from "../geometry/types.js";
import { type Curvature, curvatureAt, type MeasureFrame } from "./curvature.js";

/** What {@link measurePath} gives. */
export interface PathMeasure {
  /** length along all points, metres */
  readonly length: number;
  /** straight distance from the first point to the last, metres */
  readonly direct: number;
}

/** Options of {@link measurePath} and `measurePolygon`. */
export interface MeasureOptions {
  /**
   * the frame that the points lie in. With it the measures are those on the WGS 84 ellipsoid, as a geodesic calculator
   * gives them; default none: those on the plane, which are the ground's at the frame's altitude
   */
  readonly frame?: MeasureFrame;
}

/**
 * Length of a path and the direct distance between its ends.
 *
 * No point and one point have length 0: a path that is being set point by point can be measured from the start.
 *
 * Accuracy: on the plane, rounding alone; a plane length is shorter than the ground's by up to 0.5 mm over the 5 km
 * from the frame's origin and 4 mm over 10 km. With `frame` the geodesic length within 1e-8 relative, within 20 km of
 * the origin and up to 1000 m of altitude (tests/survey/measure-frame.test.ts).
 *
 * @param points - in order, metres
 * @param options - the frame, where the measure shall be geodesic
 * @returns metres
 * @throws `FeeringError` `not-finite` with the index of the first bad point, or for a length beyond all numbers
 * @example
 * ```ts
 * measurePath([[0, 0], [30, 0], [30, 40]]); // { length: 70, direct: 50 }
 * ```
 */
export function measurePath(points: Line, options: MeasureOptions = {}): PathMeasure {
  requirePoints(points, "points", 0);
  requireObject(options, "options");
  const n = points.length;
  if (n < 2) return { length: 0, direct: 0 };
  const curvature = options.frame === undefined ? undefined : curvatureAt(options.frame, "options.frame");
  let length = 0;
  for (let i = 1; i < n; i++) length += segmentLength(points[i - 1]!, points[i]!, curvature);
  // coordinates may be finite and their distance not
  requireNumber(length, "length of points");
  return { length, direct: segmentLength(points[0]!, points[n - 1]!, curvature) };
}

/**
 * Length of a segment, on the plane or on the ellipsoid below it.
 *
 * On the ellipsoid: the plane's two ends drop by half of e²/N + n²/M to the surface, which gives the chord, and a
 * chord of length s is shorter than its arc by s³/24R².
 */
export function segmentLength(a: Point, b: Point, curvature?: Curvature): number {
  const dx = b[0] - a[0];
  const dy = b[1] - a[1];
  if (curvature === undefined) return Math.hypot(dx, dy);
  const { across, along, scaleEast, scaleNorth } = curvature;
  const east = dx * scaleEast;
  const north = dy * scaleNorth;
  const drop = (east * (a[0] + b[0]) * scaleEast) / (2 * across) + (north * (a[1] + b[1]) * scaleNorth) / (2 * along);
  const chord = Math.hypot(east, north, drop);
  if (chord === 0) return 0;
  // 1/R in the segment's own direction (Euler's theorem)
  const bend = (east * east) / across + (north * north) / along;
  return chord + (bend * bend) / (24 * chord);
}
