import { FeeringError } from "../errors/feering-error.js";
import type { Point } from "../geometry/types.js";
import { copyLabels } from "./labels.js";
import type { LineLabels, StraightLine } from "./reference-line.js";
import { requireNear } from "./require-near.js";

/** Shortest distance of A and B, metres: nearer than a millimetre two points have no direction that any fix could mean. */
export const SHORTEST_LINE = 1e-3;

/** Longest distance of A and B, metres: more than the way round the Earth is a mistake of unit. */
export const LONGEST_LINE = 5e7;

/**
 * An AB line through two points.
 *
 * @param a - point A, metres in the local frame
 * @param b - point B, metres; at least 1 mm and at most 50 000 km from A
 * @param labels - name, id and note to ride along
 * @returns a plain object of kind `"ab"`; the points are copied
 * @throws `FeeringError` `not-finite` for a bad point, `degenerate` when A and B coincide (nearer than 1 mm),
 * `out-of-range` when they are too far apart or beyond 1e8 m
 * @example
 * ```ts
 * const line = straightLine([0, 0], [0, 400], { name: "along the lane" });
 * ```
 */
export function straightLine(a: Point, b: Point, labels: LineLabels = {}): StraightLine {
  requireNear(a, "a");
  requireNear(b, "b");
  const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
  if (length < SHORTEST_LINE) {
    throw new FeeringError(
      "degenerate",
      `a line from (${a[0]}, ${a[1]}) to (${b[0]}, ${b[1]}) is ${length} m long, needs ${SHORTEST_LINE} m`,
      { argument: "b", value: b },
    );
  }
  if (!(length <= LONGEST_LINE)) {
    throw new FeeringError(
      "out-of-range",
      `a line from (${a[0]}, ${a[1]}) to (${b[0]}, ${b[1]}) is ${length} m long, needs at most ${LONGEST_LINE} m`,
      { argument: "b", value: b },
    );
  }
  const points = [[a[0] + 0, a[1] + 0] as const, [b[0] + 0, b[1] + 0] as const] as const;
  return { kind: "ab", points, ...copyLabels(labels) };
}
