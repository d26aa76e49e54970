import { findConflicts } from "./ring-conflicts.js";
import type { TracedRing } from "./trace.js";

/** Rounds of putting back one corner a segment in conflict, and of putting back all that it left out. */
const PATIENT_ROUNDS = 16;
const MOST_ROUNDS = 32;

/** Less than this, cells, can't drop any corner of steps that are a cell high. */
const LEAST = 0.5;

/**
 * Drop corners of traced rings so that none lies farther than a tolerance from the outline that is left.
 *
 * Where segments would cross, overlap or leave a hole outside of its part, corners are put back until they don't, at
 * last all of them: what comes out is as valid as what went in. A ring that would lose its area stays as it is.
 *
 * @param rings - from `traceRuns`
 * @param tolerance - cells
 * @see Douglas and Peucker, Algorithms for the reduction of the number of points, 1973
 */
export function simplifyRings(rings: readonly TracedRing[], tolerance: number): TracedRing[] {
  if (tolerance < LEAST) return [...rings];
  const kept = rings.map((ring) => chooseCorners(ring, tolerance));
  const out = rings.map((ring, i) => reduced(ring, kept[i]!));
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const conflicts = findConflicts(out);
    if (conflicts.length === 0) return out;
    const touched = new Set<number>();
    for (const { ring, segment } of conflicts) {
      const { sources } = out[ring]!;
      const to = sources[segment + 1 === sources.length ? 0 : segment + 1]!;
      putBack(rings[ring]!.corners, kept[ring]!, sources[segment]!, to, round < PATIENT_ROUNDS ? tolerance : 0);
      touched.add(ring);
    }
    for (const ring of touched) out[ring] = reduced(rings[ring]!, kept[ring]!);
  }
  return [...rings];
}

/** A ring with some of its corners left out. */
export interface ReducedRing extends TracedRing {
  /** index of each corner on the traced ring */
  readonly sources: Int32Array;
  /** number of corners of the traced ring */
  readonly sourceCount: number;
}

/** Flags of the corners to keep; where they would have no area, those of half the tolerance. */
function chooseCorners(ring: TracedRing, tolerance: number): Uint8Array {
  const c = ring.corners;
  const n = c.length >> 1;
  const keep = new Uint8Array(n);
  if (n <= 4) return keep.fill(1);
  // split at the lowest corner, the westernmost of those, and at the one farthest from it
  let first = 0;
  for (let i = 1; i < n; i++) {
    if (c[2 * i + 1]! < c[2 * first + 1]! || (c[2 * i + 1] === c[2 * first + 1] && c[2 * i]! < c[2 * first]!))
      first = i;
  }
  let far = first;
  let most = -1;
  for (let i = 0; i < n; i++) {
    const d = (c[2 * i]! - c[2 * first]!) ** 2 + (c[2 * i + 1]! - c[2 * first + 1]!) ** 2;
    if (d <= most) continue;
    most = d;
    far = i;
  }
  for (let limit = tolerance; limit >= LEAST; limit /= 2) {
    keep.fill(0);
    keep[first] = 1;
    keep[far] = 1;
    keepBetween(c, keep, first, far < first ? far + n : far, limit);
    keepBetween(c, keep, far, first < far ? first + n : first, limit);
    if (twiceAreaOf(c, keep) * ring.twiceArea > 0) return keep;
  }
  return keep.fill(1);
}

/** Keep corners between two until none left out is farther than the tolerance from its segment. */
function keepBetween(c: Int32Array, keep: Uint8Array, first: number, last: number, tolerance: number): void {
  const n = keep.length;
  const stack = [first, last];
  while (stack.length > 0) {
    const to = stack.pop()!;
    const from = stack.pop()!;
    const worst = farthest(c, n, from, to, tolerance * tolerance);
    if (worst < 0) continue;
    keep[worst % n] = 1;
    stack.push(from, worst, worst, to);
  }
}

function twiceAreaOf(c: Int32Array, keep: Uint8Array): number {
  let before = keep.lastIndexOf(1);
  let twiceArea = 0;
  for (let i = 0; i < keep.length; i++) {
    if (keep[i] === 0) continue;
    twiceArea += c[2 * before]! * c[2 * i + 1]! - c[2 * i]! * c[2 * before + 1]!;
    before = i;
  }
  return twiceArea;
}

/** The ring of the corners kept; all of them are kept from then on where the others alone have no area. */
function reduced(ring: TracedRing, keep: Uint8Array): ReducedRing {
  const c = ring.corners;
  let twiceArea = twiceAreaOf(c, keep);
  if (twiceArea * ring.twiceArea <= 0) {
    keep.fill(1);
    twiceArea = ring.twiceArea;
  }
  const sources: number[] = [];
  for (let i = 0; i < keep.length; i++) if (keep[i] === 1) sources.push(i);
  const corners = new Int32Array(2 * sources.length);
  sources.forEach((i, k) => {
    corners[2 * k] = c[2 * i]!;
    corners[2 * k + 1] = c[2 * i + 1]!;
  });
  return { corners, twiceArea, part: ring.part, sources: Int32Array.from(sources), sourceCount: keep.length };
}

/** Keep the corner farthest from a segment again, and what the tolerance asks for then; or all that it left out. */
function putBack(c: Int32Array, keep: Uint8Array, from: number, to: number, tolerance: number): void {
  const n = keep.length;
  const end = to > from ? to : to + n;
  const worst = tolerance > 0 ? farthest(c, n, from, end, -1) : -1;
  if (worst < 0) {
    for (let i = from + 1; i < end; i++) keep[i % n] = 1;
    return;
  }
  keep[worst % n] = 1;
  keepBetween(c, keep, from, worst, tolerance);
  keepBetween(c, keep, worst, end, tolerance);
}

/** Index, counted on round the ring, of the corner farthest from the chord; -1 where none is beyond the limit. */
function farthest(c: Int32Array, n: number, from: number, to: number, limit: number): number {
  const ax = c[2 * (from % n)]!;
  const ay = c[2 * (from % n) + 1]!;
  const dx = c[2 * (to % n)]! - ax;
  const dy = c[2 * (to % n) + 1]! - ay;
  const length = dx * dx + dy * dy;
  let worst = -1;
  let most = limit;
  for (let i = from + 1; i < to; i++) {
    const k = i >= n ? i - n : i;
    let x = c[2 * k]! - ax;
    let y = c[2 * k + 1]! - ay;
    const t = length === 0 ? 0 : Math.min(1, Math.max(0, (x * dx + y * dy) / length));
    x -= t * dx;
    y -= t * dy;
    const d = x * x + y * y;
    if (d <= most) continue;
    most = d;
    worst = i;
  }
  return worst;
}
