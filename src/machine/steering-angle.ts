import { RADIANS } from "../geometry/angle.js";

/**
 * Angle of the front wheels for a curvature of the fixed axle's way: atan(wheelbase * curvature).
 *
 * A live call: never throws; NaN in gives NaN out.
 *
 * @param curvature - 1/m, right turn positive
 * @param wheelbase - from the fixed to the steered axle, metres
 * @returns degrees, right positive, of the wheel in the middle of the axle
 */
export function steeringAngle(curvature: number, wheelbase: number): number {
  return Math.atan(wheelbase * curvature) / RADIANS;
}

/**
 * Curvature of the fixed axle's way at an angle of the front wheels: tan(angle) / wheelbase. Its radius is wheelbase / tan(angle), that of the front axle
 * wheelbase / sin(angle).
 *
 * A live call: never throws; NaN in gives NaN out.
 *
 * @param angle - degrees, right positive, of the wheel in the middle of the axle
 * @param wheelbase - from the fixed to the steered axle, metres, not 0
 * @returns 1/m, right turn positive
 */
export function steeringCurvature(angle: number, wheelbase: number): number {
  return Math.tan(angle * RADIANS) / wheelbase;
}
