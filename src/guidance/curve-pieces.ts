import type { Line, Point } from "../geometry/types.js";
import { type OffsetLine, offsetLine } from "../offset/index.js";
import type { GuidancePattern } from "./guidance-pattern.js";
import { headingVector } from "./heading-vector.js";
import { isChain, linePath } from "./line-path.js";
import type { CircleLine } from "./reference-line.js";

/** Gap between a circle and its chords, metres: that of an offset's arcs. */
const SAGITTA = 1e-4;

/** A piece of a pass. */
export interface CurvePiece {
  /** metres, shift included; a loop repeats its first point */
  readonly points: Line;
  /** whether it is a loop */
  readonly closed: boolean;
}

/**
 * The pieces of a pass of a curve, closed line, spiral or arc by the offset engine; of a full circle, its own points.
 *
 * @param pattern - not a straight one
 * @param offset - distance of the pass from the line, metres, right positive
 * @param reach - how far extended ends run on, metres
 */
export function curvePieces(pattern: GuidancePattern, offset: number, reach: number): CurvePiece[] {
  const { line, extension } = pattern;
  const { east, north } = pattern.shift;
  const moved = (points: Line): Line => points.map(([x, y]): Point => [x + east + 0, y + north + 0]);
  if (line.kind === "pivot" && line.end === undefined) {
    const radius = line.radius + (line.rotation === "clockwise" ? -offset : offset);
    return radius > 0 ? [{ points: moved(circlePoints({ ...line, radius })), closed: true }] : [];
  }
  const path = isChain(line) ? linePath(line) : { points: circlePoints(line as CircleLine), closed: false };
  if (path.closed) {
    return trimmed(path.points, offset, true).map(({ points, closed }) => ({ points: moved(points), closed }));
  }
  const before = (extension === "both" || extension === "a") && reach > 0 ? reach : 0;
  const after = (extension === "both" || extension === "b") && reach > 0 ? reach : 0;
  // what is beyond the length asked for may still be the nearest part of the line
  const span = before + after > 0 ? spanOf(path.points) + Math.abs(offset) : 0;
  const points = [...path.points];
  if (before > 0) points.unshift(beyond(path.points[0]!, path.points[1]!, before + span));
  if (after > 0) {
    const n = path.points.length;
    points.push(beyond(path.points[n - 1]!, path.points[n - 2]!, after + span));
  }
  const first = before > 0 ? span : Number.NEGATIVE_INFINITY;
  const pieces = trimmed(points, offset, false);
  if (before + after === 0) return pieces.map((piece) => ({ points: moved(piece.points), closed: piece.closed }));
  const last = after > 0 ? lengthOf(points) - span : Number.POSITIVE_INFINITY;
  return pieces
    .flatMap((piece) => cutAt(piece, first, last))
    .map((p) => ({ points: moved(p.points), closed: p.closed }));
}

// distance 0 is the line itself, whatever it crosses
function trimmed(points: Line, offset: number, closed: boolean): OffsetLine[] {
  return offsetLine(points, offset, { closed, tolerance: SAGITTA });
}

function beyond(end: Point, inner: Point, distance: number): Point {
  const dx = end[0] - inner[0];
  const dy = end[1] - inner[1];
  const length = Math.hypot(dx, dy);
  return [end[0] + (dx / length) * distance, end[1] + (dy / length) * distance];
}

function spanOf(points: Line): number {
  const [x, y] = points[0]!;
  let most = 0;
  for (const p of points) most = Math.max(most, Math.hypot(p[0] - x, p[1] - y));
  return 2 * most;
}

function lengthOf(points: Line): number {
  let sum = 0;
  for (let i = 1; i < points.length; i++) {
    sum += Math.hypot(points[i]![0] - points[i - 1]![0], points[i]![1] - points[i - 1]![1]);
  }
  return sum;
}

// the stretches of a piece whose feet lie between two stations
function cutAt(piece: OffsetLine, first: number, last: number): CurvePiece[] {
  const { points, stations } = piece;
  if (stations.every((s) => s >= first && s <= last)) return [piece];
  const out: Point[][] = [];
  let open: Point[] | undefined;
  for (let i = 1; i < points.length; i++) {
    const s0 = stations[i - 1]!;
    const s1 = stations[i]!;
    const from = place(s0, s1, s0 <= s1 ? first : last);
    const to = place(s0, s1, s0 <= s1 ? last : first);
    const inside = Math.max(s0, s1) >= first && Math.min(s0, s1) <= last;
    if (!inside || to <= from) {
      open = undefined;
      continue;
    }
    const a = points[i - 1]!;
    const b = points[i]!;
    if (open === undefined) {
      open = [between(a, b, from)];
      out.push(open);
    }
    open.push(between(a, b, to));
    if (to < 1) open = undefined;
  }
  return out.map((line) => ({ points: line, closed: false }));
}

// where between two stations a third lies, 0 to 1
function place(s0: number, s1: number, at: number): number {
  if (s0 === s1) return at >= s0 ? (at === s0 ? 0 : 1) : 0;
  const t = (at - s0) / (s1 - s0);
  return t < 0 ? 0 : t > 1 ? 1 : t;
}

function between(a: Point, b: Point, t: number): Point {
  if (t <= 0) return a;
  if (t >= 1) return b;
  return [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])];
}

/** Points on a circle or arc, so near to each other that chords depart by 0.1 mm at the most; a circle repeats its first. */
export function circlePoints(line: CircleLine): Point[] {
  const { radius } = line;
  const [cx, cy] = line.points[0];
  const sense = line.rotation === "clockwise" ? 1 : -1;
  let sweep = line.end === undefined ? 360 : (((line.end - line.start) * sense) % 360) + 360;
  if (line.end !== undefined) sweep %= 360;
  const step = 2 * Math.acos(Math.max(0, 1 - SAGITTA / radius));
  const count = Math.max(line.end === undefined ? 8 : 1, Math.ceil(((sweep / 180) * Math.PI) / step));
  const points: Point[] = [];
  for (let i = 0; i <= count; i++) {
    const bearing = i === count && line.end === undefined ? line.start : line.start + sense * sweep * (i / count);
    const [nx, ny] = headingVector(bearing);
    points.push([cx + radius * nx, cy + radius * ny]);
  }
  return points;
}
