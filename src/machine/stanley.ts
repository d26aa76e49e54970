import { RADIANS, wrapDifference } from "../geometry/angle.js";
import { cosDegrees, sinDegrees } from "./degrees.js";
import { type LineError, travelError, travelSense } from "./line-error.js";

/** How Stanley steers. */
export interface StanleySettings {
  /** m/s, either sign */
  readonly speed: number;
  /** from the point whose errors are given to the steered front axle, metres ahead; default 0: the errors are the front axle's own */
  readonly wheelbase?: number;
  /** share of the error that fades a second, 1/s; default 1 */
  readonly gain?: number;
  /** added to the speed, m/s, so that a machine that hardly moves does not throw its wheels about; default 0.5, 0 is the law as published */
  readonly softening?: number;
  /** whether the machine drives backwards; default by the sign of the speed */
  readonly reversing?: boolean;
  /** which axle is kept on a curved line: the `front` one, as published, so that the fixed one cuts the bend by wheelbase²/(2 radius); or the `fixed` one; default `front` */
  readonly axle?: "front" | "fixed";
  /** most angle asked for, degrees; default 45 */
  readonly maximumAngle?: number;
}

/**
 * The steering law of the car Stanley: wheels along the line, and in towards it by atan(gain * error / speed), at the front axle.
 *
 * Errors given at the fixed axle are carried forward to the front axle along the arc that touches the line beside the machine (so that the line's
 * curvature is fed forward exactly: on a circle the wheels stand along its tangent). In reverse the machine is mirrored about its fixed axle: the law holds
 * at the point one wheelbase behind it, and converges in the same way.
 *
 * While the wheels are not at their stop, with no softening and with the speed of the front axle for v, the front axle's error e from a straight line obeys de/dt = -k e / sqrt(1 + (k e/v)²): small errors fade as exp(-k t).
 *
 * A live call: allocates nothing and never throws; NaN in gives NaN out; a machine on its line at speed 0 gets 0.
 *
 * @param error - where the machine stands beside the line: a `GuidanceState`, say
 * @param settings - speed, wheelbase, gain, limits
 * @returns degrees of the front wheels, right positive
 *
 * @see Hoffmann, Tomlin, Montemerlo and Thrun 2007, Autonomous automobile trajectory tracking for off-road driving, American Control Conference,
 * doi 10.1109/ACC.2007.4282788
 *
 * @example
 * ```ts
 * stanley({ crossTrackError: 0.3, headingError: 2 }, { speed: 3, softening: 0 }); // -7.71: left
 * ```
 */
export function stanley(error: LineError, settings: StanleySettings): number {
  // hot: once a fix
  const { speed, wheelbase = 0, gain = 1, softening = 0.5, maximumAngle = 45 } = settings;
  const reversing = settings.reversing ?? speed < 0;
  const sense = travelSense(error, reversing);
  const bend = sense * (error.curvature ?? 0);
  const angle = travelError(error, sense, reversing);
  // the leading axle beside the arc: its error, and how far the arc has turned at its foot
  const x = wheelbase * cosDegrees(angle);
  const y = sense * error.crossTrackError + wheelbase * sinDegrees(angle);
  const square = x * x + y * y;
  const root = Math.sqrt(Math.max(0, 1 - 2 * bend * y + bend * bend * square));
  // from the line's own circle, or from the one that the front axle drives about the same centre
  const swing = settings.axle === "fixed" ? wheelbase : 0;
  const off = (2 * y - bend * (square - swing * swing)) / (Math.sqrt(1 + bend * bend * swing * swing) + root);
  const turned = Math.atan2(bend * x, 1 - bend * y) / RADIANS;
  const towards = Math.atan2(gain * off, Math.abs(speed) + softening) / RADIANS;
  const wanted = wrapDifference(turned - angle) - towards;
  const wheels = Math.max(-maximumAngle, Math.min(maximumAngle, wanted));
  return (reversing ? -wheels : wheels) + 0;
}
