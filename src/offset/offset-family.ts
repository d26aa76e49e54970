import type { Line, Polygon } from "../geometry/index.js";
import { offsetLineFamily } from "./offset-line-family.js";
import { offsetPolygonFamily } from "./offset-polygon-family.js";
import type { OffsetLine, OffsetLineOptions } from "./types.js";

/** What one distance of a family gives: pieces of a line for a line, polygons for polygons. */
export type OffsetMember<Source> = Source extends Line ? OffsetLine[] : Polygon[];

/**
 * The parallels to a line, or the offsets of polygons, at many distances in one sweep: {@link offsetLineFamily} for a line,
 * {@link offsetPolygonFamily} for polygons. The distances have their signs: right of a line positive, outward of a polygon
 * positive.
 *
 * @param source - a line, a polygon or a list of polygons, metres; an empty list counts as no polygons
 * @param distances - metres, in any order
 * @param options - for all of them; those of lines count for a line only
 * @returns for each distance, in the order given, what `offsetLine` or `offsetPolygon` gives for it
 * @throws `FeeringError` as those two, and `not-finite` with the index of a bad distance
 * @example
 * ```ts
 * const passes = offsetFamily([[0, 0], [0, 100], [50, 180]], [-24, -12, 12, 24]);
 * passes[2]; // the pieces 12 m to the right
 * ```
 */
export function offsetFamily<Source extends Line | Polygon | readonly Polygon[]>(
  source: Source,
  distances: readonly number[],
  options: OffsetLineOptions = {},
): OffsetMember<Source>[] {
  // a line is a list of points, which are lists; a polygon and its likes are objects
  const isLine = Array.isArray(source) && source.length > 0 && Array.isArray(source[0]);
  const members = isLine
    ? offsetLineFamily(source as Line, distances, options)
    : offsetPolygonFamily(source as Polygon | readonly Polygon[], distances, options);
  return members as OffsetMember<Source>[];
}
