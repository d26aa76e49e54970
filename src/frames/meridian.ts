import { RADIANS } from "../geometry/angle.js";

/**
 * Latitude and altitude of a point in a meridian's plane, by Bowring's formula repeated until it stands still.
 *
 * @param a - equatorial radius, metres
 * @param e2 - first eccentricity squared
 * @param p - distance from the axis, metres, not negative
 * @param z - distance from the equator's plane, metres, north positive
 * @param out - latitude in degrees goes to `out[0]`, altitude in metres to `out[2]`; NaN near the Earth's centre
 * @see Bowring 1985, The accuracy of geodetic latitude and height equations, Survey Review 28
 */
export function meridianToGeodetic(a: number, e2: number, p: number, z: number, out: Float64Array): void {
  // hot
  const axes = Math.sqrt(1 - e2);
  const b = a * axes;
  const second = (e2 / (1 - e2)) * b;
  const r = Math.sqrt(p * p + z * z);
  if (!(r > e2 * a * 2)) {
    // inside the evolute of the meridian more than one place fits
    out[0] = out[2] = Number.NaN;
    return;
  }
  // sine and cosine of the reduced latitude, first guess of Bowring 1985
  let s = z * axes * (1 + second / r);
  let c = p;
  let scale = 1 / Math.sqrt(s * s + c * c);
  s *= scale;
  c *= scale;
  let sin = 0;
  let cos = 1;
  for (let step = 0; step < 20; step++) {
    sin = z + second * s * s * s;
    cos = p - e2 * a * c * c * c;
    const sNext = axes * sin;
    scale = 1 / Math.sqrt(sNext * sNext + cos * cos);
    const change = Math.abs(sNext * scale - s) + Math.abs(cos * scale - c);
    s = sNext * scale;
    c = cos * scale;
    // each round cuts what is left by far more than a thousand near the Earth's surface
    if (change < 1e-12) break;
  }
  scale = 1 / Math.sqrt(sin * sin + cos * cos);
  const sinLat = sin * scale;
  const cosLat = cos * scale;
  out[0] = Math.atan2(sin, cos) / RADIANS;
  out[2] = p * cosLat + z * sinLat - a * Math.sqrt(1 - e2 * sinLat * sinLat);
}
