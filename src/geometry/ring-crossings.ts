import { requirePoints } from "../errors/index.js";
import { ringContacts } from "./ring-contacts.js";
import type { Point, Ring } from "./types.js";

/** A place where a ring meets itself. */
export interface RingCrossing {
  /** where, metres; of an overlap, its start */
  readonly point: Point;
  /** the two segments, lower first: segment `i` runs from vertex `i` of the ring as given to the next */
  readonly segments: readonly [number, number];
  /**
   * `crossing`: the ring passes from one side of itself to the other, inside two segments or through a vertex;
   * `touch`: it meets itself in one point and stays on its side; `overlap`: it shares a stretch with itself
   */
  readonly kind: "crossing" | "touch" | "overlap";
}

/**
 * Where a ring crosses, touches or overlaps itself, decided by exact predicates.
 *
 * Neighbouring segments count only when they fold back over each other (`overlap`), not for the vertex they share.
 * Points that repeat the one before are passed over. A meeting in a vertex is reported for each pair of segments there.
 *
 * @param ring - open or closed, metres
 * @returns the places, by rising segment numbers; empty for a simple ring
 * @throws `FeeringError` `too-few-points` for fewer than three points, `not-finite`
 * @example
 * ```ts
 * ringCrossings([[0, 0], [2, 2], [2, 0], [0, 2]]); // one crossing at [1, 1], segments [0, 2]
 * ```
 */
export function ringCrossings(ring: Ring): RingCrossing[] {
  requirePoints(ring, "ring", 3);
  return ringContacts([ring]).map(({ point, kind, segment, otherSegment }) => ({
    point,
    segments: [segment, otherSegment],
    kind,
  }));
}
