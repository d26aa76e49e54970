import { requireObject, requirePoints } from "../errors/require.js";
import { checkLine } from "./check-line.js";
import { circleLine } from "./circle-line.js";
import { headingLine } from "./heading-line.js";
import type { ReferenceLine, Rotation } from "./reference-line.js";
import { spiralLine } from "./spiral-line.js";
import { straightLine } from "./straight-line.js";

/**
 * The same line walked the other way: right becomes left, and every pass number changes its sign.
 *
 * @param line - an AB line (A and B change places), an A+ line (its heading turns round), a curve or spiral (from its end
 * to its start), a closed line or circle (the other way round, from the same place)
 * @returns a new line of the same kind with the same labels
 * @throws `FeeringError` as the maker of its kind does
 */
export function reverseLine(line: ReferenceLine): ReferenceLine {
  requireObject(line, "line");
  const ends = line.kind === "curve" || line.kind === "closed";
  if (ends) requirePoints(line.points, "line.points", 2);
  else checkLine(line, "line");
  switch (line.kind) {
    case "ab":
      return straightLine(line.points[1], line.points[0], line);
    case "a-plus":
      return headingLine(line.points[0], line.heading + 180, line);
    case "curve":
      return { ...line, points: [...line.points].reverse() };
    case "closed":
      return { ...line, points: [line.points[0]!, ...line.points.slice(1).reverse()] };
    case "pivot":
      return circleLine(line.points[0], line.radius, {
        ...line,
        rotation: opposite(line.rotation),
        ...(line.end === undefined ? {} : { start: line.end, end: line.start }),
      });
    case "spiral": {
      const turned = (Math.abs(line.endRadius - line.startRadius) / line.pitch) * 360;
      return spiralLine(line.points[0], {
        ...line,
        startRadius: line.endRadius,
        endRadius: line.startRadius,
        rotation: opposite(line.rotation),
        start: line.start + (line.rotation === "clockwise" ? turned : -turned),
      });
    }
  }
}

function opposite(rotation: Rotation): Rotation {
  return rotation === "clockwise" ? "counter-clockwise" : "clockwise";
}
