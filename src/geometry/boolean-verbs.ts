import { booleanOperation } from "./boolean.js";
import type { Polygon } from "./types.js";

/**
 * The ground that any of the polygons covers.
 *
 * In this and the other three operations polygons of one list may overlap and count as their union; a ring that crosses
 * itself counts as inside wherever it is wound round. Coordinates are snapped to a grid of 2^-20 m (about 1 µm, coarser
 * beyond 1000 km of extent), so results lie within 1 µm of the exact ones; only where the engine underneath fails are a
 * turned and then a coarser grid tried, up to 2^-10 m (1 mm). Each result is checked against the input at points beside its edges before
 * it is given out. Slivers and slits thinner than 0.1 mm (`DUPLICATE_DISTANCE`; twice the area over the perimeter) are
 * dropped, so that a result is no worse a polygon than its input.
 *
 * @param polygons - metres
 * @returns polygons that do not overlap, rings closed, exteriors counter-clockwise, holes clockwise; empty for none
 * @throws `FeeringError` `too-few-points`, `not-finite`; `too-large` for more than 200 000 vertices together;
 * `boolean-failed`, with the engine's own error as `cause`, when it fails on every grid
 * @example
 * ```ts
 * const square = (x: number): Polygon => ({ exterior: [[x, 0], [x + 2, 0], [x + 2, 2], [x, 2]], holes: [] });
 * union([square(0), square(1)]); // one rectangle of 6 m²
 * ```
 */
export function union(polygons: readonly Polygon[]): Polygon[] {
  return booleanOperation("union", polygons, []);
}

/**
 * The ground that both lists of polygons cover. Snapping, accuracy and lists as for {@link union}.
 *
 * @param a - metres
 * @param b - metres
 * @returns polygons that do not overlap; empty where they share no ground, also where they only touch
 * @throws `FeeringError` as {@link union}
 */
export function intersection(a: readonly Polygon[], b: readonly Polygon[]): Polygon[] {
  return booleanOperation("intersection", a, b);
}

/**
 * The ground that the first list of polygons covers and the second does not. Snapping, accuracy and lists as for
 * {@link union}.
 *
 * @param a - metres
 * @param b - what is taken away, metres
 * @returns polygons that do not overlap; empty where nothing is left
 * @throws `FeeringError` as {@link union}
 */
export function difference(a: readonly Polygon[], b: readonly Polygon[]): Polygon[] {
  return booleanOperation("difference", a, b);
}

/**
 * The ground that exactly one of two lists of polygons covers. Snapping, accuracy and lists as for {@link union}.
 *
 * @param a - metres
 * @param b - metres
 * @returns polygons that do not overlap; empty where both cover the same
 * @throws `FeeringError` as {@link union}
 */
export function symmetricDifference(a: readonly Polygon[], b: readonly Polygon[]): Polygon[] {
  return booleanOperation("symmetricDifference", a, b);
}
