import { requireNumber } from "../errors/require.js";
import { wrapHeading } from "../geometry/angle.js";
import type { Point } from "../geometry/types.js";
import { copyLabels } from "./labels.js";
import type { HeadingLine, LineLabels } from "./reference-line.js";
import { requireNear } from "./require-near.js";

/**
 * An A+ line: through one point in a given heading.
 *
 * The heading is the frame's own. A true heading read off a map or a task file goes through the frame first
 * (`frame.headingToLocal`), for away from the frame's origin the two differ.
 *
 * @param a - point A, metres in the local frame
 * @param heading - degrees clockwise from the frame's north, any finite value; kept in 0..360
 * @param labels - name, id and note to ride along
 * @returns a plain object of kind `"a-plus"`
 * @throws `FeeringError` `not-finite` for a bad point or heading, `out-of-range` for a point beyond 1e8 m
 * @example
 * ```ts
 * const eastward = headingLine([0, 0], 90, { name: "across" });
 * ```
 */
export function headingLine(a: Point, heading: number, labels: LineLabels = {}): HeadingLine {
  requireNear(a, "a");
  requireNumber(heading, "heading");
  return { kind: "a-plus", points: [[a[0] + 0, a[1] + 0]], heading: wrapHeading(heading), ...copyLabels(labels) };
}
