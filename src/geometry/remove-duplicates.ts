import { requireNumber, requireObject, requirePoints } from "../errors/index.js";
import type { Line, Point } from "./types.js";

/**
 * Points nearer than this count as one where nothing else is said, metres: a tenth of a millimetre, below the last digit
 * of any receiver and equal to the accuracy that cross-track error is promised with.
 */
export const DUPLICATE_DISTANCE = 1e-4;

/** Options of {@link removeDuplicates}. */
export interface RemoveDuplicatesOptions {
  /** points within this distance of the last one kept are dropped, metres; default {@link DUPLICATE_DISTANCE} */
  readonly within?: number;
  /** whether the points form a ring; then what repeats the first point at the end is dropped as well; default false */
  readonly closed?: boolean;
}

/**
 * Drop points that repeat the point before them.
 *
 * The first and the last point of a line stay, so that it keeps its ends. A ring comes back open.
 *
 * @param points - metres
 * @param options - distance, and whether they form a ring
 * @returns a new list of the points kept, none within the distance of the one before; one point when all coincide
 */
export function removeDuplicates(points: Line, options: RemoveDuplicatesOptions = {}): Point[] {
  requirePoints(points, "points", 0);
  requireObject(options, "options");
  const within = requireNumber(options.within ?? DUPLICATE_DISTANCE, "options.within", { min: 0 });
  const kept: Point[] = [];
  for (const point of points) {
    const last = kept[kept.length - 1];
    if (last === undefined || !near(last, point, within)) kept.push(point);
  }
  if (kept.length < 2) return kept;
  if (options.closed ?? false) {
    while (kept.length > 1 && near(kept[0]!, kept[kept.length - 1]!, within)) kept.pop();
    return kept;
  }
  const end = points[points.length - 1]!;
  if (kept[kept.length - 1] !== end) {
    kept[kept.length - 1] = end;
    while (kept.length > 2 && near(kept[kept.length - 2]!, end, within)) kept.splice(kept.length - 2, 1);
  }
  return kept;
}

function near(a: Point, b: Point, within: number): boolean {
  return Math.hypot(a[0] - b[0], a[1] - b[1]) <= within;
}
