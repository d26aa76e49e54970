import { headingLine } from "./heading-line.js";
import type { ReferenceLine } from "./reference-line.js";
import { straightLine } from "./straight-line.js";

/**
 * The same line walked the other way: right becomes left, and every pass number changes its sign.
 *
 * @param line - an AB line (A and B change places) or an A+ line (its heading turns round)
 * @returns a new line of the same kind with the same labels
 * @throws `FeeringError` as the maker of its kind does
 */
export function reverseLine(line: ReferenceLine): ReferenceLine {
  switch (line.kind) {
    case "ab":
      return straightLine(line.points[1], line.points[0], line);
    case "a-plus":
      return headingLine(line.points[0], line.heading + 180, line);
  }
}
