import { FeeringError } from "../errors/index.js";
import type { Polygon } from "../geometry/types.js";
import { offsetPolygon } from "../offset/index.js";

/** Chords of round corners lie this near to their arcs, metres: below what any receiver sees. */
const ARC_TOLERANCE = 1e-3;

/**
 * The edge beside a lap: the lap moved outward or inward all along.
 *
 * @param lap - the lap of the antenna, checked
 * @param outward - metres, inward negative
 * @param join - what stands at a corner that the lap turns away from the edge at
 * @returns the parts, the largest first: one at least
 * @throws `FeeringError` `out-of-range` where an inward offset leaves nothing
 */
export function edgeOfLap(lap: Polygon, outward: number, join: "round" | "mitre"): Polygon[] {
  if (outward === 0) return [lap];
  const parts = offsetPolygon(lap, outward, { join, tolerance: ARC_TOLERANCE });
  if (parts.length === 0) {
    throw new FeeringError(
      "out-of-range",
      `options.lateralOffset puts the edge ${-outward} m inside the lap, which is nowhere that far from itself`,
      { argument: "options.lateralOffset", value: outward },
    );
  }
  return parts;
}
