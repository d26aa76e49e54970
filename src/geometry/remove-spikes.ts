import { requireNumber, requireObject, requirePoints } from "../errors/index.js";
import { DUPLICATE_DISTANCE } from "./remove-duplicates.js";
import type { Line, Point } from "./types.js";

/** Options of {@link removeSpikes}. */
export interface RemoveSpikesOptions {
  /** a fold narrower than this is a spike, metres; default `DUPLICATE_DISTANCE` */
  readonly width?: number;
  /** whether the points form a ring; default false */
  readonly closed?: boolean;
}

/**
 * Drop the tips of spikes: points where the way runs out and straight back on itself.
 *
 * A tip is dropped when the way turns back there and the shorter of its two arms ends within the width of the longer.
 * What the drop leaves is looked at again, so a spike of many points goes as a whole. In an open line this also takes
 * away a stretch that was driven there and back: use it there only where such a stretch is a fault.
 *
 * @param points - without duplicates, metres; a ring without its closing point
 * @param options - width, and whether they form a ring
 * @returns a new list of the points kept; a ring of no area may shrink to fewer than three
 */
export function removeSpikes(points: Line, options: RemoveSpikesOptions = {}): Point[] {
  requirePoints(points, "points", 0);
  requireObject(options, "options");
  const width = requireNumber(options.width ?? DUPLICATE_DISTANCE, "options.width", { min: 0 });
  const kept: Point[] = [];
  for (const point of points) {
    kept.push(point);
    settle(kept, width);
  }
  if (!(options.closed ?? false)) return kept;
  // round the seam: a tip may stand at either end of the list
  let from = 0;
  let to = kept.length;
  for (let again = true; again && to - from >= 3; ) {
    again = false;
    const first = kept[from]!;
    const last = kept[to - 1]!;
    const repeated = Math.hypot(first[0] - last[0], first[1] - last[1]) <= width;
    if (repeated || isSpike(kept[to - 2]!, last, first, width)) {
      to--;
      again = true;
    } else if (isSpike(last, first, kept[from + 1]!, width)) {
      from++;
      again = true;
    }
  }
  return kept.slice(from, to);
}

// the newest point may make the one before it a tip, and that one gone, its predecessor
function settle(kept: Point[], width: number): void {
  while (kept.length >= 3) {
    const n = kept.length;
    const before = kept[n - 3]!;
    const after = kept[n - 1]!;
    if (!isSpike(before, kept[n - 2]!, after, width)) return;
    kept.splice(n - 2, 1);
    // the way came back to where it left: what is new adds nothing
    if (Math.hypot(before[0] - after[0], before[1] - after[1]) <= width) {
      kept.pop();
      return;
    }
  }
}

function isSpike(a: Point, tip: Point, b: Point, width: number): boolean {
  const ux = a[0] - tip[0];
  const uy = a[1] - tip[1];
  const vx = b[0] - tip[0];
  const vy = b[1] - tip[1];
  const dot = ux * vx + uy * vy;
  if (!(dot > 0)) return false;
  const longer = Math.max(Math.hypot(ux, uy), Math.hypot(vx, vy));
  return Math.abs(ux * vy - uy * vx) / longer <= width;
}
