import { requireNumber, requireObject } from "../errors/require.js";
import type { Polygon } from "../geometry/types.js";
import { CURVATURE_WINDOW } from "./make-locator.js";

/** Settings of `PassFollower`. */
export interface FollowerOptions {
  /** how far beyond half a swath another pass must be the nearer one before it is taken, metres; default a tenth of the swath width */
  readonly passHysteresis?: number;
  /** how far beyond square to the line the machine must turn before it counts as facing the other way, degrees, 0 to less than 90; default 10 */
  readonly directionHysteresis?: number;
  /** how near to the pass counts as on the line, metres; default 0.05 */
  readonly onLineTolerance?: number;
  /** how far ahead of the machine's foot the look-ahead point lies along the pass, metres; default 5 */
  readonly lookAheadDistance?: number;
  /** length of line before and after the machine's foot over which `GuidanceState.curvature` is averaged, metres; default 2 */
  readonly curvatureWindow?: number;
  /** where passes count: their ends lie at the edges of these polygons; default none, the pattern's own ends alone */
  readonly field?: readonly Polygon[];
}

/** Settings, checked and with defaults; `passHysteresis` stays open where it follows the swath. */
export interface CheckedOptions {
  readonly passHysteresis: number | undefined;
  readonly directionHysteresis: number;
  readonly onLineTolerance: number;
  readonly lookAheadDistance: number;
  readonly curvatureWindow: number;
}

/** Default share of the swath width that {@link FollowerOptions.passHysteresis} takes. */
export const HYSTERESIS_SHARE = 0.1;

/** Largest distance of any setting, metres: more is a mistake of unit. */
const LARGEST = 1e6;

/** Check the numbers among the settings. */
export function checkOptions(options: FollowerOptions): CheckedOptions {
  requireObject(options, "options");
  const { passHysteresis } = options;
  const metres = { min: 0, max: LARGEST };
  return {
    passHysteresis:
      passHysteresis === undefined ? undefined : requireNumber(passHysteresis, "options.passHysteresis", metres),
    directionHysteresis: requireNumber(options.directionHysteresis ?? 10, "options.directionHysteresis", {
      min: 0,
      max: 89,
    }),
    onLineTolerance: requireNumber(options.onLineTolerance ?? 0.05, "options.onLineTolerance", metres),
    lookAheadDistance: requireNumber(options.lookAheadDistance ?? 5, "options.lookAheadDistance", metres),
    curvatureWindow: requireNumber(options.curvatureWindow ?? CURVATURE_WINDOW, "options.curvatureWindow", {
      min: 0.01,
      max: LARGEST,
    }),
  };
}
