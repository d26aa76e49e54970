import { FeeringError, requirePoints } from "../errors/index.js";
import { signedArea } from "./area.js";
import { boundsOf } from "./bounds.js";
import { type CleanOptions, checkCleanOptions } from "./clean-line.js";
import { removeCollinear } from "./remove-collinear.js";
import { DUPLICATE_DISTANCE, removeDuplicates } from "./remove-duplicates.js";
import { removeSpikes } from "./remove-spikes.js";
import type { Point, Ring } from "./types.js";

/**
 * Clean a ring: duplicate points, spikes, and points in straight runs where asked for. Its winding stays.
 *
 * @param ring - open or closed, metres, finite
 * @param options - which steps
 * @returns a new ring, closed, of at least three distinct points
 * @throws {@link FeeringError} `too-few-points` when fewer than three distinct points were given, `not-finite`,
 * `out-of-range`, or `degenerate` when nothing of any area is left
 */
export function cleanRing(ring: Ring, options: CleanOptions = {}): Point[] {
  return cleanRingNamed(ring, options, "ring");
}

/**
 * {@link cleanRing} with the argument's name for its messages.
 *
 * @internal
 */
export function cleanRingNamed(ring: Ring, options: CleanOptions, argument: string): Point[] {
  requirePoints(ring, argument, 3);
  checkCleanOptions(options);
  const duplicates = options.duplicates ?? DUPLICATE_DISTANCE;
  let points = removeDuplicates(ring, { within: duplicates, closed: true });
  if (points.length < 3) {
    throw new FeeringError("too-few-points", `${argument} has ${points.length} distinct vertices, needs 3`, {
      argument,
      value: points.length,
    });
  }
  const spikes = options.spikes ?? DUPLICATE_DISTANCE;
  if (spikes !== false) points = removeSpikes(points, { width: spikes, closed: true });
  const collinear = options.collinear ?? false;
  if (collinear !== false && points.length >= 3) points = removeCollinear(points, { within: collinear, closed: true });
  // the rounding of the shoelace sum: an area below it is none
  const { minX, minY, maxX, maxY } = boundsOf(points);
  const span = Math.hypot(maxX - minX, maxY - minY);
  if (points.length < 3 || Math.abs(signedArea(points)) <= points.length * Number.EPSILON * span * span) {
    throw new FeeringError("degenerate", `${argument} has no area: its ${ring.length} points lie on one line`, {
      argument,
    });
  }
  return [...points, points[0]!];
}
