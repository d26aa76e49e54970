import type { Point } from "../geometry/types.js";
import { requirePoint } from "../errors/require.js";
import type { GuidancePattern } from "./guidance-pattern.js";
import { patternAxis, rightOf } from "./straight-axis.js";

/** Lowest number a pattern has; minus infinity where there is no limit. */
export function lowestPass(pattern: GuidancePattern): number {
  if (pattern.propagation === "right" || pattern.propagation === "none") return pattern.firstPass;
  return pattern.firstPass - (pattern.swathsLeft ?? Number.POSITIVE_INFINITY);
}

/** Highest number a pattern has; infinity where there is no limit. */
export function highestPass(pattern: GuidancePattern): number {
  if (pattern.propagation === "left" || pattern.propagation === "none") return pattern.firstPass;
  return pattern.firstPass + (pattern.swathsRight ?? Number.POSITIVE_INFINITY);
}

/** Distance of a pass from the reference line, metres, right positive. */
export function passOffset(pattern: GuidancePattern, pass: number): number {
  return pattern.firstPassOffset + (pass - pattern.firstPass) * pattern.swathWidth + 0;
}

/**
 * The pass nearest to a point, among those that the pattern has.
 *
 * Half-way between two passes it is the one to the right, within rounding.
 *
 * @param pattern - from `guidancePattern`
 * @param point - metres
 * @returns pass number
 * @throws `FeeringError` `not-finite` for a bad point
 */
export function nearestPass(pattern: GuidancePattern, point: Point): number {
  requirePoint(point, "point");
  const away = rightOf(patternAxis(pattern), point[0], point[1]) - pattern.firstPassOffset;
  const pass = pattern.firstPass + Math.round(away / pattern.swathWidth);
  return Math.min(highestPass(pattern), Math.max(lowestPass(pattern), pass)) + 0;
}
