import { requireList, requireNumber, requireObject } from "../errors/index.js";
import type { Polygon, Ring } from "../geometry/types.js";
import { type Curvature, curvatureAt } from "./curvature.js";
import { type MeasureOptions, segmentLength } from "./measure-path.js";
import { requireRing } from "./require-ring.js";

/** What `measurePolygon` and `measurePolygonGeodesic` give. */
export interface PolygonMeasure {
  /** area of the exterior less its holes, m², not negative */
  readonly area: number;
  /** length round the exterior, metres */
  readonly perimeter: number;
  /** area of the holes together, m²; `area + holesArea` is the area within the exterior */
  readonly holesArea: number;
  /** length round all holes together, metres */
  readonly holesPerimeter: number;
}

/**
 * Area and perimeter of a polygon.
 *
 * Rings may be open or closed and wound either way; holes are taken off the area. The shape is not checked: rings that
 * cross themselves or holes that stick out give a number without meaning (`checkPolygon` and `boundaryFromPoints`
 * find them). Collinear points have area 0.
 *
 * Accuracy. On the plane, rounding alone; against the geodesic area the plane's is too small by 2e-8 for 2 km about the
 * frame's origin and by 3e-7 for a field 5 km away (at altitude 0). With `frame` it is the geodesic area within 1e-8
 * relative or 1e-3 m², whichever is larger, and the geodesic perimeter within 1e-8 relative, for fields within 20 km
 * of the origin and altitudes up to 1000 m (tests/survey/measure-frame.test.ts).
 *
 * Mind the altitude: a plane measure is the ground's at the frame's altitude, a geodesic one lies on the ellipsoid;
 * 1000 m of altitude make the ground's area 0.031 % larger.
 *
 * @param polygon - metres
 * @param options - the frame, where the measure shall be geodesic
 * @returns m² and metres
 * @throws `FeeringError` `not-finite`, also for an area beyond all numbers, or `too-few-points` for a ring of fewer than
 * three distinct points
 * @see Karney 2013, Algorithms for geodesics, J. Geodesy 87 (the measure that the one with a frame stands in for)
 * @example
 * ```ts
 * const field = { exterior: [[0, 0], [200, 0], [200, 100], [0, 100]], holes: [] } as const;
 * hectares(measurePolygon(field).area); // 2
 * ```
 */
export function measurePolygon(polygon: Polygon, options: MeasureOptions = {}): PolygonMeasure {
  requireObject(polygon, "polygon");
  requireList(polygon.holes, "polygon.holes");
  requireObject(options, "options");
  const curvature = options.frame === undefined ? undefined : curvatureAt(options.frame, "options.frame");
  requireRing(polygon.exterior, "polygon.exterior");
  const outer = ringArea(polygon.exterior, curvature);
  let holesArea = 0;
  let holesPerimeter = 0;
  for (let i = 0; i < polygon.holes.length; i++) {
    const hole = polygon.holes[i]!;
    requireRing(hole, `polygon.holes[${i}]`);
    holesArea += ringArea(hole, curvature);
    holesPerimeter += perimeterOf(hole, curvature);
  }
  return {
    // coordinates may be finite and their area not
    area: Math.max(0, requireNumber(outer - holesArea, "area of polygon")),
    perimeter: perimeterOf(polygon.exterior, curvature),
    holesArea,
    holesPerimeter,
  };
}

function perimeterOf(ring: Ring, curvature: Curvature | undefined): number {
  let length = segmentLength(ring[ring.length - 1]!, ring[0]!, curvature);
  for (let i = 1; i < ring.length; i++) length += segmentLength(ring[i - 1]!, ring[i]!, curvature);
  return length;
}

/**
 * Area of a ring, not negative, with the plane's error taken off to second order in the distance from the origin.
 *
 * Vertices are pushed out to where geodesics become straight lines (by 1 + q/2N, q = e²/N + n²/M: on a sphere the
 * gnomonic projection); there the ring's second moments about the origin, times what the push and the slope of the
 * surface add to each square metre, are the excess of the shoelace sum.
 */
function ringArea(ring: Ring, curvature: Curvature | undefined): number {
  const { across, along, scaleEast, scaleNorth } = curvature ?? FLAT;
  // relative to the first vertex, so that a ring far from the origin loses no digits
  const [x0, y0] = pushed(ring[0]![0] * scaleEast, ring[0]![1] * scaleNorth, across, along);
  let area = 0;
  let momentX = 0;
  let momentY = 0;
  let momentXX = 0;
  let momentYY = 0;
  let px = 0;
  let py = 0;
  for (let i = 1; i < ring.length; i++) {
    const e = ring[i]![0] * scaleEast;
    const n = ring[i]![1] * scaleNorth;
    const half = curvature === undefined ? 0 : ((e * e) / across + (n * n) / along) / 2;
    const x = e + (e * half) / across - x0;
    const y = n + (n * half) / along - y0;
    const cross = px * y - x * py;
    area += cross;
    momentX += cross * (px + x);
    momentY += cross * (py + y);
    momentXX += cross * (px * px + px * x + x * x);
    momentYY += cross * (py * py + py * y + y * y);
    px = x;
    py = y;
  }
  area /= 2;
  if (curvature === undefined) return Math.abs(area);
  const east = momentXX / 12 + (x0 * momentX) / 3 + x0 * x0 * area;
  const north = momentYY / 12 + (y0 * momentY) / 3 + y0 * y0 * area;
  const mean = (1 / across + 1 / along) / 2;
  const excess = (east * (mean + 0.5 / across)) / across + (north * (mean + 0.5 / along)) / along;
  return Math.abs(area - excess);
}

const FLAT: Curvature = {
  across: Number.POSITIVE_INFINITY,
  along: Number.POSITIVE_INFINITY,
  scaleEast: 1,
  scaleNorth: 1,
};

function pushed(e: number, n: number, across: number, along: number): [number, number] {
  const half = ((e * e) / across + (n * n) / along) / 2;
  return [e + (e * half) / across, n + (n * half) / along];
}
