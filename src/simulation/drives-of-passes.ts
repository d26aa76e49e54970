import { FeeringError, requireList, requireNumber, requireObject } from "../errors/index.js";
import { headingBetween, type Line, type Point, type Polygon } from "../geometry/index.js";
import { type GuidancePattern, passLine } from "../guidance/index.js";
import { headlandTurn, type HeadlandTurnOptions, type PathPoint, type Pose } from "../planning/index.js";
import type { Drive } from "./drive.js";

/** How passes are joined to a way. */
export interface PassDrivesOptions extends HeadlandTurnOptions {
  /** ground that passes are cut to; default the pattern's own ends, which run on by 1000 m where the pattern is extended */
  readonly within?: readonly Polygon[];
  /** whether the first pass is driven against its line; default false */
  readonly against?: boolean;
}

/**
 * Passes of a pattern as drives: to and fro, in the order given, joined by headland turns.
 *
 * A pass in several pieces is driven piece by piece, straight over the gaps with the tool off. Passes that the pattern has not, or that miss the ground, are left out.
 *
 * @param pattern - from `guidancePattern`
 * @param passes - numbers in driving order
 * @param options - radius and kinds of the turns, ground
 * @returns drives for a scenario
 * @throws `FeeringError` `degenerate` with the pass's place in the list where no turn leads to it; what `passLine` and `headlandTurn` throw
 *
 * @example
 * ```ts
 * const drives = drivesOfPasses(pattern, [0, 1, 2, 3], { radius: 7, curvatureRate: 0.05, within: mainfield });
 * ```
 */
export function drivesOfPasses(
  pattern: GuidancePattern,
  passes: readonly number[],
  options: PassDrivesOptions,
): Drive[] {
  requireList(passes, "passes");
  requireObject(options, "options");
  requireNumber(options.radius, "options.radius", { above: 0 });
  const drives: Drive[] = [];
  let against = options.against === true;
  let last: Line | null = null;
  passes.forEach((pass, index) => {
    const pieces = passLine(pattern, pass, options.within === undefined ? {} : { within: options.within });
    const lines = against ? pieces.map((piece) => [...piece].reverse()).reverse() : pieces;
    lines.forEach((line, i) => {
      if (i > 0) drives.push({ line: [last!.at(-1)!, line[0]!], working: false, kind: "connection" });
      else if (last !== null) drives.push(turn(last, line, options, index));
      drives.push({ line, kind: "swath" });
      last = line;
    });
    if (lines.length > 0) against = !against;
  });
  return drives;
}

function turn(from: Line, to: Line, options: HeadlandTurnOptions, index: number): Drive {
  const made = headlandTurn(pose(from.at(-2)!, from.at(-1)!), pose(to[0]!, to[1]!, true), options);
  if (made.kind === "none") {
    throw new FeeringError("degenerate", `passes[${index}] is reached by no turn: ${made.reason}`, {
      argument: "passes",
      index,
    });
  }
  return {
    line: made.points.map(({ x, y }): Point => [x, y]),
    working: false,
    kind: "turn",
    reversing: stretches(made.points),
  };
}

/** stretches driven backwards, as first and last index */
function stretches(points: readonly PathPoint[]): (readonly [first: number, last: number])[] {
  const found: [number, number][] = [];
  points.forEach(({ reversing }, i) => {
    if (!reversing) return;
    const open = found.at(-1);
    if (open?.[1] === i - 1) open[1] = i;
    else found.push([i, i]);
  });
  return found;
}

function pose(a: Point, b: Point, start = false): Pose {
  const [x, y] = start ? a : b;
  return { x, y, heading: headingBetween(a, b) };
}
