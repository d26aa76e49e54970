import { FeeringError, requirePoints } from "../errors/index.js";
import { cleanLine, cleanRing, type Line, type Point } from "../geometry/index.js";
import { type FlatSource, flatSource } from "./flat-source.js";
import type { OffsetLineOptions } from "./types.js";

/** A line as an offset takes it. @internal */
export interface LineSource {
  readonly source: FlatSource;
  readonly closed: boolean;
}

/** Check a line, clean it as asked, and flatten it. @internal */
export function lineSource(line: Line, options: OffsetLineOptions): LineSource {
  requirePoints(line, "line", 2);
  const first = line[0]!;
  const last = line[line.length - 1]!;
  const returns = line.length > 3 && first[0] === last[0] && first[1] === last[1];
  const closed = options.closed ?? (returns && distinctAtLeast(line, 3));
  if (closed) requirePoints(line, "line", 3);
  let points: readonly Point[] = line;
  if (options.clean !== undefined) {
    points = closed ? cleanRing(line, options.clean) : cleanLine(line, options.clean);
  }
  if (!distinctAtLeast(points, 2)) {
    throw new FeeringError("degenerate", `line has no length: its ${line.length} points are one`, { argument: "line" });
  }
  if (closed && !distinctAtLeast(points, 3)) {
    throw new FeeringError("too-few-points", "line is closed and has 2 distinct points, needs 3", {
      argument: "line",
      value: 2,
    });
  }
  return { source: flatSource([points], closed, true), closed };
}

function distinctAtLeast(points: Line, count: number): boolean {
  const found: Point[] = [];
  for (const p of points) {
    if (found.some((q) => q[0] === p[0] && q[1] === p[1])) continue;
    found.push(p);
    if (found.length >= count) return true;
  }
  return false;
}
