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

/** Numbers that a piece is kept in: from, to, low, high. */
const PIECE = 4;
/** So many pieces of a strip are sorted by insertion: they come nearly in order, or in two runs. */
const FEW = 64;

/** Parts of edges in strips, those of one strip beside each other. */
interface Pieces {
  readonly values: Float64Array;
  /** 1 where the edge goes over the middle of its strip */
  readonly over: Uint8Array;
  /** places of the pieces of one strip, sorted by where they begin */
  readonly order: Int32Array;
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
  const bands = new Int32Array(2 * n);
  // where each strip's pieces begin, as many as there can be
  const places = new Int32Array(count + 1);
  for (let i = 0; i < n; i++) {
    const low = Math.min(v[2 * i]!, v[2 * i + 1]!);
    const high = Math.max(v[2 * i]!, v[2 * i + 1]!);
    const first = Math.max(0, Math.floor((low - left) / width) - 1);
    let last = Math.min(count - 1, Math.floor((high - left) / width) + 1);
    // a shifted last strip lies over the one before
    if (last === count - 2) last++;
    bands[2 * i] = first;
    bands[2 * i + 1] = last;
    for (let band = first; band <= last; band++) places[band + 1]!++;
  }
  for (let band = 0; band < count; band++) places[band + 1]! += places[band]!;
  const most = places[count]!;
  const pieces: Pieces = {
    values: new Float64Array(PIECE * most),
    over: new Uint8Array(most),
    order: new Int32Array(most),
  };
  const ends = places.slice(0, count);
  for (let i = 0; i < n; i++) {
    for (let band = bands[2 * i]!; band <= bands[2 * i + 1]!; band++) {
      const place = ends[band]!;
      if (addPiece(pieces, place, u, v, 2 * i, starts[band]!, widths[band]!)) ends[band] = place + 1;
    }
  }
  const rows: PlanRow[] = [];
  for (let band = 0; band < count; band++) {
    const start = starts[band]!;
    const across = widths[band]!;
    // a narrow strip by itself is driven down its middle
    const middle = start + (count === 1 ? across : width) / 2;
    sortPieces(pieces, places[band]!, ends[band]!);
    addRows(rows, pieces, places[band]!, ends[band]!, { band, start, across, middle, whole });
  }
  return rows;
}

/** Add the part of an edge within a strip; false where there is none. */
function addPiece(
  { values, over }: Pieces,
  place: number,
  u: Float64Array,
  v: Float64Array,
  edge: number,
  start: number,
  width: number,
): boolean {
  // hot: once for each edge in each strip of each direction
  const ua = u[edge]!;
  const va = v[edge]!;
  const ub = u[edge + 1]!;
  const vb = v[edge + 1]!;
  const bottom = start + THIN;
  const far = start + width;
  const top = far - THIN;
  if ((va <= bottom && vb <= bottom) || (va >= top && vb >= top)) return false;
  const slope = va === vb ? 0 : (ub - ua) / (vb - va);
  let u0 = ua;
  let v0 = va;
  let u1 = ub;
  let v1 = vb;
  if (v0 < bottom) {
    u0 = ua + slope * (bottom - va);
    v0 = start;
  } else if (v0 > top) {
    u0 = ua + slope * (top - va);
    v0 = far;
  }
  if (v1 < bottom) {
    u1 = ua + slope * (bottom - va);
    v1 = start;
  } else if (v1 > top) {
    u1 = ua + slope * (top - va);
    v1 = far;
  }
  const at = PIECE * place;
  values[at] = Math.min(u0, u1);
  values[at + 1] = Math.max(u0, u1);
  values[at + 2] = Math.min(v0, v1);
  values[at + 3] = Math.max(v0, v1);
  const middle = start + width / 2;
  over[place] = va > middle !== vb > middle ? 1 : 0;
  return true;
}

/** Put the pieces of a strip in order by where they begin; those that begin together stay as they are. */
function sortPieces({ values, order }: Pieces, begin: number, end: number): void {
  for (let i = begin; i < end; i++) order[i] = i;
  if (end - begin > FEW) {
    order.subarray(begin, end).sort((a, b) => values[PIECE * a]! - values[PIECE * b]! || a - b);
    return;
  }
  for (let i = begin + 1; i < end; i++) {
    const from = values[PIECE * i]!;
    let k = i;
    for (; k > begin && values[PIECE * order[k - 1]!]! > from; k--) order[k] = order[k - 1]!;
    order[k] = i;
  }
}

interface Strip {
  readonly band: number;
  readonly start: number;
  readonly across: number;
  readonly middle: number;
  readonly whole: boolean;
}

/**
 * Add the stretches of a strip that hold ground. Along an edge's piece there is ground at its boundary; between pieces the strip is ground, or not,
 * in all its width, as the number of edges passed tells.
 */
function addRows(rows: PlanRow[], { values, over, order }: Pieces, begin: number, end: number, strip: Strip): void {
  const { band, start, across, middle, whole } = strip;
  const far = start + across;
  const add = (from: number, to: number, low: number, high: number): void => {
    if (to - from >= SHORT) rows.push({ from, to, low, high, band, middle });
  };
  let open = false;
  let from = 0;
  let to = 0;
  let low = 0;
  let high = 0;
  let inside = false;
  let reach = Number.NEGATIVE_INFINITY;
  for (let i = begin; i < end; i++) {
    const place = order[i]!;
    const at = PIECE * place;
    const pieceFrom = values[at]!;
    const pieceTo = values[at + 1]!;
    if (pieceFrom > reach && inside && reach > Number.NEGATIVE_INFINITY) {
      // ground in all its width since the last piece
      if (whole) add(reach, pieceFrom, start, far);
      else {
        low = start;
        high = far;
      }
    } else if (pieceFrom > reach && open) {
      add(from, to, low, high);
      open = false;
    }
    if (!whole) {
      if (!open) {
        open = true;
        from = pieceFrom;
        to = pieceTo;
        low = values[at + 2]!;
        high = values[at + 3]!;
      } else {
        to = Math.max(to, pieceTo);
        low = Math.min(low, values[at + 2]!);
        high = Math.max(high, values[at + 3]!);
      }
    }
    if (over[place] === 1) inside = !inside;
    reach = Math.max(reach, pieceTo);
  }
  if (open) add(from, to, low, high);
}

/** A place along and across a heading, as a point. */
export function rowPoint(along: number, across: number, heading: number): Point {
  const s = sinDegrees(heading);
  const c = cosDegrees(heading);
  return [along * s + across * c, along * c - across * s];
}
