import { requireNumber } from "../errors/index.js";
import { RADIANS } from "../geometry/angle.js";

/**
 * Angle of a slope given as rise over run.
 *
 * @param gradient - metres of rise for each metre of plan distance: 0.05 for a slope of 5 %; downhill negative
 * @returns degrees, more than -90 and less than 90
 * @throws `FeeringError` `not-finite`
 */
export function slopeAngle(gradient: number): number {
  return Math.atan(requireNumber(gradient, "gradient")) / RADIANS;
}

/**
 * Area on the slope from the area on the plan: what product has to cover where a map gives the plan. A field of 10 %
 * has 0.5 % more slope area than plan area.
 *
 * @param area - plan (horizontal) area, m²
 * @param slope - angle of an even slope, degrees, more than -90 and less than 90
 * @returns m², the plan area over the cosine of the slope
 * @throws `FeeringError` `not-finite`, or `out-of-range` for a slope of 90 degrees and more
 */
export function slopeArea(area: number, slope: number): number {
  return requireNumber(area, "area") / cosine(slope);
}

/**
 * Area on the plan from the area on the slope: what registers of land and payments count (plan area is the custom
 * there; common practice, no source).
 *
 * @param area - area on the slope, m²
 * @param slope - angle of an even slope, degrees, more than -90 and less than 90
 * @returns m², the slope area times the cosine of the slope
 * @throws `FeeringError` `not-finite`, or `out-of-range` for a slope of 90 degrees and more
 */
export function planArea(area: number, slope: number): number {
  return requireNumber(area, "area") * cosine(slope);
}

function cosine(slope: number): number {
  requireNumber(slope, "slope", { above: -90 });
  // a slope of exactly 90 degrees has no plan
  requireNumber(-slope, "slope", { above: -90 });
  return Math.cos(slope * RADIANS);
}
