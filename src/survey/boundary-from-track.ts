import { CoverageRecord } from "../coverage/index.js";
import { FeeringError, requireNumber, requireObject, requirePoints } from "../errors/index.js";
import type { Line } from "../geometry/types.js";
import { boundaryFromCoverage, type WorkedBoundary, type WorkedBoundaryOptions } from "./boundary-from-coverage.js";
import { sweepTrack } from "./swept-track.js";

/** Longest side of the box round one mark, cells. */
const MOST_CELLS = 20_000;

/** Options of {@link boundaryFromTrack}. */
export interface TrackBoundaryOptions extends WorkedBoundaryOptions {
  /** how far the middle of the width lies to the right of the antenna, metres, left negative; default 0 */
  readonly lateralOffset?: number;
  /** how far the tool lies ahead of the antenna, metres, behind negative; default 0 */
  readonly forwardOffset?: number;
  /** fixes nearer than this to the one before are passed over, metres; default 0.5, well above the receiver's noise */
  readonly minimumStep?: number;
  /**
   * steps between fixes longer than this are not swept: the track was left there, or not recorded; metres. Default the
   * larger of 10 and ten times the middle step
   */
  readonly maximumStep?: number;
  /** side of the cells that the ground is kept in, metres, 0.01 to 10; default 0.1, less for a width under 1 */
  readonly cellSize?: number;
}

/** What {@link boundaryFromTrack} gives. */
export interface TrackBoundary extends WorkedBoundary {
  /** length of the track that was swept, metres */
  readonly sweptLength: number;
  /** how many steps longer than `maximumStep` were left out */
  readonly cuts: number;
}

/**
 * A field's boundary from the track of a machine that worked it: the outline of the ground swept by its width.
 *
 * Between two fixes the tool goes straight and square to the step; at a fix it turns on the spot, about the antenna,
 * from one direction to the next. A turn of more than 120 degrees from one step to the next is the machine going over
 * to reverse, or back: the tool keeps its heading there. Then as {@link boundaryFromCoverage}, which the options go to.
 *
 * The track is where the tool worked: way driven with the tool lifted is for the caller to leave out, as several tracks
 * (mark each on one `CoverageRecord`) or as a step longer than `maximumStep`. Fixes that jump are to be dropped before.
 *
 * Accuracy: as `boundaryFromCoverage`; a turn is taken in steps of 3 degrees, whose chords cut 0.04 % off the radius.
 *
 * @param track - fixes of the antenna in driving order, metres
 * @param width - working width, metres
 * @param options - where the tool is, and how the outline is made
 * @returns the boundary, and what was swept
 * @throws `FeeringError` `too-few-points`, `not-finite`, `out-of-range`; `degenerate` for a track whose fixes all lie
 * within `minimumStep`
 * @example
 * ```ts
 * const strip = boundaryFromTrack([[0, 0], [0, 5], [0, 10]], 6);
 * strip.area; // 60
 * ```
 */
export function boundaryFromTrack(track: Line, width: number, options: TrackBoundaryOptions = {}): TrackBoundary {
  requirePoints(track, "track", 2);
  requireNumber(width, "width", { above: 0 });
  requireObject(options, "options");
  const lateral = requireNumber(options.lateralOffset ?? 0, "options.lateralOffset");
  const forward = requireNumber(options.forwardOffset ?? 0, "options.forwardOffset");
  const minimumStep = requireNumber(options.minimumStep ?? 0.5, "options.minimumStep", { min: 0 });
  const maximumStep =
    options.maximumStep === undefined
      ? undefined
      : requireNumber(options.maximumStep, "options.maximumStep", { above: 0 });
  const cellSize = requireNumber(options.cellSize ?? Math.max(0.01, Math.min(0.1, width / 10)), "options.cellSize", {
    above: 0,
  });
  // a piece of a step, or a turn, of the whole tool fits in one mark
  const maximumExtent = 200 + 2 * (width + Math.abs(lateral) + Math.abs(forward));
  const record = new CoverageRecord({ cellSize, maximumExtent: Math.min(maximumExtent, MOST_CELLS * cellSize) });
  const swept = sweepTrack(record, track, {
    left: lateral - width / 2,
    right: lateral + width / 2,
    forward,
    minimumStep,
    maximumStep,
  });
  if (swept.steps + swept.cuts === 0) {
    throw new FeeringError(
      "degenerate",
      `track has no length: all of its fixes lie within ${minimumStep} m (options.minimumStep) of the first`,
      { argument: "track" },
    );
  }
  if (record.refused > 0) {
    throw new FeeringError("out-of-range", "track or width reaches beyond what a coverage record holds", {
      argument: "track",
      value: width,
    });
  }
  return { ...boundaryFromCoverage(record, options), sweptLength: swept.length, cuts: swept.cuts };
}
