import { FeeringError } from "../errors/index.js";
import { difference, pointInPolygon, type Point, type Polygon, polygonArea, ringLength } from "../geometry/index.js";
import { pointInside } from "./point-inside.js";

/** places smaller than this are none, square metres: ten square centimetres */
const LEAST_AREA = 1e-3;

/** How coarsely arcs of swaths are flattened, metres: what is left need not be known better. */
export const SWATH_TOLERANCE = 5e-4;

/** How much wider than half a swath each side of it is taken, metres, so that flattened arcs of neighbours overlap. */
export const SWATH_LAP = 1e-3;

/** What is left of the headland. */
export interface Left {
  readonly at: Point;
  readonly area: number;
  readonly outline: Polygon;
}

/**
 * What swaths leave of some ground, the largest place first. Slivers along the common edges of two swaths, thinner than
 * {@link SWATH_LAP} makes them, are left out.
 *
 * @internal
 */
export function uncoveredBy(ground: readonly Polygon[], swaths: readonly (readonly Polygon[])[]): Left[] {
  const left = withoutSwaths(ground, swaths);
  return left
    .map((outline) => ({ at: pointInside(outline), area: polygonArea(outline), outline }))
    .filter(({ area, outline }) => {
      const perimeter = outline.holes.reduce((sum, hole) => sum + ringLength(hole), ringLength(outline.exterior));
      return area >= LEAST_AREA && (2 * area) / perimeter > 2 * SWATH_LAP;
    })
    .sort((a, b) => b.area - a.area);
}

// all at once; one by one where that is more than the engine takes
function withoutSwaths(ground: readonly Polygon[], swaths: readonly (readonly Polygon[])[]): readonly Polygon[] {
  if (ground.length === 0 || swaths.length === 0) return ground;
  try {
    return difference(ground, swaths.flat());
  } catch (error) {
    if (!(error instanceof FeeringError)) throw error;
    let left = ground;
    for (const swath of swaths) left = difference(left, swath);
    return left;
  }
}

/** Whether a point lies in any of the polygons or on a boundary. */
export function insideAny(polygons: readonly Polygon[], p: Point): boolean {
  return polygons.some((polygon) => pointInPolygon(polygon, p) !== "outside");
}
