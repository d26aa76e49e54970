import { wrapDifference, wrapHeading } from "../geometry/angle.js";

/** A change this large and quicker than any machine turns is a jump of the measurement, degrees. */
const JUMP = 30;

/**
 * Angle and its rate from noisy angles: the critically damped two-state filter with fading memory.
 *
 * With time constant T: no lag in a steady turn; in a turn whose rate grows evenly the rate comes 2T late and the angle off by growth
 * times T²; after a sudden turn 63 % of the rate is there after 2.1 T. White noise of s degrees, every dt seconds, gives a
 * rate noisy by s sqrt(dt / (4 T³)).
 *
 * @see Brookner 1998, Tracking and Kalman Filtering Made Easy, section 1.2.6: g = 1 - theta², h = (1 - theta)²
 */
export class TurnFilter {
  /** whether it has an angle to go on from */
  tracking = false;
  /** filtered angle at {@link TurnFilter.time}, degrees, 0..360 */
  angle = 0;
  /** degrees/s, clockwise positive */
  rate = 0;
  /** time of the last measurement, s */
  time = 0;

  /** time constant, s */
  smoothing = 0.5;

  private readonly maximumRate: number;

  /** Bound of the rate, degrees/s. */
  constructor(maximumRate: number) {
    this.maximumRate = maximumRate;
  }

  /** Forget the motion; the next angle starts afresh. */
  reset(): void {
    this.tracking = false;
    this.rate = 0;
  }

  /**
   * Take an angle.
   *
   * @param time - when it held, s; one not newer than the last is left out
   * @param angle - degrees
   */
  update(time: number, angle: number): void {
    const maximumRate = this.maximumRate;
    if (!this.tracking) {
      this.tracking = true;
      this.angle = wrapHeading(angle);
      this.rate = 0;
      this.time = time;
      return;
    }
    const dt = time - this.time;
    if (!(dt > 0)) return;
    this.time = time;
    const predicted = this.angle + this.rate * dt;
    const innovation = wrapDifference(angle - predicted);
    const size = Math.abs(innovation);
    if (size > JUMP && size > maximumRate * dt) {
      this.angle = wrapHeading(angle);
      this.rate = 0;
      return;
    }
    const theta = Math.exp(-dt / this.smoothing);
    this.angle = wrapHeading(predicted + (1 - theta * theta) * innovation);
    const rate = this.rate + ((1 - theta) * (1 - theta) * innovation) / dt;
    this.rate = Math.max(-maximumRate, Math.min(maximumRate, rate));
  }

  /**
   * Take an angle where the rate is measured too: the angle follows the rate and drifts to what is measured.
   *
   * @param time - when it held, s; one not newer than the last is left out
   * @param angle - degrees
   * @param rate - degrees/s
   */
  turn(time: number, angle: number, rate: number): void {
    const limited = Math.max(-this.maximumRate, Math.min(this.maximumRate, rate));
    const dt = time - this.time;
    if (this.tracking && !(dt > 0)) return;
    const predicted = this.angle + limited * dt;
    const innovation = wrapDifference(angle - predicted);
    const afresh = !this.tracking || Math.abs(innovation) > JUMP;
    this.tracking = true;
    this.time = time;
    this.rate = limited;
    this.angle = wrapHeading(afresh ? angle : predicted + (1 - Math.exp(-dt / this.smoothing)) * innovation);
  }

  /** Go over to another kind of angle: the rate stays. Time in s, angle in degrees. */
  shift(time: number, angle: number): void {
    this.angle = wrapHeading(angle);
    this.time = time;
  }

  /**
   * @param time - s
   * @returns the angle carried on to that time, degrees, 0 at least and less than 360
   */
  at(time: number): number {
    return wrapHeading(this.angle + this.rate * (time - this.time));
  }
}
