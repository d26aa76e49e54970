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
 * wanted. The foot on the ellipse is (a² p / (s + a² - b²), b² z / s) for the one positive s that puts it there.
 */
function deepInside(a: number, b: number, p: number, z: number, out: number[]): void {
  const y = Math.abs(z);
  if (!(p + y > 0 && p + y < a)) {
    out[0] = out[2] = Number.NaN;
    return;
  }
  const c2 = (a - b) * (a + b);
  let footP = 0;
  let footZ = 0;
  // a z that close to nothing loses its digits
  if (y > 1e-200) {
    let low = 0;
    let high = b * b;
    let s = high;
    // halving ends where the numbers next to each other do, for the smallest z after some 700 steps
    for (let step = 0; step < 1200; step++) {
      const half = (low + high) / 2;
      if (half === low || half === high) break;
      s = half;
      const u = (a * p) / (s + c2);
      const v = (b * y) / s;
      if (u * u + v * v > 1) low = s;
      else high = s;
    }
    footP = (a * a * p) / (s + c2);
    footZ = (b * b * y) / s;
  } else {
    // on the equator's plane s is 0 or the foot is on the equator
    footP = Math.min(a, (a * a * p) / c2);
    footZ = b * Math.sqrt(1 - (footP / a) ** 2);
  }
  const latitude = Math.atan2(footZ * a * a, footP * b * b) / RADIANS;
  out[0] = z < 0 ? -latitude : latitude;
  out[2] = -Math.sqrt((footP - p) ** 2 + (footZ - y) ** 2);
}
