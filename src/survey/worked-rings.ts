import type { TracedRing } from "../coverage/trace.js";

/** What {@link sortRings} gives; areas in cells. */
export interface SortedRings {
  /** rings that stay */
  readonly kept: TracedRing[];
  /** ground added in holes that were filled, less the ground that lay in them already */
  readonly filled: number;
  /** how many holes were filled */
  readonly filledHoles: number;
  /** ground of the parts left out */
  readonly dropped: number;
  /** how many parts were left out */
  readonly droppedParts: number;
}

/**
 * Leave out small holes and small parts of an outline. A part that lies in a hole that is filled becomes part of the
 * ground around it, whatever its size.
 *
 * @param rings - as traced
 * @param smallestHole - area of a hole that stays, cells
 * @param smallestPart - area of a part that stays, its holes included, cells
 */
export function sortRings(rings: readonly TracedRing[], smallestHole: number, smallestPart: number): SortedRings {
  const small = rings.filter((ring) => ring.twiceArea < 0 && -ring.twiceArea < 2 * smallestHole).map(boxed);
  const absorbed = new Set<number>();
  const dropped = new Set<number>();
  for (const ring of rings) {
    if (ring.twiceArea <= 0) continue;
    if (small.some((hole) => hole.ring.part !== ring.part && holds(hole, ring))) absorbed.add(ring.part);
    else if (ring.twiceArea < 2 * smallestPart) dropped.add(ring.part);
  }
  const kept: TracedRing[] = [];
  let filled = 0;
  let filledHoles = 0;
  let lost = 0;
  for (const ring of rings) {
    if (absorbed.has(ring.part)) {
      filled -= ring.twiceArea / 2;
    } else if (dropped.has(ring.part)) {
      lost += ring.twiceArea / 2;
    } else if (ring.twiceArea < 0 && -ring.twiceArea < 2 * smallestHole) {
      filled -= ring.twiceArea / 2;
      filledHoles++;
    } else {
      kept.push(ring);
    }
  }
  return { kept, filled, filledHoles, dropped: lost, droppedParts: dropped.size };
}

interface BoxedRing {
  readonly ring: TracedRing;
  readonly minX: number;
  readonly minY: number;
  readonly maxX: number;
  readonly maxY: number;
}

function boxed(ring: TracedRing): BoxedRing {
  const c = ring.corners;
  let minX = c[0]!;
  let maxX = minX;
  let minY = c[1]!;
  let maxY = minY;
  for (let i = 2; i < c.length; i += 2) {
    minX = Math.min(minX, c[i]!);
    maxX = Math.max(maxX, c[i]!);
    minY = Math.min(minY, c[i + 1]!);
    maxY = Math.max(maxY, c[i + 1]!);
  }
  return { ring, minX, minY, maxX, maxY };
}

/** Whether a hole holds a part: the cell within the first edge of the part's outline, to its left, lies in the hole. */
function holds(hole: BoxedRing, part: TracedRing): boolean {
  const p = part.corners;
  const dx = Math.sign(p[2]! - p[0]!);
  const dy = Math.sign(p[3]! - p[1]!);
  const x = p[0]! + (dx - dy) / 2;
  const y = p[1]! + (dy + dx) / 2;
  if (x < hole.minX || x > hole.maxX || y < hole.minY || y > hole.maxY) return false;
  // a cell's centre lies on no ring: count the upright edges to its east
  const c = hole.ring.corners;
  let inside = false;
  for (let i = 0, j = c.length - 2; i < c.length; j = i, i += 2) {
    if (c[i + 1]! > y !== c[j + 1]! > y && c[i]! > x) inside = !inside;
  }
  return inside;
}
