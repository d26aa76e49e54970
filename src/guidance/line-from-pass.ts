import { FeeringError } from "../errors/feering-error.js";
import { requireObject } from "../errors/require.js";
import type { Line, Point } from "../geometry/types.js";
import { circleLine } from "./circle-line.js";
import { closedLine } from "./closed-line.js";
import { curvedLine } from "./curved-line.js";
import { curvePieces } from "./curve-pieces.js";
import { type GuidancePattern, requireInteger } from "./guidance-pattern.js";
import { headingLine } from "./heading-line.js";
import { passOffset } from "./pass-number.js";
import type { LineLabels, ReferenceLine } from "./reference-line.js";
import { requirePattern } from "./require-pattern.js";
import { SMALLEST_RADIUS } from "./circle-line.js";
import { isStraight, patternAxis } from "./straight-axis.js";
import { straightLine } from "./straight-line.js";

/**
 * A new reference line on a pass of a pattern, shift included: from here on it is a line of its own.
 *
 * A curve's pass may come in several pieces: the longest is taken. {@link linesFromPass} gives all of them.
 *
 * @param pattern - from `guidancePattern`
 * @param pass - its number, integer; one beyond the pattern's limits is as good
 * @param labels - name, id and note of the new line; those of the old one are not taken over
 * @returns a line: A and B moved square to a straight line, a circle of another radius, else a curve, or a closed line where the
 * pass is a loop. Its extension is not part of it
 * @throws `FeeringError` `not-finite` or `out-of-range` for a bad number, `degenerate` where nothing is left of the pass,
 * and as `guidancePattern` for a damaged pattern
 */
export function lineFromPass(pattern: GuidancePattern, pass: number, labels: LineLabels = {}): ReferenceLine {
  const [longest] = linesFromPass(pattern, pass, labels);
  if (longest === undefined) {
    throw new FeeringError("degenerate", `nothing is left of pass ${pass}: it is trimmed away altogether`, {
      argument: "pass",
      value: pass,
    });
  }
  return longest;
}

/**
 * All the pieces of a pass as new reference lines, the longest first.
 *
 * @param pattern - from `guidancePattern`
 * @param pass - its number, integer
 * @param labels - name, id and note of every line
 * @returns a list of lines as from {@link lineFromPass}; empty where nothing is left of the pass
 * @throws `FeeringError` `not-finite` or `out-of-range` for a bad number, and as `guidancePattern` for a damaged pattern
 */
export function linesFromPass(pattern: GuidancePattern, pass: number, labels: LineLabels = {}): ReferenceLine[] {
  requirePattern(pattern);
  requireObject(labels, "labels");
  const right = passOffset(pattern, requireInteger(pass, "pass"));
  const { line, shift } = pattern;
  if (isStraight(pattern)) {
    const axis = patternAxis(pattern);
    const east = shift.east + right * axis.alongY;
    const north = shift.north - right * axis.alongX;
    const moved = ([x, y]: Point): Point => [x + east, y + north];
    const straight = pattern.line;
    const a = moved(straight.points[0]);
    return [
      straight.kind === "ab"
        ? straightLine(a, moved(straight.points[1]), labels)
        : headingLine(a, straight.heading, labels),
    ];
  }
  if (line.kind === "pivot") {
    const radius = line.radius + (line.rotation === "clockwise" ? -right : right);
    if (radius < SMALLEST_RADIUS) return [];
    const [x, y] = line.points[0];
    const { rotation, start, end } = line;
    const options = { rotation, start, ...(end === undefined ? {} : { end }), ...labels };
    return [circleLine([x + shift.east, y + shift.north], radius, options)];
  }
  return curvePieces({ ...pattern, extension: "none" }, right, 0)
    .map((piece) => ({ piece, length: lengthOf(piece.points) }))
    .filter(({ piece, length }) => length >= SHORTEST_PIECE && piece.points.length >= (piece.closed ? 4 : 2))
    .sort((a, b) => b.length - a.length)
    .map(({ piece }) =>
      piece.closed
        ? closedLine(piece.points, labels)
        : curvedLine(piece.points, { standstill: 0, spikes: false, ...labels }),
    );
}

/** A shorter piece is none, metres. */
const SHORTEST_PIECE = 1e-2;

function lengthOf(line: Line): number {
  let sum = 0;
  for (let i = 1; i < line.length; i++) sum += Math.hypot(line[i]![0] - line[i - 1]![0], line[i]![1] - line[i - 1]![1]);
  return sum;
}
