import { FeeringError, requireNumber, requireObject, requirePoints } from "../errors/index.js";
import { removeCollinear } from "./remove-collinear.js";
import { DUPLICATE_DISTANCE, removeDuplicates } from "./remove-duplicates.js";
import { removeSpikes } from "./remove-spikes.js";
import type { Line, Point } from "./types.js";

/** Which cleaning steps to do, and how coarsely. */
export interface CleanOptions {
  /** points within this distance count as one, metres; default `DUPLICATE_DISTANCE` */
  readonly duplicates?: number;
  /**
   * folds narrower than this are spikes, metres; `false`: keep them. Default: `DUPLICATE_DISTANCE` for a ring, `false`
   * for a line, where a stretch driven there and back is no fault
   */
  readonly spikes?: number | false;
  /** points this near to straight runs are dropped, 0 for exactly straight ones, metres; default `false`: keep them */
  readonly collinear?: number | false;
}

/**
 * Clean a line: duplicate points, then spikes and points in straight runs where asked for. It keeps both its ends.
 *
 * @param line - metres, finite
 * @param options - which steps
 * @returns a new line of at least two distinct points
 * @throws `FeeringError` `too-few-points`, `not-finite`, `out-of-range`, or `degenerate` when fewer than two
 * points are left
 */
export function cleanLine(line: Line, options: CleanOptions = {}): Point[] {
  requirePoints(line, "line", 2);
  checkCleanOptions(options);
  let points = removeDuplicates(line, { within: options.duplicates ?? DUPLICATE_DISTANCE });
  const spikes = options.spikes ?? false;
  if (spikes !== false) points = removeSpikes(points, { width: spikes });
  const collinear = options.collinear ?? false;
  if (collinear !== false) points = removeCollinear(points, { within: collinear });
  if (points.length < 2) {
    throw new FeeringError("degenerate", `line has no length: its ${line.length} points are one when cleaned`, {
      argument: "line",
    });
  }
  return points;
}

/**
 * @internal
 */
export function checkCleanOptions(options: CleanOptions): void {
  requireObject(options, "options");
  if (options.duplicates !== undefined) requireNumber(options.duplicates, "options.duplicates", { min: 0 });
  if (options.spikes !== undefined && options.spikes !== false) {
    requireNumber(options.spikes, "options.spikes", { min: 0 });
  }
  if (options.collinear !== undefined && options.collinear !== false) {
    requireNumber(options.collinear, "options.collinear", { min: 0 });
  }
}
