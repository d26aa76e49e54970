import type { Point, Polygon, Ring } from "../geometry/types.js";
import type { RowRuns } from "./row-runs.js";
import { simplifyRings } from "./simplify.js";
import { type TracedRing, traceRuns } from "./trace.js";

/** How an outline is made, in cells. */
export interface OutlineShape {
  /** how far a corner that is dropped may lie from the outline; 0: none is dropped */
  readonly tolerance: number;
  /** area below which parts and holes are left out */
  readonly leastArea: number;
}

/**
 * Outline of a set of cells as polygons, one for each connected part, from the south up.
 *
 * @param runs - the cells
 * @param scale - cells a metre
 * @param shape - what to leave out; default nothing
 */
export function outlineOf(runs: RowRuns, scale: number, shape?: OutlineShape): Polygon[] {
  let rings = traceRuns(runs);
  if (shape !== undefined && shape.leastArea > 0) rings = largeRings(rings, 2 * shape.leastArea);
  if (shape !== undefined && shape.tolerance > 0) rings = simplifyRings(rings, shape.tolerance);
  return groupRings(rings, scale);
}

/** Rings of at least an area; a part whose exterior is too small goes with its holes. */
function largeRings(rings: readonly TracedRing[], twiceArea: number): TracedRing[] {
  const small = new Set(
    rings.filter((ring) => ring.twiceArea > 0 && ring.twiceArea < twiceArea).map((ring) => ring.part),
  );
  return rings.filter((ring) => !small.has(ring.part) && Math.abs(ring.twiceArea) >= twiceArea);
}

/** Polygons from traced rings: each part's exterior with its holes; `scale` is cells a metre. */
export function groupRings(rings: readonly TracedRing[], scale: number): Polygon[] {
  const parts = new Map<number, { exterior: Ring; holes: Ring[] }>();
  for (const ring of rings) {
    let part = parts.get(ring.part);
    if (part === undefined) {
      part = { exterior: [], holes: [] };
      parts.set(ring.part, part);
    }
    const closed = closedRing(ring.corners, scale);
    if (ring.twiceArea > 0) part.exterior = closed;
    else part.holes.push(closed);
  }
  return [...parts.values()];
}

function closedRing(corners: Int32Array, scale: number): Ring {
  const ring: Point[] = [];
  // divided, not multiplied by 0.1: 3 / 10 is 0.3
  for (let i = 0; i < corners.length; i += 2) ring.push([corners[i]! / scale, corners[i + 1]! / scale]);
  ring.push([ring[0]![0], ring[0]![1]]);
  return ring;
}
