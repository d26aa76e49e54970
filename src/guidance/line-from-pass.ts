import { type GuidancePattern, requireInteger } from "./guidance-pattern.js";
import { headingLine } from "./heading-line.js";
import { passOffset } from "./pass-number.js";
import type { LineLabels, ReferenceLine } from "./reference-line.js";
import { patternAxis } from "./straight-axis.js";
import { straightLine } from "./straight-line.js";

/**
 * A new reference line on a pass of a pattern, shift included: from here on it is a line of its own.
 *
 * @param pattern - from `guidancePattern`
 * @param pass - its number, integer; one beyond the pattern's limits is as good
 * @param labels - name, id and note of the new line; those of the old one are not taken over
 * @returns a line of the same kind, A and B moved square to the line
 * @throws `FeeringError` `not-finite` or `out-of-range` for a bad number
 */
export function lineFromPass(pattern: GuidancePattern, pass: number, labels: LineLabels = {}): ReferenceLine {
  const axis = patternAxis(pattern);
  const right = passOffset(pattern, requireInteger(pass, "pass"));
  const east = pattern.shift.east + right * axis.alongY;
  const north = pattern.shift.north - right * axis.alongX;
  const line = pattern.line;
  const a = line.points[0];
  if (line.kind === "a-plus") return headingLine([a[0] + east, a[1] + north], line.heading, labels);
  const b = line.points[1];
  return straightLine([a[0] + east, a[1] + north], [b[0] + east, b[1] + north], labels);
}
