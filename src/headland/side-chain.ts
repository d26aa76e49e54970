import { type Line, type Point, type Polygon, removeDuplicates, signedArea } from "../geometry/index.js";
import { type CheckedSide, edgeCount } from "./check-options.js";

/**
 * Ends of a side at a corner up to this angle run on straight, degrees: beyond it the next edge is nearly the same edge, and
 * a straight line would leave it but slowly.
 */
const WIDEST_CORNER = 150;

/** The stretch of boundary that a side is. */
export interface SideChain {
  /** along the boundary, the field on its left, metres */
  readonly line: Line;
  /** the whole ring: its first point is repeated at the end */
  readonly closed: boolean;
  /** angles of the field at its two ends, degrees, 0 to 360 */
  readonly startAngle: number;
  readonly endAngle: number;
}

/** The chain of edges of a side, from the ring as it was given. */
export function sideChain(field: readonly Polygon[], side: CheckedSide): SideChain {
  const ring = field[side.polygon]!.exterior;
  const n = edgeCount(ring);
  const edges = ((side.to - side.from + n) % n) + 1;
  const at = (i: number): Point => ring[((i % n) + n) % n]!;
  const line: Point[] = [];
  for (let k = 0; k <= edges; k++) line.push(at(side.from + k));
  const turned = signedArea(ring) < 0;
  if (turned) line.reverse();
  const chain = removeDuplicates(line);
  const closed = edges === n;
  const before = firstApart(at, turned ? side.to + 1 : side.from, turned ? 1 : -1, n);
  const after = firstApart(at, turned ? side.from : side.to + 1, turned ? -1 : 1, n);
  return {
    line: closed && chain.length > 1 ? closeUp(chain) : chain,
    closed,
    startAngle: chain.length < 2 ? 0 : angleAt(before, chain[0]!, chain[1]!),
    endAngle: chain.length < 2 ? 0 : angleAt(chain[chain.length - 2]!, chain[chain.length - 1]!, after),
  };
}

function closeUp(chain: readonly Point[]): Point[] {
  const first = chain[0]!;
  const last = chain[chain.length - 1]!;
  return first[0] === last[0] && first[1] === last[1] ? [...chain] : [...chain, first];
}

function firstApart(at: (i: number) => Point, from: number, step: number, n: number): Point {
  const p = at(from);
  for (let k = 1; k < n; k++) {
    const q = at(from + k * step);
    if (Math.hypot(q[0] - p[0], q[1] - p[1]) > 1e-4) return q;
  }
  return p;
}

// angle of the ground on the left at b, walked from a over b to c
function angleAt(a: Point, b: Point, c: Point): number {
  const cross = (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]);
  const dot = (b[0] - a[0]) * (c[0] - b[0]) + (b[1] - a[1]) * (c[1] - b[1]);
  return 180 - (Math.atan2(cross, dot) * 180) / Math.PI;
}

/**
 * The chain run on straight at its ends, as far as the ground within a distance of it widens beyond them; square to its
 * ends where the field turns away (a corner above 180 degrees) or hardly turns.
 */
export function runOn(chain: SideChain, distance: number): Point[] {
  const line = [...chain.line];
  if (chain.closed) return line;
  const start = reach(chain.startAngle, distance);
  const end = reach(chain.endAngle, distance);
  const n = line.length;
  // the last point first: the two ends of one segment keep its direction
  if (end > 0) line[n - 1] = beyond(chain.line[n - 2]!, chain.line[n - 1]!, end);
  if (start > 0) line[0] = beyond(chain.line[1]!, chain.line[0]!, start);
  return line;
}

function reach(angle: number, distance: number): number {
  if (angle <= 90 || angle > WIDEST_CORNER) return 0;
  return distance / Math.tan(((180 - angle) * Math.PI) / 180);
}

function beyond(a: Point, b: Point, by: number): Point {
  const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
  return [b[0] + ((b[0] - a[0]) * by) / length, b[1] + ((b[1] - a[1]) * by) / length];
}
