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

/**
 * Sine and cosine together, as {@link sinDegrees} has them, for loops in which no number may be boxed.
 *
 * @param pair - of two: takes the sine at 0 and the cosine at 1 of the angle that stands at 0, degrees
 */
export function turnPair(pair: Float64Array): void {
  const angle = pair[0]!;
  const quarter = Math.round(angle / 90);
  const rest = (angle - 90 * quarter) * RADIANS;
  const sine = Math.sin(rest);
  const cosine = Math.cos(rest);
  switch (((quarter % 4) + 4) % 4) {
    case 0:
      pair[0] = sine;
      pair[1] = cosine;
      return;
    case 1:
      pair[0] = cosine;
      pair[1] = -sine;
      return;
    case 2:
      pair[0] = -sine;
      pair[1] = -cosine;
      return;
    case 3:
      pair[0] = -cosine;
      pair[1] = sine;
      return;
    default:
      pair[0] = Number.NaN;
      pair[1] = Number.NaN;
  }
}
