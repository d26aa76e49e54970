import { difference, pointInPolygon, type Point, type Polygon, polygonArea, ringLength } from "../geometry/index.js";
import { pointInside } from "./point-inside.js";

/** places smaller than this are none, square metres: ten square centimetres */
const LEAST_AREA = 1e-3;

/** What is left of the headland. */
export interface Left {
  readonly at: Point;
  readonly area: number;
  readonly outline: Polygon;
}

/**
 * What swaths leave of some ground, the largest place first. Slivers along the common edges of two swaths, thinner than the
 * arcs' flattening makes them, are left out.
 *
 * @internal
 */
export function uncoveredBy(
  ground: readonly Polygon[],
  swaths: readonly (readonly Polygon[])[],
  tolerance: number,
): Left[] {
  let left: Polygon[] = [...ground];
  for (const swath of swaths) {
    if (left.length === 0) break;
    if (swath.length > 0) left = difference(left, swath);
  }
  return left
    .map((outline) => ({ at: pointInside(outline), area: polygonArea(outline), outline }))
    .filter(({ area, outline }) => {
      const perimeter = outline.holes.reduce((sum, hole) => sum + ringLength(hole), ringLength(outline.exterior));
      return area >= LEAST_AREA && (2 * area) / perimeter > 4 * tolerance;
    })
    .sort((a, b) => b.area - a.area);
}

/** Whether a point lies in any of the polygons or on a boundary. */
export function insideAny(polygons: readonly Polygon[], p: Point): boolean {
  return polygons.some((polygon) => pointInPolygon(polygon, p) !== "outside");
}
