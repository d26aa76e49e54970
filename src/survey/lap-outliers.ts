import { FeeringError } from "../errors/index.js";
import type { Point } from "../geometry/types.js";
import type { LapTrack } from "./lap-standstill.js";

/** Longest run of fixes that is taken for an outlier. */
const OUTLIER_FIXES = 5;
/** A step this many times the middle one is looked at. */
const SUSPECT_STEPS = 4;
/** An outlier's way out and back is at least this many times the way without it. */
const DETOUR = 2;

/** Limits of {@link dropOutliers}; the track's times go by its own indices. */
export interface OutlierLimits {
  /** metres */
  readonly noiseRadius: number;
  /** longest step between fixes, metres; none: the larger of 10 m and ten times the middle step */
  readonly maximumStep: number | undefined;
  /** m/s */
  readonly maximumSpeed: number;
  /** seconds, one for each fix of the track as given */
  readonly times: readonly number[] | undefined;
}

/**
 * Drop fixes that jump out of the track and are back within five, at its ends too, and refuse a jump that does not
 * come back.
 *
 * @returns the track without them, how many were dropped, and the longest step left
 * @throws `FeeringError` `out-of-range` with the fix behind the jump as index and the step as value
 */
export function dropOutliers(track: LapTrack, limits: OutlierLimits): LapTrack & { removed: number; longest: number } {
  const middle = middleStep(track.points);
  const maximumStep = limits.maximumStep ?? Math.max(10, 10 * middle);
  const suspect = Math.max(SUSPECT_STEPS * middle, SUSPECT_STEPS * limits.noiseRadius);
  const isJump = (points: LapTrack, a: number, b: number): boolean => {
    const step = distance(points.points[a]!, points.points[b]!);
    if (step > maximumStep) return true;
    if (limits.times === undefined) return false;
    const seconds = limits.times[points.indices[b]!]! - limits.times[points.indices[a]!]!;
    return step > limits.maximumSpeed * seconds + SUSPECT_STEPS * limits.noiseRadius;
  };
  const { points, indices } = withoutEnds(withoutSpikes(track, suspect), isJump);
  let longest = 0;
  for (let i = 1; i < points.length; i++) {
    const step = distance(points[i - 1]!, points[i]!);
    longest = Math.max(longest, step);
    if (!isJump({ points, indices }, i - 1, i)) continue;
    const [x, y] = points[i - 1]!;
    throw new FeeringError(
      "out-of-range",
      `track jumps ${step.toFixed(2)} m from fix ${indices[i - 1]} at (${x.toFixed(2)}, ${y.toFixed(2)}) to fix ` +
        `${indices[i]}, more than options.maximumStep or options.maximumSpeed allow`,
      { argument: "track", index: indices[i]!, value: step },
    );
  }
  return { points, indices, removed: track.points.length - points.length, longest };
}

function withoutSpikes(track: LapTrack, suspect: number): LapTrack {
  const { points, indices } = track;
  const kept: LapTrack = { points: [], indices: [] };
  for (let i = 0; i < points.length; i++) {
    const before = kept.points[kept.points.length - 1];
    if (before !== undefined && distance(before, points[i]!) > suspect) {
      for (let back = i + 1; back <= i + OUTLIER_FIXES && back < points.length; back++) {
        const without = distance(before, points[back]!);
        const detour = distance(before, points[i]!) + distance(points[back - 1]!, points[back]!);
        const near = without <= suspect * (back - i + 1) && distance(points[back - 1]!, points[back]!) > suspect;
        if (near && detour > DETOUR * without) {
          i = back;
          break;
        }
      }
    }
    kept.points.push(points[i]!);
    kept.indices.push(indices[i]!);
  }
  return kept;
}

// a jump within a few fixes of an end leaves an outlier at that end
function withoutEnds(track: LapTrack, isJump: (track: LapTrack, a: number, b: number) => boolean): LapTrack {
  const n = track.points.length;
  let first = 0;
  let end = n;
  if (n > 4 * OUTLIER_FIXES) {
    for (let i = OUTLIER_FIXES; i >= 1 && first === 0; i--) if (isJump(track, i - 1, i)) first = i;
    for (let i = n - OUTLIER_FIXES; i < n && end === n; i++) if (isJump(track, i - 1, i)) end = i;
  }
  return { points: track.points.slice(first, end), indices: track.indices.slice(first, end) };
}

function middleStep(points: readonly Point[]): number {
  const steps = new Float64Array(Math.max(0, points.length - 1));
  for (let i = 1; i < points.length; i++) steps[i - 1] = distance(points[i - 1]!, points[i]!);
  return steps.sort()[steps.length >> 1] ?? 0;
}

function distance(a: Point, b: Point): number {
  return Math.hypot(b[0] - a[0], b[1] - a[1]);
}
