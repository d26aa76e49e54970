import { findConflicts } from "./ring-conflicts.js";
import type { TracedRing } from "./trace.js";

/** Rounds of taking tolerance back after which rings in conflict stay as traced, and after which all do. */
const PATIENT_ROUNDS = 12;
const MOST_ROUNDS = 24;

/** Less than this, cells, can't drop any corner of steps that are a cell high. */
const LEAST = 0.5;

/**
 * Drop corners of traced rings so that none lies farther than a tolerance from the outline that is left.
 *
 * Rings that would cross, overlap or leave the part they belong to, or lose their area, are done again with half the
 * tolerance, at last with none: what comes out is as valid as what went in.
 *
 * @param rings - from `traceRuns`
 * @param tolerance - cells
 * @see Douglas and Peucker, Algorithms for the reduction of the number of points, 1973
 */
export function simplifyRings(rings: readonly TracedRing[], tolerance: number): TracedRing[] {
  if (tolerance < LEAST) return [...rings];
  const tolerances = new Float64Array(rings.length).fill(tolerance);
  const out = rings.map((ring) => simplified(ring, tolerance));
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const conflicts = findConflicts(
      out,
      out.map((ring, i) => ring !== rings[i]),
    );
    if (conflicts.size === 0) return out;
    for (const i of conflicts) {
      tolerances[i] = round < PATIENT_ROUNDS ? tolerances[i]! / 2 : 0;
      out[i] = simplified(rings[i]!, tolerances[i]);
    }
  }
  return [...rings];
}

function simplified(ring: TracedRing, tolerance: number): TracedRing {
  if (tolerance < LEAST || ring.corners.length <= 8) return ring;
  const c = ring.corners;
  const n = c.length >> 1;
  const keep = new Uint8Array(n);
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
  keep[first] = 1;
  keep[far] = 1;
  const limit = tolerance * tolerance;
  const stack = [first, far < first ? far + n : far, far, first < far ? first + n : first];
  while (stack.length > 0) {
    const to = stack.pop()!;
    const from = stack.pop()!;
    const worst = farthest(c, n, from, to, limit);
    if (worst < 0) continue;
    keep[worst % n] = 1;
    stack.push(from, worst, worst, to);
  }
  const corners: number[] = [];
  for (let i = 0; i < n; i++) if (keep[i] === 1) corners.push(c[2 * i]!, c[2 * i + 1]!);
  let twiceArea = 0;
  for (let i = 0; i < corners.length; i += 2) {
    const k = (i + 2) % corners.length;
    twiceArea += corners[i]! * corners[k + 1]! - corners[k]! * corners[i + 1]!;
  }
  if (corners.length < 6 || twiceArea * ring.twiceArea <= 0 || corners.length === c.length) return ring;
  return { corners: Int32Array.from(corners), twiceArea, part: ring.part };
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
