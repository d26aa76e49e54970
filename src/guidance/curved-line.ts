import { FeeringError } from "../errors/feering-error.js";
import { requireNumber, requireObject, requirePoints } from "../errors/require.js";
import { cleanLine } from "../geometry/clean-line.js";
import { LineIndex } from "../geometry/line-index.js";
import { DUPLICATE_DISTANCE } from "../geometry/remove-duplicates.js";
import type { Line, Point } from "../geometry/types.js";
import { copyLabels } from "./labels.js";
import type { CurvedLine, LineLabels } from "./reference-line.js";
import { removeStandstill } from "./remove-standstill.js";
import { requireAllNear } from "./require-near.js";
import { smoothPoints } from "./smooth-points.js";

/** Settings of {@link curvedLine}, and what rides along. */
export interface CurveOptions extends LineLabels {
  /** where the machine stood still, fixes within this distance of each other become one point, metres; 0: keep them. Default 0.25 */
  readonly standstill?: number;
  /** a fold narrower than this is a spike, and goes, metres; `false`: keep them, for a curve that does go there and back. Default 0.001 */
  readonly spikes?: number | false;
  /** how far smoothing may move any place of the curve, metres; 0: no smoothing. Default 0 */
  readonly smoothing?: number;
  /** length of curve to either side of a point that smoothing looks at, metres; default 3 */
  readonly smoothingWindow?: number;
}

/**
 * A line along a recorded curve.
 *
 * The recording is cleaned first: where the machine stood still (five fixes or more that wander about within
 * `standstill`), duplicate points (0.1 mm), spikes. A curve that is clean stays as it is, point by point. Then it is
 * smoothed where that is asked for: every point goes to a local parabola through its neighbours, and no farther than the
 * tolerance, so no place of the curve departs by more; both ends stay. A curve may cross itself; passes beside the
 * crossing are then those of the nearer branch.
 *
 * @param points - in driving order, metres in the local frame; two distinct ones at the least
 * @param options - cleaning, smoothing, labels
 * @returns a plain object of kind `"curve"` with the departure that smoothing made
 * @throws `FeeringError` `too-few-points`, `not-finite`, `out-of-range`, or `degenerate` when nothing is left but one point
 * @example
 * ```ts
 * const line = curvedLine(recorded, { smoothing: 0.05, name: "along the brook" });
 * console.log(line.departure <= 0.05); // true
 * ```
 */
export function curvedLine(points: Line, options: CurveOptions = {}): CurvedLine {
  requirePoints(points, "points", 2);
  requireObject(options, "options");
  const still = requireNumber(options.standstill ?? STANDSTILL, "options.standstill", { min: 0, max: LARGEST });
  const spikes = options.spikes ?? SPIKES;
  if (spikes !== false) requireNumber(spikes, "options.spikes", { min: 0, max: LARGEST });
  const tolerance = requireNumber(options.smoothing ?? 0, "options.smoothing", { min: 0, max: LARGEST });
  const window = requireNumber(options.smoothingWindow ?? 3, "options.smoothingWindow", { above: 0, max: 1e4 });
  requireAllNear(points, "points");
  const standing = still > 0 ? removeStandstill(points, still) : points;
  if (standing.length < 2) throw pointlike(points.length);
  const clean = cleaned(standing, spikes, points.length);
  const smooth = tolerance > 0 ? smoothPoints(clean, window, tolerance) : clean;
  return {
    kind: "curve",
    points: smooth.map((p): Point => [p[0] + 0, p[1] + 0]),
    departure: tolerance > 0 ? departure(clean, smooth) : 0,
    ...copyLabels(options),
  };
}

/** Default distance of a standstill, metres: the wander of a receiver without fixed ambiguities, common practice, no source. */
const STANDSTILL = 0.25;

/** Default width of a spike, metres: none that was driven is so narrow. */
const SPIKES = 1e-3;

/** Largest tolerance, metres: more is a mistake of unit. */
const LARGEST = 1e3;

function cleaned(points: Line, spikes: number | false, given: number): Point[] {
  try {
    return cleanLine(points, { duplicates: DUPLICATE_DISTANCE, spikes });
  } catch (error) {
    // its one cause here: nothing left but one point
    throw pointlike(given, error);
  }
}

function pointlike(given: number, cause?: unknown): FeeringError {
  return new FeeringError("degenerate", `a curve of ${given} points is one point when cleaned`, {
    argument: "points",
    ...(cause === undefined ? {} : { cause }),
  });
}

function departure(recorded: Line, line: Line): number {
  const index = new LineIndex(line);
  let most = 0;
  for (const p of recorded) most = Math.max(most, index.nearest(p[0], p[1]).distance);
  return most;
}
