import { RADIANS } from "../geometry/angle.js";

/** WGS 84: semi-major axis, m, and first eccentricity squared (NGA.STND.0036) */
const A = 6_378_137;
const E2 = 0.00669437999014131699613723;

/**
 * Level distance between two near places on the ellipsoid, by the radii of curvature at their middle latitude.
 *
 * @param latitude - of the first, degrees
 * @param longitude - of the first, degrees
 * @param otherLatitude - of the second, degrees
 * @param otherLongitude - of the second, degrees
 * @returns metres; up to 10 km the relative error is below 1e-6 within 70 degrees of latitude and 2e-5 within 85
 *   (tests/receiver/level-distance.test.ts), an estimate beyond
 * @see Bomford, Geodesy: mid-latitude formula
 */
export function levelDistance(
  latitude: number,
  longitude: number,
  otherLatitude: number,
  otherLongitude: number,
): number {
  // hot: once a fix
  const middle = ((latitude + otherLatitude) / 2) * RADIANS;
  const sine = Math.sin(middle);
  const w2 = 1 - E2 * sine * sine;
  const w = Math.sqrt(w2);
  let east = (otherLongitude - longitude) % 360;
  if (east > 180) east -= 360;
  else if (east < -180) east += 360;
  const x = (A / w) * Math.cos(middle) * east * RADIANS;
  const y = ((A * (1 - E2)) / (w2 * w)) * (otherLatitude - latitude) * RADIANS;
  return Math.sqrt(x * x + y * y);
}
