import { FeeringError, requireList, requireObject } from "../errors/index.js";
import type { GeographicPosition } from "../frames/position.js";
import { geodesicRing } from "./geodesic.js";
import type { PolygonMeasure } from "./measure-polygon.js";
import { type GeographicPolygon, requirePositions } from "./positions.js";

/**
 * Area and perimeter of a polygon of positions on the WGS 84 ellipsoid, its edges geodesics: the reference that plane
 * areas are held against.
 *
 * Rings may be open or closed and wound either way; holes are taken off the area. Altitudes play no part: 1000 m of
 * altitude make the ground's area 0.031 % larger than this. Rings across 180 degrees of longitude are right, and so
 * are rings about a pole: a ring's area is that of the smaller of the two parts it divides the Earth into. The shape
 * is not checked for crossings.
 *
 * Accuracy: area 1e-3 m² or 1e-8 relative, whichever is larger, perimeter 1e-7 m, on fields from a sliver of 1000 m²
 * up (tests/survey/measure-geodesic.test.ts).
 *
 * @param polygon - degrees
 * @returns m² and metres
 * @throws `FeeringError` `not-finite` or `out-of-range` with the index of the first bad position, `too-few-points` for a
 * ring of fewer than three distinct positions
 * @see Karney 2013, Algorithms for geodesics, J. Geodesy 87, section 6
 */
export function measurePolygonGeodesic(polygon: GeographicPolygon): PolygonMeasure {
  requireObject(polygon, "polygon");
  requireList(polygon.holes, "polygon.holes");
  const outer = measureRing(polygon.exterior, "polygon.exterior");
  let holesArea = 0;
  let holesPerimeter = 0;
  for (let i = 0; i < polygon.holes.length; i++) {
    const hole = measureRing(polygon.holes[i]!, `polygon.holes[${i}]`);
    holesArea += hole.area;
    holesPerimeter += hole.perimeter;
  }
  return {
    area: Math.max(0, outer.area - holesArea),
    perimeter: outer.perimeter,
    holesArea,
    holesPerimeter,
  };
}

function measureRing(ring: readonly GeographicPosition[], argument: string): { area: number; perimeter: number } {
  requirePositions(ring, argument, 3);
  const distinct = new Set<string>();
  for (const { latitude, longitude } of ring) {
    distinct.add(`${latitude} ${((longitude % 360) + 360) % 360}`);
    if (distinct.size === 3) break;
  }
  if (distinct.size < 3) {
    throw new FeeringError("too-few-points", `${argument} has ${distinct.size} distinct positions, needs 3`, {
      argument,
      value: distinct.size,
    });
  }
  const { area, perimeter } = geodesicRing(ring);
  return { area: Math.abs(area), perimeter };
}
