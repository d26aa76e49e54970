import { RADIANS } from "../geometry/angle.js";

/**
 * Latitude and altitude of a point in a meridian's plane, by Bowring's formula repeated until it stands still.
 *
 * @param a - equatorial radius, metres
 * @param e2 - first eccentricity squared
 * @param p - distance from the axis, metres, not negative
 * @param z - distance from the equator's plane, metres, north positive
 * @param out - latitude in degrees goes to `out[0]`, altitude in metres to `out[2]`; NaN at the Earth's centre itself
 * @see Bowring 1985, The accuracy of geodetic latitude and height equations, Survey Review 28
 */
export function meridianToGeodetic(a: number, e2: number, p: number, z: number, out: number[]): void {
  // hot
  const axes = Math.sqrt(1 - e2);
  const b = a * axes;
  const second = (e2 / (1 - e2)) * b;
  const r = Math.sqrt(p * p + z * z);
  if (!(r > e2 * a * 2)) {
    deepInside(a, b, p, z, out);
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

/**
 * Near the centre, within the evolute of the meridian, several places have the point on their vertical: the nearest one is
 * wanted. The foot on the ellipse is (a² p / (t + a²), b² z / (t + b²)) for the one t above -b² that puts it there.
 */
function deepInside(a: number, b: number, p: number, z: number, out: number[]): void {
  if (!(p > 0 || z !== 0) || !(p + Math.abs(z) < a)) {
    out[0] = out[2] = Number.NaN;
    return;
  }
  const y = Math.abs(z);
  let low = -b * b;
  let high = 0;
  let t = low;
  for (let step = 0; step < 200; step++) {
    t = (low + high) / 2;
    if (t === low || t === high) break;
    const u = (a * p) / (t + a * a);
    const v = (b * y) / (t + b * b);
    if (u * u + v * v > 1) low = t;
    else high = t;
  }
  const footP = (a * a * p) / (t + a * a);
  // from t where the foot is near the equator, else from the ellipse: on the equator's plane t + b² may be 0
  const share = footP / a;
  const beyond = y === 0 && p >= (a * a - b * b) / a;
  const footZ =
    beyond || (share > 0.7 && y > 0) ? (b * b * y) / (t + b * b) : b * Math.sqrt(Math.max(0, 1 - share * share));
  const latitude = Math.atan2(footZ * a * a, footP * b * b) / RADIANS;
  out[0] = z < 0 ? -latitude : latitude;
  out[2] = -Math.sqrt((footP - p) ** 2 + (footZ - y) ** 2);
}
