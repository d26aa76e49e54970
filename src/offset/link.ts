import { type ElementFrame, elementPoint, frameOf, newFrame } from "./element-frame.js";
import { arcAngle, type FlatSource } from "./flat-source.js";
import { OTHER, OWN, type Pieces } from "./pieces.js";

/**
 * The alive pieces of one side, each with the one that goes on from its end.
 *
 * @internal
 */
export interface LinkedPieces {
  readonly pieces: Pieces;
  /** first and past-last piece of the side */
  readonly from: number;
  readonly to: number;
  /** piece that follows, -1 for none, by piece number less `from` */
  readonly next: Int32Array;
  /** whether another piece leads to this one */
  readonly led: Uint8Array;
  /** ends that ought to go on and do not */
  readonly open: number;
}

/**
 * Link the pieces of a side by identity: the end on one element that another element caused goes on with the start on that
 * other that the one caused. Own ends go on to the next element of the source. What rounding leaves over at ties is
 * joined to the nearest start left over.
 *
 * @internal
 */
export function linkPieces(source: FlatSource, pieces: Pieces, side: number, d: number): LinkedPieces {
  const half = 2 * source.size;
  let split = 0;
  while (split < pieces.count && pieces.element[split]! < half) split++;
  const from = side === 0 ? 0 : split;
  const to = side === 0 ? split : pieces.count;
  const next = new Int32Array(to - from).fill(-1);
  const led = new Uint8Array(to - from);
  const first = new Int32Array(half + 1).fill(-1);
  const offset = side * half;
  for (let p = to - 1; p >= from; p--) first[pieces.element[p]! - offset] = p;
  const frame = newFrame();
  const tangents = new Float64Array(4);
  for (let p = from; p < to; p++) {
    const q = successor(source, pieces, p, to, first, offset, side);
    const mayTurn = source.twoSided && pieces.highCause[p] !== OWN;
    if (q >= 0 && led[q - from] === 0 && !(mayTurn && turnsBack(source, pieces, p, q, frame, tangents))) {
      next[p - from] = q;
      led[q - from] = 1;
    }
  }
  const open = joinNearest(source, pieces, from, to, next, led, d);
  return { pieces, from, to, next, led, open };
}

function successor(
  source: FlatSource,
  pieces: Pieces,
  p: number,
  to: number,
  first: Int32Array,
  offset: number,
  side: number,
): number {
  const cause = pieces.highCause[p]!;
  const element = pieces.element[p]!;
  if (cause >= 0) {
    for (let q = first[cause - offset]!; q >= 0 && q < to && pieces.element[q] === cause; q++) {
      if (pieces.lowCause[q] === element) return q;
    }
    return -1;
  }
  if (cause === OTHER) return -1;
  const following = followingElement(source, element - offset, side);
  if (following < 0) return -1;
  const q = first[following]!;
  return q >= 0 && pieces.lowCause[q] === OWN ? q : -1;
}

/** Cosine and sine within this of a straight turn back count as one: two parts exactly twice the distance apart. */
const TURN_BACK = 1e-12;

// whether the way from one piece to the next goes back on itself: the parallels of a line end there
function turnsBack(
  source: FlatSource,
  pieces: Pieces,
  p: number,
  q: number,
  frame: ElementFrame,
  out: Float64Array,
): boolean {
  tangentAt(source, pieces.element[p]!, pieces.high[p]!, frame, out, 0);
  tangentAt(source, pieces.element[q]!, pieces.low[q]!, frame, out, 2);
  const cross = out[0]! * out[3]! - out[1]! * out[2]!;
  const dot = out[0]! * out[2]! + out[1]! * out[3]!;
  return dot < 0 && Math.abs(cross) <= TURN_BACK;
}

function tangentAt(
  source: FlatSource,
  element: number,
  t: number,
  frame: ElementFrame,
  out: Float64Array,
  at: number,
): void {
  frameOf(source, element, frame);
  const axes = frame.axes;
  const along = frame.isArc ? Math.cos(t) : 1;
  const across = frame.isArc ? -Math.sin(t) : 0;
  out[at] = along * axes[2]! + across * axes[4]!;
  out[at + 1] = along * axes[3]! + across * axes[5]!;
}

function followingElement(source: FlatSource, local: number, side: number): number {
  const k = local >> 1;
  if ((local & 1) === 0) return local + 1;
  const end = source.next[k]!;
  if (arcAngle(source, end, side) > 0) return 2 * end;
  return source.next[end]! >= 0 ? 2 * end + 1 : -1;
}

/** share of the distance, and of the extent, within which a leftover end joins a leftover start */
const NEAR_DISTANCE = 1e-4;
const NEAR_EXTENT = 1e-9;

function joinNearest(
  source: FlatSource,
  pieces: Pieces,
  from: number,
  to: number,
  next: Int32Array,
  led: Uint8Array,
  d: number,
): number {
  const half = 2 * source.size;
  const ends: number[] = [];
  const starts: number[] = [];
  let open = 0;
  for (let p = from; p < to; p++) {
    if (next[p - from]! < 0 && !lineEnds(source, pieces, p, half)) {
      ends.push(p);
      if (!source.twoSided || pieces.highCause[p] !== OTHER) open++;
    }
    if (led[p - from] === 0) starts.push(p);
  }
  if (ends.length === 0 || starts.length === 0) return open;
  const frame = newFrame();
  const tangents = new Float64Array(4);
  const at = (p: number, t: number): [number, number] => place(source, pieces, p, t, d, frame);
  const startAt = starts.map((p) => ({ p, at: at(p, pieces.low[p]!) })).sort((a, b) => a.at[0] - b.at[0]);
  const pairs: { gap: number; end: number; start: number }[] = [];
  const wide = NEAR_DISTANCE * d + NEAR_EXTENT * source.extent;
  const tight = NEAR_EXTENT * (d + source.extent);
  for (const end of ends) {
    const [x, y] = at(end, pieces.high[end]!);
    const endWithin = source.twoSided && pieces.highCause[end] === OTHER ? tight : wide;
    let low = 0;
    let high = startAt.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (startAt[middle]!.at[0] < x - endWithin) low = middle + 1;
      else high = middle;
    }
    for (let i = low; i < startAt.length && startAt[i]!.at[0] <= x + endWithin; i++) {
      const start = startAt[i]!;
      const within = source.twoSided && pieces.lowCause[start.p]! < 0 ? Math.min(tight, endWithin) : endWithin;
      const gap = Math.hypot(start.at[0] - x, start.at[1] - y);
      if (gap <= within && !(source.twoSided && turnsBack(source, pieces, end, start.p, frame, tangents)))
        pairs.push({ gap, end, start: start.p });
    }
  }
  pairs.sort((a, b) => a.gap - b.gap || a.end - b.end || a.start - b.start);
  for (const { end, start } of pairs) {
    if (next[end - from]! >= 0 || led[start - from] === 1) continue;
    next[end - from] = start;
    led[start - from] = 1;
    if (!source.twoSided || pieces.highCause[end] !== OTHER) open--;
  }
  return open;
}

// whether a piece ends where an open line ends
function lineEnds(source: FlatSource, pieces: Pieces, p: number, half: number): boolean {
  if (pieces.highCause[p] !== OWN) return false;
  const local = pieces.element[p]! % half;
  return (local & 1) === 1 && source.next[source.next[local >> 1]!]! < 0;
}

function place(
  source: FlatSource,
  pieces: Pieces,
  p: number,
  t: number,
  d: number,
  frame: ElementFrame,
): [number, number] {
  const out = new Float64Array(2);
  frameOf(source, pieces.element[p]!, frame);
  elementPoint(frame, t, d, out);
  return [out[0]!, out[1]!];
}
