import { segmentCrossing } from "../geometry/index.js";
import type { Line, Point } from "../geometry/types.js";

/** Metres; far above the rounding of stations, far below a step. */
const SLACK = 1e-6;

/**
 * Cut out the small loops of a line: where it comes back across itself within a short way, what lies between goes and
 * the crossing takes its place. Stretches driven there and back again go too.
 *
 * @param line - metres, neighbours differ
 * @param longest - length of a loop, along the line, that is still cut, metres
 * @returns the line without them, and how many of its points were dropped
 */
export function cutLoops(line: Line, longest: number): { points: Point[]; removed: number } {
  const points: Point[] = [];
  const stations: number[] = [];
  const push = (p: Point): void => {
    const before = points[points.length - 1];
    if (before !== undefined && before[0] === p[0] && before[1] === p[1]) return;
    stations.push(
      before === undefined ? 0 : stations[stations.length - 1]! + Math.hypot(p[0] - before[0], p[1] - before[1]),
    );
    points.push(p);
  };
  let crossings = 0;
  for (const next of line) {
    // each round cuts one loop: at the crossing that the new segment comes to first
    for (;;) {
      const end = points.length - 1;
      if (end < 1) break;
      const from = points[end]!;
      const back = points[end - 1]!;
      if (turnsBack(back, from, next)) {
        points.pop();
        stations.pop();
        continue;
      }
      let first = -1;
      let nearest = Number.POSITIVE_INFINITY;
      let place: Point = from;
      const length = Math.hypot(next[0] - from[0], next[1] - from[1]);
      for (let k = end - 2; k >= 0 && stations[end]! - stations[k + 1]! <= longest; k--) {
        // hot: the line cannot come nearer sooner than its own length allows
        const p = points[k + 1]!;
        const free = Math.hypot(p[0] - from[0], p[1] - from[1]) - length - SLACK;
        if (free > 0) {
          const reached = stations[k + 1]! - free;
          while (k >= 0 && stations[k]! > reached) k--;
          if (k < 0) break;
        }
        const met = segmentCrossing(from, next, points[k]!, points[k + 1]!);
        if (met.kind === "none") continue;
        const at = met.kind === "point" ? met.point : met.from;
        const along = Math.hypot(at[0] - from[0], at[1] - from[1]);
        if (along < nearest || (along === nearest && k < first)) {
          nearest = along;
          first = k;
          place = at;
        }
      }
      if (first < 0) break;
      points.length = first + 1;
      stations.length = first + 1;
      const before = points.length;
      push(place);
      crossings += points.length - before;
    }
    push(next);
  }
  return { points, removed: line.length - (points.length - crossings) };
}

// whether the way from b to c runs exactly back over the way from a to b
function turnsBack(a: Point, b: Point, c: Point): boolean {
  const ex = b[0] - a[0];
  const ey = b[1] - a[1];
  const fx = c[0] - b[0];
  const fy = c[1] - b[1];
  if (ex * fx + ey * fy >= 0) return false;
  return segmentCrossing(a, b, b, c).kind === "overlap";
}
