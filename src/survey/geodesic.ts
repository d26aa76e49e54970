// a CommonJS package: in Node's ESM only its default import can be relied on
import geographic from "geographiclib-geodesic";
import { requireNumber } from "../errors/index.js";
import type { GeographicPosition } from "../frames/position.js";
import { wrapHeading } from "../geometry/angle.js";
import { requirePosition } from "./positions.js";

/**
 * Length of the geodesic, the shortest way on the WGS 84 ellipsoid, between two positions. Altitudes play no part.
 *
 * Accuracy 15 nm, antipodal pairs included (Karney 2013); checked at 1e-8 m on a published tool's tables.
 *
 * @param from - degrees
 * @param to - degrees
 * @returns metres, 0 where the positions coincide
 * @throws `FeeringError` `not-finite` or `out-of-range`, naming the number
 * @see Karney 2013, Algorithms for geodesics, J. Geodesy 87
 * @example
 * ```ts
 * geodesicDistance({ latitude: 52, longitude: 5 }, { latitude: 52, longitude: 5.01 }).toFixed(3); // "686.780"
 * ```
 */
export function geodesicDistance(from: GeographicPosition, to: GeographicPosition): number {
  requirePosition(from, "from");
  requirePosition(to, "to");
  return inverseLength(from, to);
}

/**
 * Bearing at which the geodesic from one position to another sets out.
 *
 * @param from - degrees; at a pole the bearing counts from the meridian of this longitude
 * @param to - degrees
 * @returns degrees clockwise from true north, 0 at least and less than 360; 0 where the positions coincide
 * @throws `FeeringError` `not-finite` or `out-of-range`, naming the number
 * @see Karney 2013, Algorithms for geodesics, J. Geodesy 87
 */
export function geodesicBearing(from: GeographicPosition, to: GeographicPosition): number {
  requirePosition(from, "from");
  requirePosition(to, "to");
  if (from.latitude === to.latitude && (from.longitude - to.longitude) % 360 === 0) return 0;
  const { azi1 } = WGS84.Inverse(from.latitude, from.longitude, to.latitude, to.longitude, AZIMUTH);
  return wrapHeading(azi1 ?? Number.NaN);
}

/**
 * Position reached by going a distance along the geodesic that sets out at a bearing.
 *
 * @param from - degrees
 * @param bearing - degrees clockwise from true north
 * @param distance - metres; negative goes backwards
 * @returns degrees, longitude in -180 to 180, without altitude
 * @throws `FeeringError` `not-finite` or `out-of-range`, naming the number
 * @see Karney 2013, Algorithms for geodesics, J. Geodesy 87
 */
export function geodesicDestination(from: GeographicPosition, bearing: number, distance: number): GeographicPosition {
  requirePosition(from, "from");
  requireNumber(bearing, "bearing");
  requireNumber(distance, "distance");
  const { lat2, lon2 } = WGS84.Direct(from.latitude, from.longitude, bearing, distance);
  return { latitude: lat2 ?? Number.NaN, longitude: lon2 ?? Number.NaN };
}

const WGS84 = geographic.Geodesic.WGS84;
const AZIMUTH = geographic.Geodesic.AZIMUTH;
const DISTANCE = geographic.Geodesic.DISTANCE;

/** Length of the geodesic between two checked positions, metres. */
export function inverseLength(from: GeographicPosition, to: GeographicPosition): number {
  return WGS84.Inverse(from.latitude, from.longitude, to.latitude, to.longitude, DISTANCE).s12 ?? Number.NaN;
}

/** Area, signed, and perimeter of a checked ring of positions, m² and metres. */
export function geodesicRing(ring: readonly GeographicPosition[]): { area: number; perimeter: number } {
  const polygon = WGS84.Polygon(false);
  for (const position of ring) polygon.AddPoint(position.latitude, position.longitude);
  const { area, perimeter } = polygon.Compute(false, true);
  return { area: area ?? 0, perimeter };
}
