import { requireNumber, requireObject } from "../errors/index.js";
import { fitPairs, pairRuns } from "./run-pairs.js";
import { runProfiles, tooFew } from "./run-profiles.js";

/** One run along the line, as logged. */
export interface DrivenRun {
  /** antenna positions in driving order, metres east and north in one frame; 5 at least; without the turns at the ends */
  readonly points: readonly (readonly [x: number, y: number])[];
  /** heading of the machine, degrees clockwise from the frame's north: which way the cab looked; default from the first points to the last */
  readonly heading?: number;
  /** middle of the run, s; default: runs follow each other evenly, in the order of the list. Counts only when every run has one */
  readonly time?: number;
}

/** Options of {@link lateralOffsetFromRuns}. */
export interface LateralOffsetOptions {
  /** shortest run, and shortest stretch that all runs have in common, metres; default 20 */
  readonly minimumLength?: number;
}

/** The receiver's lateral offset, and how well it is known. */
export interface LateralOffset {
  /** metres, positive when the antenna stands right of where it is taken to stand */
  readonly offset: number;
  /** standard error of the offset, metres */
  readonly standardError: number;
  /** runs given */
  readonly runs: number;
  /** mean places of the runs out (the first one's direction) and back, metres to the right of the first run, looking along it */
  readonly means: {
    /** of the runs out, metres */
    readonly out: number;
    /** of the runs back, metres */
    readonly back: number;
  };
  /** root mean square of what is left at single places of the line, metres: steering, noise and drift of the receiver */
  readonly leftOver: number;
  /** pairs of runs left out because they lie far from the others; 0 where there are fewer than 5 */
  readonly leftOut: number;
}

/**
 * The receiver's lateral offset from one line driven both ways: half of what the runs out and the runs back lie apart.
 *
 * Drive along something that the eye can follow, your own wheel marks or a row of pegs, by hand: steered by this same receiver the antenna, not the
 * machine, follows the line and nothing is seen. Runs are compared place by place with the neighbour in time that went the other way, so a line
 * that is not quite straight does no harm and drift of the receiver cancels: a steady one wholly where runs go out and back and out again.
 *
 * Add the offset to the antenna's y of the machine; when the points are already of the reference point, it is what the y in use lacks.
 *
 * @param runs - out and back in turn; 4 or more runs tell the receiver's drift from the offset, 2 are the least
 * @param options - shortest length
 * @returns the offset with its standard error, which takes the larger of two: of the scatter of the pairs, and of the scatter along the line
 * @throws `FeeringError` `too-few-points` for fewer than 2 runs, all of one direction, or a run of fewer than 5 points; `out-of-range` for a run,
 * or a stretch in common, shorter than `minimumLength` and for a heading more than 30 degrees off the line; `not-finite`
 *
 * @example
 * ```ts
 * const out = Array.from({ length: 50 }, (_, i): [number, number] => [0.12, 2 * i]);
 * const back = Array.from({ length: 50 }, (_, i): [number, number] => [-0.08, 98 - 2 * i]);
 * lateralOffsetFromRuns([{ points: out }, { points: back }]).offset; // 0.1: the antenna stands 10 cm right
 * ```
 */
export function lateralOffsetFromRuns(runs: readonly DrivenRun[], options: LateralOffsetOptions = {}): LateralOffset {
  requireObject(options, "options");
  const minimumLength = requireNumber(options.minimumLength ?? 20, "options.minimumLength", { above: 0 });
  const profiles = runProfiles(runs, minimumLength);
  for (const [direction, name] of [
    [1, "out"],
    [-1, "back"],
  ] as const) {
    const count = profiles.filter((profile) => profile.direction === direction).length;
    if (count === 0) throw tooFew(`runs has 0 runs ${name}, needs 1`, count);
  }
  const pairs = pairRuns(profiles);
  const fit = fitPairs(pairs);
  return {
    offset: fit.offset + 0,
    standardError: fit.standardError,
    runs: profiles.length,
    means: { out: meanOf(profiles, 1), back: meanOf(profiles, -1) },
    leftOver: fit.leftOver,
    leftOut: pairs.length - fit.used,
  };
}

function meanOf(profiles: ReturnType<typeof runProfiles>, direction: 1 | -1): number {
  let sum = 0;
  let count = 0;
  for (const profile of profiles) {
    if (profile.direction !== direction) continue;
    for (const value of profile.lateral) {
      if (Number.isNaN(value)) continue;
      sum += value;
      count++;
    }
  }
  return sum / count;
}
