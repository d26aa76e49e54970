import type { Line, Point } from "../geometry/types.js";

/** Fewest fixes that make a standstill. */
const FEWEST = 5;

/** A way this many times longer than the ground it gained is wandering, not driving. */
const WANDER = 3;

/**
 * Replace each run of points that wander about within a distance by their mean; a run at an end of the line by that end.
 *
 * A line that is driven on, however densely recorded, stays as it is: its way is as long as the ground it gains.
 */
export function removeStandstill(points: Line, within: number): Point[] {
  const kept: Point[] = [];
  const n = points.length;
  let i = 0;
  while (i < n) {
    const from = points[i]!;
    let way = 0;
    let end = i + 1;
    // the last place where the run still counts as standing
    let stop = i;
    while (end < n) {
      const p = points[end]!;
      const gained = Math.hypot(p[0] - from[0], p[1] - from[1]);
      if (gained > within) break;
      const before = points[end - 1]!;
      way += Math.hypot(p[0] - before[0], p[1] - before[1]);
      if (end - i + 1 >= FEWEST && way >= WANDER * gained) stop = end;
      end++;
    }
    if (stop === i) {
      kept.push(from);
      i++;
      continue;
    }
    if (i === 0) kept.push(from);
    else if (stop === n - 1) kept.push(points[stop]!);
    else kept.push(mean(points, i, stop));
    // a line that stands still throughout keeps both its ends
    if (i === 0 && stop === n - 1) kept.push(points[stop]!);
    i = stop + 1;
  }
  return kept;
}

function mean(points: Line, from: number, to: number): Point {
  const [x0, y0] = points[from]!;
  let x = 0;
  let y = 0;
  for (let i = from; i <= to; i++) {
    x += points[i]![0] - x0;
    y += points[i]![1] - y0;
  }
  const count = to - from + 1;
  return [x0 + x / count, y0 + y / count];
}
