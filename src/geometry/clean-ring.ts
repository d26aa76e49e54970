import { FeeringError, requirePoints } from "../errors/index.js";
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
 * @throws `FeeringError` `too-few-points` when fewer than three distinct points were given, `not-finite`,
 * `out-of-range`, or `degenerate` when what is left lies on one line
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
  const distinct = countDistinct(points, duplicates);
  if (distinct < 3) {
    throw new FeeringError("too-few-points", `${argument} has ${distinct} distinct vertices, needs 3`, {
      argument,
      value: distinct,
    });
  }
  const spikes = options.spikes ?? DUPLICATE_DISTANCE;
  if (spikes !== false) points = removeSpikes(points, { width: spikes, closed: true });
  const collinear = options.collinear ?? false;
  if (collinear !== false && points.length >= 3) points = removeCollinear(points, { within: collinear, closed: true });
  if (points.length < 3 || isFlat(points)) {
    throw new FeeringError("degenerate", `${argument} has no area: its ${ring.length} points lie on one line`, {
      argument,
    });
  }
  return [...points, points[0]!];
}

// distinct points, counted up to three
function countDistinct(points: readonly Point[], within: number): number {
  const found: Point[] = [];
  for (const p of points) {
    if (found.every((q) => Math.hypot(p[0] - q[0], p[1] - q[1]) > within)) found.push(p);
    if (found.length === 3) break;
  }
  return found.length;
}

// whether all points lie on one line, to the rounding of the distances from it
function isFlat(points: readonly Point[]): boolean {
  const a = points[0]!;
  let b = a;
  let reach = 0;
  for (const p of points) {
    const distance = Math.hypot(p[0] - a[0], p[1] - a[1]);
    if (distance > reach) {
      reach = distance;
      b = p;
    }
  }
  const ex = (b[0] - a[0]) / reach;
  const ey = (b[1] - a[1]) / reach;
  return points.every((p) => Math.abs((p[0] - a[0]) * ey - (p[1] - a[1]) * ex) <= 4 * Number.EPSILON * reach);
}
