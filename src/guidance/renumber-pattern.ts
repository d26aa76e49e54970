import type { Point } from "../geometry/types.js";
import { type GuidancePattern, requireInteger } from "./guidance-pattern.js";
import { nearestPass } from "./pass-number.js";

/**
 * Go on counting from a number: the pass nearest to a point is called `pass` from here on, its neighbours follow.
 *
 * For work resumed at yesterday's number with today's line, or begun in mid-field. No pass moves; limits of
 * propagation stay on the same ground.
 *
 * @param pattern - left as it is
 * @param point - where the machine stands, metres
 * @param pass - number for the pass there, integer
 * @returns the renumbered pattern
 * @throws `FeeringError` `not-finite` for a bad point or number, `out-of-range` for a point beyond 1e8 m or a number that is not whole, and as
 * `guidancePattern` for a damaged pattern
 * @example
 * ```ts
 * const resumed = renumberPattern(pattern, [60, 10], 12); // the pass under the machine is pass 12
 * ```
 */
export function renumberPattern(pattern: GuidancePattern, point: Point, pass: number): GuidancePattern {
  const difference = requireInteger(pass, "pass") - nearestPass(pattern, point);
  return { ...pattern, firstPass: requireInteger(pattern.firstPass + difference, "pass") };
}
