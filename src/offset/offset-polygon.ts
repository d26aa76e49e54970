import { requireNumber } from "../errors/index.js";
import type { Polygon } from "../geometry/index.js";
import { offsetPolygonFamily } from "./offset-polygon-family.js";
import type { OffsetOptions } from "./types.js";

/**
 * Polygons made larger or smaller all round by a distance, exactly: inward what is left of the ground farther than the
 * distance from every boundary, outward all ground nearer than it.
 *
 * Holes grow as exteriors shrink. A pinched field falls apart into several polygons; one that has no place farther from its
 * boundary than the distance gives an empty list, and `explainEmptyOffset` says why. Polygons of a list that overlap or
 * touch are joined first (by `union`, to 1 µm, which drops their slits and spikes of no width); so are those whose outward
 * offsets meet. Rings may touch in points. Slits and spikes of no width of all other polygons count as boundary. Ties survive: a neck exactly twice the distance wide leaves a line of no width
 * between its two parts, or two parts; both are right.
 *
 * Before flattening every point lies within 1e-9 m of the distance and nothing at that distance is missing; arcs about
 * convex corners are flattened within the tolerance.
 *
 * @param polygon - one or several, metres
 * @param distance - metres, outward positive, inward negative
 * @param options - tolerance and joins
 * @returns polygons that do not overlap, rings closed, exteriors counter-clockwise, holes clockwise; the largest first
 * @throws `FeeringError` `too-few-points`, `not-finite`, `degenerate`, `self-crossing`, `hole-outside` as `checkPolygon`;
 * `out-of-range` for an option; `too-large` beyond `options.maximumPoints`
 * @example
 * ```ts
 * const field = { exterior: [[0, 0], [200, 0], [200, 100], [0, 100]], holes: [] } as const;
 * offsetPolygon(field, -12); // one polygon of 176 x 76 m
 * ```
 */
export function offsetPolygon(
  polygon: Polygon | readonly Polygon[],
  distance: number,
  options: OffsetOptions = {},
): Polygon[] {
  requireNumber(distance, "distance");
  return offsetPolygonFamily(polygon, [distance], options)[0]!;
}
