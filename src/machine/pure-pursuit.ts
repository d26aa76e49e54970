import { cosDegrees, sinDegrees } from "./degrees.js";
import { type LineError, travelError, travelSense } from "./line-error.js";
import { pursuitArc } from "./pursue-point.js";

/** How pure pursuit steers. */
export interface PurePursuitSettings {
  /** distance from the reference point to the target on the line, metres, more than 0: see `lookAheadDistance` */
  readonly lookAheadDistance: number;
  /** whether the machine drives backwards; default false */
  readonly reversing?: boolean;
  /** most curvature asked for, 1/m; default no limit */
  readonly maximumCurvature?: number;
}

/**
 * Pure pursuit of a line: the curvature that brings the reference point, the middle of the fixed axle, on one arc to the point of the line that lies
 * `lookAheadDistance` away.
 *
 * The line is taken as the arc that touches it beside the machine, so that its curvature is fed forward exactly: on a circle, tangent, the law asks
 * for the circle's own curvature at any look-ahead distance below its diameter. A machine farther away than the look-ahead
 * distance makes for its foot on the line. In reverse the machine is mirrored about its fixed axle: it converges in the same way.
 *
 * On a straight line small errors fade as exp(-s/Ld)(cos(s/Ld) + sin(s/Ld)) of the way s, whatever the speed: an overshoot of exp(-pi), 4.3 %, at s = pi Ld.
 *
 * A live call: allocates nothing and never throws; NaN in gives NaN out.
 *
 * @param error - where the machine stands beside the line: a `GuidanceState`, say
 * @param settings - look-ahead distance, reverse, limit
 * @returns 1/m as the wheels stand, right turn positive, forward and in reverse: `yaw rate = speed * curvature`, speed negative in reverse
 *
 * @see Coulter 1992, CMU-RI-TR-92-01, for the arc
 *
 * @example
 * ```ts
 * const curvature = purePursuit({ crossTrackError: 1, headingError: 0 }, { lookAheadDistance: 5 }); // -0.08
 * steeringAngle(curvature, 2.5); // -11.31 degrees: left
 * ```
 */
export function purePursuit(error: LineError, settings: PurePursuitSettings): number {
  // hot: once a fix
  const reversing = settings.reversing === true;
  const sense = travelSense(error, reversing);
  const off = sense * error.crossTrackError;
  const bend = sense * (error.curvature ?? 0);
  const angle = travelError(error, sense, reversing);
  const reach = settings.lookAheadDistance;
  const square = bend * bend;
  // the target on the arc: versed sine over curvature squared, so that a straight line is no special case
  const inside = 1 - bend * off;
  let versed = inside <= 0 ? 2 / square : Math.max(0, (reach - off) * (reach + off)) / (2 * inside);
  if (versed * square > 2) versed = 2 / square;
  const along = Math.sqrt(Math.max(0, versed * (2 - square * versed)));
  const aside = bend * versed - off;
  const sine = sinDegrees(angle);
  const cosine = cosDegrees(angle);
  const arc = pursuitArc(along * cosine + aside * sine, aside * cosine - along * sine);
  const most = settings.maximumCurvature ?? Number.POSITIVE_INFINITY;
  const curvature = Math.max(-most, Math.min(most, arc));
  return (reversing ? -curvature : curvature) + 0;
}
