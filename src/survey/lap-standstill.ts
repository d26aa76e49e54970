import type { Line, Point } from "../geometry/types.js";

/** A track as it is cleaned step by step: points, and for each the index in the track as given. */
export interface LapTrack {
  readonly points: Point[];
  readonly indices: number[];
}

/** Points beyond the noise radius that a standstill may swallow, as long as the next one is back. */
const EXCURSION = 10;
/** A standstill has at least this many fixes. */
const STANDING_FIXES = 5;
/** Noise walks up and down in the circle; a machine that drives through it covers its diameter, twice at most. */
const STANDING_PATH = 4;

/**
 * Put one point, their mean, in the place of fixes that stay within a circle while the machine stands. Points driven
 * through at any speed above the noise stay as they are; exact repetitions go.
 *
 * A standstill is seen from the shape alone: fixes stay within `radius` of their running mean while the path through
 * them is longer than four radii.
 *
 * @param track - metres
 * @param radius - of the circle, metres
 * @returns the track without standstills, and how many fixes were dropped
 */
export function collapseStandstills(track: Line, radius: number): LapTrack & { removed: number } {
  const points: Point[] = [];
  const indices: number[] = [];
  const n = track.length;
  let i = 0;
  while (i < n) {
    const start = i;
    let x = track[i]![0];
    let y = track[i]![1];
    let count = 1;
    let path = 0;
    let last = track[i]!;
    for (i++; i < n; i++) {
      const p = track[i]!;
      if (Math.hypot(p[0] - x, p[1] - y) > radius) {
        if (!stands(count, path, radius)) break;
        const back = returning(track, i, x, y, radius);
        if (back < 0) break;
        i = back;
      }
      const q = track[i]!;
      path += Math.hypot(q[0] - last[0], q[1] - last[1]);
      last = q;
      count++;
      x += (q[0] - x) / count;
      y += (q[1] - y) / count;
    }
    if (stands(count, path, radius)) {
      points.push([x, y]);
      indices.push(start);
    } else {
      for (let k = start; k < i; k++) {
        const p = track[k]!;
        const before = points[points.length - 1];
        if (before !== undefined && before[0] === p[0] && before[1] === p[1]) continue;
        points.push(p);
        indices.push(k);
      }
    }
  }
  return { points, indices, removed: n - points.length };
}

function stands(count: number, path: number, radius: number): boolean {
  return count >= STANDING_FIXES && path > STANDING_PATH * radius;
}

// the next fix that is back in the circle, or -1
function returning(track: Line, from: number, x: number, y: number, radius: number): number {
  const end = Math.min(track.length, from + EXCURSION + 1);
  for (let i = from + 1; i < end; i++) {
    if (Math.hypot(track[i]![0] - x, track[i]![1] - y) <= radius) return i;
  }
  return -1;
}
