import type { Point } from "./types.js";

/**
 * The point of a segment nearest to a point.
 *
 * @param p - metres
 * @param a - start of the segment, metres
 * @param b - end of the segment, metres; may equal `a`, then that point is the answer
 * @returns metres; exactly `a` or `b` where the nearest is an end
 */
export function footOnSegment(p: Point, a: Point, b: Point): Point {
  const ex = b[0] - a[0];
  const ey = b[1] - a[1];
  const along = (p[0] - a[0]) * ex + (p[1] - a[1]) * ey;
  if (!(along > 0)) return a;
  const squared = ex * ex + ey * ey;
  if (along >= squared) return b;
  const t = along / squared;
  // from the nearer end, so that the foot does not lose digits far down a long segment
  return t < 0.5 ? [a[0] + t * ex, a[1] + t * ey] : [b[0] - (1 - t) * ex, b[1] - (1 - t) * ey];
}
