import type { Point } from "../geometry/index.js";
import { cosDegrees, sinDegrees } from "../machine/degrees.js";
import type { PlanGround } from "./plan-ground.js";

/** What becomes of a swath for which less than a width is left. */
export type NarrowSwath = "overlap" | "shift" | "narrow";

/**
 * A swath on the ground, by its places along and across a heading: along forward, across to the right.
 *
 * @internal
 */
export interface PlanRow {
  /** which strip of a swath's width it lies in, from 0 at the left */
  readonly band: number;
  /** where it begins and ends along the heading, metres */
  readonly from: number;
  readonly to: number;
  /** its middle line across the heading, metres */
  readonly middle: number;
  /** ground across the heading within its strip, metres */
  readonly low: number;
  readonly high: number;
}

/** Strips thinner than this are none, metres: the tolerance that offsets are flattened with. */
const THIN = 1e-4;
/** Swaths shorter than this are none, metres: below what a receiver tells apart. */
const SHORT = 0.02;
/** A remainder of a swath's width smaller than this is none, metres. */
const REST = 1e-3;

interface Piece {
  readonly from: number;
  readonly to: number;
  readonly low: number;
  readonly high: number;
  /** whether the edge goes over the middle of the strip */
  readonly over: boolean;
}

/**
 * Swaths side by side that cover some ground, each as long as any of its strip's ground is: exact, by clipping edges to strips.
 *
 * Where a strip's whole width is off the ground the swath ends, and another begins beyond. So every point of a swath lies within
 * a width, across, of ground to be covered.
 *
 * @param heading - degrees
 * @param width - of a swath, metres
 * @param rule - `"shift"` lays the last strip back on to the one before; the other two leave it beside
 * @param whole - only where the strip is ground across all its width: nothing is worked beside the ground, some of it is left
 */
export function planRows(
  ground: PlanGround,
  heading: number,
  width: number,
  rule: NarrowSwath,
  whole = false,
): PlanRow[] {
  // hot: once for each direction that is weighed
  const s = sinDegrees(heading);
  const c = cosDegrees(heading);
  const { edges } = ground;
  const n = edges.length / 4;
  const u = new Float64Array(2 * n);
  const v = new Float64Array(2 * n);
  let left = Number.POSITIVE_INFINITY;
  let right = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < 2 * n; i++) {
    const x = edges[2 * i]!;
    const y = edges[2 * i + 1]!;
    u[i] = x * s + y * c;
    const across = x * c - y * s;
    v[i] = across;
    if (across < left) left = across;
    if (across > right) right = across;
  }
  if (!(right - left > THIN)) return [];
  const count = Math.max(1, Math.ceil((right - left - REST) / width));
  const starts = Array.from({ length: count }, (_, band) => left + band * width);
  const widths = starts.map(() => width);
  if (rule === "shift") starts[count - 1] = count > 1 ? right - width : (left + right - width) / 2;
  if (whole && right - starts[count - 1]! < width) {
    // what is beside the ground may not be worked: sections are off there
    starts[count - 1] = Math.max(left, starts[count - 1]!);
    widths[count - 1] = right - starts[count - 1]!;
  }
  const strips: Piece[][] = starts.map(() => []);
  for (let i = 0; i < n; i++) {
    const low = Math.min(v[2 * i]!, v[2 * i + 1]!);
    const high = Math.max(v[2 * i]!, v[2 * i + 1]!);
    const first = Math.max(0, Math.floor((low - left) / width) - 1);
    let last = Math.min(count - 1, Math.floor((high - left) / width) + 1);
    // a shifted last strip lies over the one before
    if (last === count - 2) last++;
    for (let band = first; band <= last; band++) {
      const piece = pieceOf(u[2 * i]!, v[2 * i]!, u[2 * i + 1]!, v[2 * i + 1]!, starts[band]!, widths[band]!);
      if (piece !== null) strips[band]!.push(piece);
    }
  }
  const rows: PlanRow[] = [];
  strips.forEach((pieces, band) => {
    const start = starts[band]!;
    const across = widths[band]!;
    // a narrow strip by itself is driven down its middle
    const middle = start + (count === 1 ? across : width) / 2;
    for (const row of stripRows(pieces, start, across, whole)) {
      if (row.to - row.from >= SHORT) rows.push({ ...row, band, middle });
    }
  });
  return rows;
}

/** The part of an edge within a strip. */
function pieceOf(ua: number, va: number, ub: number, vb: number, start: number, width: number): Piece | null {
  const bottom = start + THIN;
  const top = start + width - THIN;
  if ((va <= bottom && vb <= bottom) || (va >= top && vb >= top)) return null;
  const slope = va === vb ? 0 : (ub - ua) / (vb - va);
  const at = (to: number): number => ua + slope * (to - va);
  let [u0, v0, u1, v1] = [ua, va, ub, vb];
  if (v0 < bottom) [u0, v0] = [at(bottom), start];
  else if (v0 > top) [u0, v0] = [at(top), start + width];
  if (v1 < bottom) [u1, v1] = [at(bottom), start];
  else if (v1 > top) [u1, v1] = [at(top), start + width];
  const middle = start + width / 2;
  return {
    from: Math.min(u0, u1),
    to: Math.max(u0, u1),
    low: Math.min(v0, v1),
    high: Math.max(v0, v1),
    over: va > middle !== vb > middle,
  };
}

type Stretch = Pick<PlanRow, "from" | "to" | "low" | "high">;

/**
 * Stretches of a strip that hold ground. Along an edge's piece there is ground at its boundary; between pieces the strip is ground, or not,
 * in all its width, as the number of edges passed tells.
 */
function stripRows(pieces: Piece[], start: number, width: number, whole: boolean): Stretch[] {
  pieces.sort((a, b) => a.from - b.from);
  const rows: Stretch[] = [];
  let open: { from: number; to: number; low: number; high: number } | null = null;
  let inside = false;
  let reach = Number.NEGATIVE_INFINITY;
  for (const piece of pieces) {
    if (piece.from > reach && inside && reach > Number.NEGATIVE_INFINITY) {
      // ground in all its width since the last piece
      if (whole) rows.push({ from: reach, to: piece.from, low: start, high: start + width });
      else if (open !== null) [open.low, open.high] = [start, start + width];
    } else if (piece.from > reach && open !== null) {
      rows.push(open);
      open = null;
    }
    if (!whole) {
      if (open === null) open = { from: piece.from, to: piece.to, low: piece.low, high: piece.high };
      else {
        open.to = Math.max(open.to, piece.to);
        open.low = Math.min(open.low, piece.low);
        open.high = Math.max(open.high, piece.high);
      }
    }
    if (piece.over) inside = !inside;
    reach = Math.max(reach, piece.to);
  }
  if (open !== null) rows.push(open);
  return rows;
}

/** A place along and across a heading, as a point. */
export function rowPoint(along: number, across: number, heading: number): Point {
  const s = sinDegrees(heading);
  const c = cosDegrees(heading);
  return [along * s + across * c, along * c - across * s];
}
