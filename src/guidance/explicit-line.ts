import { FeeringError } from "../errors/feering-error.js";
import { requireObject, requirePoints } from "../errors/require.js";
import { removeDuplicates } from "../geometry/remove-duplicates.js";
import type { Line } from "../geometry/types.js";
import type { ExplicitLine } from "./follower-snapshot.js";
import { requireAllNear } from "./require-near.js";
import { SHORTEST_LINE } from "./straight-line.js";

/** Settings of `PassFollower.followLine`. */
export interface ExplicitLineOptions {
  /** whether the line is a loop; default: it is one when its last point repeats its first and it has three distinct points */
  readonly closed?: boolean;
}

/** Nearer points than this have no direction between them, metres. */
const NO_DIRECTION = 1e-9;

/** Check a line to be followed as it is, and copy it without repeated points. */
export function explicitLine(line: Line, options: ExplicitLineOptions): ExplicitLine {
  requirePoints(line, "line", 2);
  requireObject(options, "options");
  requireAllNear(line, "line");
  const first = line[0]!;
  const last = line[line.length - 1]!;
  const closed = options.closed ?? (line.length > 3 && first[0] === last[0] && first[1] === last[1]);
  const points = removeDuplicates(line, { within: NO_DIRECTION, closed });
  let extent = 0;
  for (const p of points) extent = Math.max(extent, Math.hypot(p[0] - first[0], p[1] - first[1]));
  if (points.length < (closed ? 3 : 2) || extent < SHORTEST_LINE) {
    throw new FeeringError("degenerate", `line of ${line.length} points has no length`, { argument: "line" });
  }
  return { points: points.map(([x, y]) => [x + 0, y + 0] as const), closed };
}
