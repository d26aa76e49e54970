import { RADIANS } from "../geometry/angle.js";
import { type Ellipsoid, WGS84 } from "./ellipsoid.js";
import { wrapLongitude } from "./longitude.js";
import { meridianToGeodetic } from "./meridian.js";
import type { GeodeticPosition, GeographicPosition } from "./position.js";

/** Metres from the Earth's centre: x towards 0°N 0°E, y towards 0°N 90°E, z towards the north pole. */
export type Geocentric = readonly [x: number, y: number, z: number];

/**
 * Earth-centred coordinates of a position (EPSG method 9602).
 *
 * Good to 2e-9 m on the ground, the rounding of 6.4e6 m.
 *
 * @param position - degrees, metres; altitude 0 where absent
 * @param ellipsoid - default {@link WGS84}
 * @returns `[x, y, z]`, metres; NaN for what is no place
 * @see IOGP 373-7-2, 4.1.1
 * @example
 * ```ts
 * const [x, y, z] = geodeticToGeocentric({ latitude: 55, longitude: 12, altitude: 10 });
 * console.log(x.toFixed(4), y.toFixed(4), z.toFixed(4)); // 3586475.2672 762328.8513 5201391.7147
 * ```
 */
export function geodeticToGeocentric(position: GeographicPosition, ellipsoid: Ellipsoid = WGS84): Geocentric {
  const { latitude, altitude = 0 } = position;
  if (!(latitude >= -90 && latitude <= 90)) return [Number.NaN, Number.NaN, Number.NaN];
  const e2 = ellipsoid.flattening * (2 - ellipsoid.flattening);
  const sin = Math.sin(latitude * RADIANS);
  // the complement of a latitude is exact, and its sine next to the pole with it
  const cos = Math.sin((90 - Math.abs(latitude)) * RADIANS);
  const n = ellipsoid.semiMajorAxis / Math.sqrt(1 - e2 * sin * sin);
  const p = (n + altitude) * cos;
  const longitude = wrapLongitude(position.longitude);
  // on the meridian of 180 degrees itself y is 0, not 8e-10 m
  const sinLon = longitude === -180 ? 0 : Math.sin(longitude * RADIANS);
  return [p * Math.cos(longitude * RADIANS), p * sinLon, (n * (1 - e2) + altitude) * sin];
}

/**
 * Position of Earth-centred coordinates (EPSG method 9602 reversed).
 *
 * Good to 4e-9 m on the ground, to 1e-8 m from 5000 km under it to the satellites. Near the centre, where several places have the
 * point on their vertical, it is the nearest one, of two equally near the northern. On the axis the longitude is 0.
 *
 * @param point - `[x, y, z]`, metres
 * @param ellipsoid - default {@link WGS84}
 * @returns degrees, longitude in -180 (included) to 180 (excluded), metres above the ellipsoid; NaN for NaN and for
 * the centre itself
 * @see Bowring 1985, Survey Review 28
 */
export function geocentricToGeodetic(point: Geocentric, ellipsoid: Ellipsoid = WGS84): GeodeticPosition {
  const [x, y, z] = point;
  const e2 = ellipsoid.flattening * (2 - ellipsoid.flattening);
  const out = [0, 0, 0];
  meridianToGeodetic(ellipsoid.semiMajorAxis, e2, Math.sqrt(x * x + y * y), z, out);
  return { latitude: out[0]!, longitude: wrapLongitude(Math.atan2(y, x) / RADIANS), altitude: out[2]! };
}
