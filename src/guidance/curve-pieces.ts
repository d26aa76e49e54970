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
  const n = path.points.length;
  // an arc's ends go on along its tangents, not its chords
  const turn = line.kind === "pivot" ? (line.rotation === "clockwise" ? 90 : -90) : 0;
  const back = line.kind === "pivot" ? headingVector(line.start + turn + 180) : directionFrom(points[1]!, points[0]!);
  const on = line.kind === "pivot" ? headingVector(line.end! + turn) : directionFrom(points[n - 2]!, points[n - 1]!);
  if (before > 0) points.unshift(beyond(path.points[0]!, back, before + span));
  if (after > 0) points.push(beyond(path.points[n - 1]!, on, after + span));
  const pieces = trimmed(points, offset, false);
  const limits: Limit[] = [];
  if (before > 0)
    limits.push({
      end: path.points[0]!,
      direction: back,
      most: before,
      from: Number.NEGATIVE_INFINITY,
      to: before + span,
    });
  if (after > 0) {
    const from = lengthOf(points) - after - span;
    limits.push({ end: path.points[n - 1]!, direction: on, most: after, from, to: Number.POSITIVE_INFINITY });
  }
  const cut = limits.length === 0 ? pieces : pieces.flatMap((piece) => shortened(piece, limits));
  return cut.map((piece) => ({ points: moved(piece.points), closed: piece.closed }));
}

/** How far an extension goes: no farther than `most` beyond an end, for places with feet between two stations. */
interface Limit {
  readonly end: Point;
  readonly direction: Point;
  readonly most: number;
  readonly from: number;
  readonly to: number;
}

// distance 0 is the line itself, whatever it crosses
function trimmed(points: Line, offset: number, closed: boolean): OffsetLine[] {
  return offsetLine(points, offset, { closed, tolerance: SAGITTA });
}

function directionFrom(inner: Point, end: Point): Point {
  const dx = end[0] - inner[0];
  const dy = end[1] - inner[1];
  const length = Math.hypot(dx, dy);
  return [dx / length, dy / length];
}

function beyond(end: Point, direction: Point, distance: number): Point {
  return [end[0] + direction[0] * distance, end[1] + direction[1] * distance];
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

// the stretches of a piece within the limits
function shortened(piece: OffsetLine, limits: readonly Limit[]): CurvePiece[] {
  const { points, stations } = piece;
  const out: Point[][] = [];
  let open: Point[] | undefined;
  let whole = true;
  for (let i = 1; i < points.length; i++) {
    const a = points[i - 1]!;
    const b = points[i]!;
    let from = 0;
    let to = 1;
    for (const limit of limits) {
      // a corner where the extension begins may have its foot before it: one end of the stretch is enough
      const low = Math.min(stations[i - 1]!, stations[i]!);
      const high = Math.max(stations[i - 1]!, stations[i]!);
      if (high <= limit.from || low >= limit.to) continue;
      const room = limit.most - beyondEnd(a, limit);
      const gain = beyondEnd(b, limit) - beyondEnd(a, limit);
      if (gain > 0) to = Math.min(to, room / gain);
      else if (gain < 0) from = Math.max(from, room / gain);
      else if (room < 0) to = -1;
    }
    if (from > 0 || to < 1) whole = false;
    if (to <= from) {
      open = undefined;
      continue;
    }
    if (open === undefined || from > 0) {
      open = [between(a, b, from)];
      out.push(open);
    }
    open.push(between(a, b, to));
    if (to < 1) open = undefined;
  }
  return whole ? [piece] : out.map((line) => ({ points: line, closed: false }));
}

// how far beyond the end a point lies
function beyondEnd(p: Point, { end, direction }: Limit): number {
  return (p[0] - end[0]) * direction[0] + (p[1] - end[1]) * direction[1];
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
