import { orient2d } from "robust-predicates";
import { requireNumber, requireObject, requirePoints } from "../errors/index.js";
import type { Line, Point } from "./types.js";

/** Options of {@link removeCollinear}. */
export interface RemoveCollinearOptions {
  /** points this near to the straight piece that replaces them are dropped, metres; default 0: exactly collinear ones */
  readonly within?: number;
  /** whether the points form a ring; default false */
  readonly closed?: boolean;
}

/**
 * Drop points in the middle of straight runs.
 *
 * Only points passed straight on are dropped: the tip of a reversal stays. With a tolerance every point dropped lies
 * within it of the piece that replaces it, so the error does not add up along a gentle curve. A ring keeps three points.
 *
 * @param points - without duplicates, metres; a ring without its closing point
 * @param options - tolerance, and whether they form a ring
 * @returns a new list of the points kept; a line keeps its ends
 */
export function removeCollinear(points: Line, options: RemoveCollinearOptions = {}): Point[] {
  requirePoints(points, "points", 0);
  requireObject(options, "options");
  const within = requireNumber(options.within ?? 0, "options.within", { min: 0 });
  const closed = options.closed ?? false;
  if (points.length < 3) return [...points];
  // a ring is walked from one of its corners, so that its seam is no vertex by accident
  const start = closed ? cornerOf(points, within) : 0;
  const n = closed ? points.length + 1 : points.length;
  const at = (i: number): Point => points[(start + i) % points.length]!;
  const kept: Point[] = [at(0)];
  let anchor = 0;
  // directions from the anchor, as angles from the first, that pass all points of the run within the tolerance
  let low = Number.NEGATIVE_INFINITY;
  let high = Number.POSITIVE_INFINITY;
  for (let i = 1; i + 1 < n; i++) {
    const a = at(anchor);
    const b = at(i);
    const c = at(i + 1);
    let straight: boolean;
    if (within === 0) {
      straight = passesStraight(at(i - 1), b, c) && orient2d(a[0], a[1], b[0], b[1], c[0], c[1]) === 0;
    } else {
      const reference = at(anchor + 1);
      const reach = Math.hypot(b[0] - a[0], b[1] - a[1]);
      const spread = reach <= within ? Math.PI / 2 : Math.asin(within / reach);
      const direction = turn(a, reference, b);
      low = Math.max(low, direction - spread);
      high = Math.min(high, direction + spread);
      const next = turn(a, reference, c);
      const farther = Math.hypot(c[0] - a[0], c[1] - a[1]) >= reach;
      straight = next >= low && next <= high && farther && passesStraight(at(i - 1), b, c);
    }
    if (straight) continue;
    kept.push(b);
    anchor = i;
    low = Number.NEGATIVE_INFINITY;
    high = Number.POSITIVE_INFINITY;
  }
  if (!closed) kept.push(at(n - 1));
  if (closed && kept.length < 3) return [...points];
  return kept;
}

function passesStraight(a: Point, b: Point, c: Point): boolean {
  return (b[0] - a[0]) * (c[0] - b[0]) + (b[1] - a[1]) * (c[1] - b[1]) > 0;
}

// angle at a from the direction of b to that of c, radians
function turn(a: Point, b: Point, c: Point): number {
  const ux = b[0] - a[0];
  const uy = b[1] - a[1];
  const vx = c[0] - a[0];
  const vy = c[1] - a[1];
  return Math.atan2(ux * vy - uy * vx, ux * vx + uy * vy);
}

// the sharpest corner: a vertex farthest from the first vertex of the ring is on the hull, so never mid-run
function cornerOf(ring: Line, within: number): number {
  const first = ring[0]!;
  let best = 0;
  let farthest = -1;
  for (let i = 0; i < ring.length; i++) {
    const distance = Math.hypot(ring[i]![0] - first[0], ring[i]![1] - first[1]);
    if (distance > farthest + within) {
      farthest = distance;
      best = i;
    }
  }
  return best;
}
