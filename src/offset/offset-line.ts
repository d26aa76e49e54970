import { requireNumber } from "../errors/index.js";
import type { Line } from "../geometry/index.js";
import { offsetLineFamily } from "./offset-line-family.js";
import type { OffsetLine, OffsetLineOptions } from "./types.js";

/**
 * The parallel to a line on one side, exactly equidistant.
 *
 * Every point is its foot on the line plus the distance along the normal there, kept where nothing of the line is nearer:
 * no part of the line, on either side, and neither of its ends. So cusps at tight bends are trimmed, and a line that folds
 * or crosses itself gives several pieces, some of them loops. Ends are cut square. A line that is nearer to itself
 * everywhere gives an empty list; distance 0 gives the line itself. Ties survive: where two parts of the line are exactly
 * twice the distance apart, both their parallels stay. At an exact reversal the tip belongs to both sides.
 *
 * Before flattening every point lies within 1e-9 m of the distance and nothing at that distance is missing; arcs about
 * convex corners are flattened within the tolerance. At coordinates of 3e7 m the last digit of a number is 4e-9 m, and that
 * is the accuracy there.
 *
 * @param line - at least two distinct points, metres; may cross itself
 * @param distance - metres, right of the line's direction positive, left negative
 * @param options - tolerance, joins, closed line, cleaning
 * @returns the pieces, by rising station of their starts; each in the line's direction
 * @throws `FeeringError` `too-few-points`, `not-finite`, `out-of-range`, `degenerate` for a line of no length, `too-large`
 * beyond `options.maximumPoints`
 * @example
 * ```ts
 * const [right] = offsetLine([[0, 0], [0, 100], [100, 100]], 6);
 * right.points; // [[6, 0], [6, 94], [100, 94]]
 * ```
 */
export function offsetLine(line: Line, distance: number, options: OffsetLineOptions = {}): OffsetLine[] {
  requireNumber(distance, "distance");
  return offsetLineFamily(line, [distance], options)[0]!;
}
