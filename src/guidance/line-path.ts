import type { Line } from "../geometry/types.js";
import type { ClosedLine, CurvedLine, ReferenceLine, SpiralLine } from "./reference-line.js";
import { spiralPoints } from "./spiral-line.js";

/** A chain of points to walk along, and whether it returns to its first. */
export interface LinePath {
  /** no point repeats the one before; a closed chain does not repeat its first */
  readonly points: Line;
  /** whether the last point is joined to the first */
  readonly closed: boolean;
}

/** Lines that are followed as a chain of points. */
export type ChainLine = CurvedLine | SpiralLine | ClosedLine;

/** Whether a line is followed as a chain of points. */
export function isChain(line: ReferenceLine): line is ChainLine {
  return line.kind === "curve" || line.kind === "spiral" || line.kind === "closed";
}

/** The chain of points of a line. */
export function linePath(line: ChainLine): LinePath {
  if (line.kind === "spiral") return { points: spiralPoints(line), closed: false };
  return { points: line.points, closed: line.kind === "closed" };
}
