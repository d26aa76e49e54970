import { segmentCrossing } from "./crossing.js";
import { sideAtCorner } from "./nearest.js";
import { overlappingPairs } from "./overlapping-pairs.js";
import { anyContact } from "./sweep.js";
import type { Point, Ring } from "./types.js";

/**
 * A place where two segments of rings meet that are no neighbours.
 *
 * @internal
 */
export interface RingContact {
  readonly point: Point;
  readonly kind: "crossing" | "touch" | "overlap";
  /** ring and segment of the one, as numbered in the rings given */
  readonly ring: number;
  readonly segment: number;
  /** ring and segment of the other */
  readonly otherRing: number;
  readonly otherSegment: number;
}

/**
 * Where rings cross, touch or overlap themselves and each other, by exact predicates.
 *
 * @param rings - open or closed, metres; points that repeat the one before are passed over
 *
 * @internal
 */
export function ringContacts(rings: readonly Ring[]): RingContact[] {
  let most = 0;
  for (const ring of rings) most += ring.length;
  const ends = new Float64Array(4 * most);
  const ringOf = new Uint32Array(most);
  const segmentOf = new Uint32Array(most);
  const firsts: number[] = [];
  let m = 0;
  rings.forEach((ring, r) => {
    firsts.push(m);
    for (let i = 0; i < ring.length; i++) {
      const a = ring[i]!;
      const b = ring[i + 1 === ring.length ? 0 : i + 1]!;
      if (a[0] === b[0] && a[1] === b[1]) continue;
      ends[4 * m] = a[0];
      ends[4 * m + 1] = a[1];
      ends[4 * m + 2] = b[0];
      ends[4 * m + 3] = b[1];
      ringOf[m] = r;
      segmentOf[m] = i;
      m++;
    }
  });
  firsts.push(m);
  const start = (k: number): Point => [ends[4 * k]!, ends[4 * k + 1]!];
  const end = (k: number): Point => [ends[4 * k + 2]!, ends[4 * k + 3]!];
  const before = (k: number): number => (k === firsts[ringOf[k]!]! ? firsts[ringOf[k]! + 1]! - 1 : k - 1);
  const after = (k: number): number => (k + 1 === firsts[ringOf[k]! + 1]! ? firsts[ringOf[k]!]! : k + 1);

  const found: RingContact[] = [];
  const visit = (i: number, j: number): void => {
    const crossing = segmentCrossing(start(i), end(i), start(j), end(j));
    if (crossing.kind === "none") return;
    let kind: RingContact["kind"] = "crossing";
    const point = crossing.kind === "overlap" ? crossing.from : crossing.point;
    if (crossing.kind === "overlap") {
      kind = "overlap";
    } else {
      const atStartOfI = same(point, start(i));
      const atEndOfI = same(point, end(i));
      const atStartOfJ = same(point, start(j));
      const atEndOfJ = same(point, end(j));
      if (after(i) === j && atEndOfI && atStartOfJ) return;
      if (after(j) === i && atEndOfJ && atStartOfI) return;
      if (atStartOfI || atEndOfI || atStartOfJ || atEndOfJ) {
        // the way of each ring through the point: do they change sides there?
        const from = start(atStartOfI ? before(i) : i);
        const to = end(atEndOfI ? after(i) : i);
        const otherFrom = start(atStartOfJ ? before(j) : j);
        const otherTo = end(atEndOfJ ? after(j) : j);
        const one = sideAtCorner(from, point, to, otherFrom);
        const two = sideAtCorner(from, point, to, otherTo);
        kind = (one > 0 && two < 0) || (one < 0 && two > 0) ? "crossing" : "touch";
      }
    }
    found.push({
      point,
      kind,
      ring: ringOf[i]!,
      segment: segmentOf[i]!,
      otherRing: ringOf[j]!,
      otherSegment: segmentOf[j]!,
    });
  };
  const segments = ends.subarray(0, 4 * m);
  // most rings are simple, and the sweep says so in n log n however they crowd
  if (anyContact(segments, before)) overlappingPairs(segments, visit);
  return found.sort(
    (p, q) => p.ring - q.ring || p.otherRing - q.otherRing || p.segment - q.segment || p.otherSegment - q.otherSegment,
  );
}

function same(a: Point, b: Point): boolean {
  return a[0] === b[0] && a[1] === b[1];
}
