import { orient2d } from "robust-predicates";
import type { Point } from "./types.js";

/** How two segments meet; see {@link segmentCrossing}. */
export type SegmentCrossing =
  | {
      /** they do not meet */
      readonly kind: "none";
    }
  | {
      /** they meet in one point: a crossing, a touch, or collinear segments that share one end */
      readonly kind: "point";
      /** where, metres; exactly an end point where they meet in one */
      readonly point: Point;
      /** place on the first segment, 0 at its start to 1 at its end */
      readonly t: number;
      /** place on the second segment, 0 at its start to 1 at its end */
      readonly u: number;
    }
  | {
      /** they lie on one line and share a stretch of it */
      readonly kind: "overlap";
      /** start of the stretch in the first segment's direction, an end point of one of them, metres */
      readonly from: Point;
      /** end of the stretch in the first segment's direction, an end point of one of them, metres */
      readonly to: Point;
    };

const NONE: SegmentCrossing = { kind: "none" };

/**
 * How two segments meet. Whether and how is decided by exact predicates, without tolerance: a touch is a touch, and
 * two segments a hair apart do not meet. Only where they cross is computed in floating point.
 *
 * A segment of no length counts as its point.
 *
 * @param a - start of the first segment, metres
 * @param b - end of the first segment, metres
 * @param c - start of the second segment, metres
 * @param d - end of the second segment, metres
 * @returns none, one point with its place on both, or the stretch they share; a crossing's point lies in the boxes of
 * both segments, and within a few units in the last place of the true one unless they are nearly parallel
 */
export function segmentCrossing(a: Point, b: Point, c: Point, d: Point): SegmentCrossing {
  if (apart(a[0], b[0], c[0], d[0]) || apart(a[1], b[1], c[1], d[1])) return NONE;
  const sideC = orient2d(a[0], a[1], b[0], b[1], c[0], c[1]);
  const sideD = orient2d(a[0], a[1], b[0], b[1], d[0], d[1]);
  if ((sideC > 0 && sideD > 0) || (sideC < 0 && sideD < 0)) return NONE;
  const sideA = orient2d(c[0], c[1], d[0], d[1], a[0], a[1]);
  const sideB = orient2d(c[0], c[1], d[0], d[1], b[0], b[1]);
  if ((sideA > 0 && sideB > 0) || (sideA < 0 && sideB < 0)) return NONE;
  if (sideA === 0 && sideB === 0 && sideC === 0 && sideD === 0) return collinear(a, b, c, d);
  if (sideC === 0) return { kind: "point", point: c, t: place(a, b, c), u: 0 };
  if (sideD === 0) return { kind: "point", point: d, t: place(a, b, d), u: 1 };
  if (sideA === 0) return { kind: "point", point: a, t: 0, u: place(c, d, a) };
  if (sideB === 0) return { kind: "point", point: b, t: 1, u: place(c, d, b) };
  const t = sideA / (sideA - sideB);
  const u = sideC / (sideC - sideD);
  return { kind: "point", point: [within(a, b, c, d, t, 0), within(a, b, c, d, t, 1)], t, u };
}

function apart(a: number, b: number, c: number, d: number): boolean {
  return Math.max(a, b) < Math.min(c, d) || Math.max(c, d) < Math.min(a, b);
}

// one coordinate of a + t(b - a), kept in the boxes of both segments: rounding must not carry it out of them
function within(a: Point, b: Point, c: Point, d: Point, t: number, axis: 0 | 1): number {
  const start = a[axis];
  const end = b[axis];
  const value = t < 0.5 ? start + t * (end - start) : end - (1 - t) * (end - start);
  const low = Math.max(Math.min(start, end), Math.min(c[axis], d[axis]));
  const high = Math.min(Math.max(start, end), Math.max(c[axis], d[axis]));
  return value < low ? low : value > high ? high : value;
}

// where p, known to lie on the segment, divides it
function place(a: Point, b: Point, p: Point): number {
  if (p[0] === a[0] && p[1] === a[1]) return 0;
  if (p[0] === b[0] && p[1] === b[1]) return 1;
  const ex = b[0] - a[0];
  const ey = b[1] - a[1];
  const t = Math.abs(ex) > Math.abs(ey) ? (p[0] - a[0]) / ex : (p[1] - a[1]) / ey;
  return t < 0 ? 0 : t > 1 ? 1 : t;
}

function collinear(a: Point, b: Point, c: Point, d: Point): SegmentCrossing {
  const spanX = Math.max(a[0], b[0], c[0], d[0]) - Math.min(a[0], b[0], c[0], d[0]);
  const spanY = Math.max(a[1], b[1], c[1], d[1]) - Math.min(a[1], b[1], c[1], d[1]);
  const axis = spanX >= spanY ? 0 : 1;
  const turned = b[axis] < a[axis];
  const low = turned ? b : a;
  const high = turned ? a : b;
  const otherLow = c[axis] <= d[axis] ? c : d;
  const otherHigh = c[axis] <= d[axis] ? d : c;
  const from = low[axis] >= otherLow[axis] ? low : otherLow;
  const to = high[axis] <= otherHigh[axis] ? high : otherHigh;
  if (from[axis] > to[axis]) return NONE;
  if (from[axis] === to[axis]) return { kind: "point", point: from, t: place(a, b, from), u: place(c, d, from) };
  return turned ? { kind: "overlap", from: to, to: from } : { kind: "overlap", from, to };
}
