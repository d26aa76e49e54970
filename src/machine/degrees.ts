import { RADIANS } from "../geometry/angle.js";

/**
 * Sine of an angle in degrees, exact at every quarter turn (`sinDegrees(180)` is 0, where `Math.sin(Math.PI)` is not),
 * so that a machine that drives due east stays exactly on its parallel.
 *
 * @param angle - degrees, any finite value
 * @returns -1 to 1; NaN for NaN and infinities
 */
export function sinDegrees(angle: number): number {
  const quarter = Math.round(angle / 90);
  const rest = (angle - 90 * quarter) * RADIANS;
  switch (((quarter % 4) + 4) % 4) {
    case 0:
      return Math.sin(rest);
    case 1:
      return Math.cos(rest);
    case 2:
      return -Math.sin(rest);
    case 3:
      return -Math.cos(rest);
    default:
      return Number.NaN;
  }
}

/**
 * Cosine of an angle in degrees, exact at every quarter turn.
 *
 * @param angle - degrees, any finite value
 * @returns -1 to 1; NaN for NaN and infinities
 */
export function cosDegrees(angle: number): number {
  return sinDegrees(angle + 90);
}
