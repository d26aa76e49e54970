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
  angle = 0.5;
  /** degrees/s, clockwise positive */
  rate = 0.5;
  /** time of the last measurement, s */
  time = 0.5;

  /** what is measured, degrees; it, its time and its rate in fields: numbers handed from call to call would be boxed */
  measured = 0.5;
  /** when it held, s */
  measuredTime = 0.5;
  /** turn rate measured with it, degrees/s, for {@link TurnFilter.turn} */
  measuredRate = 0.5;
  /** result of {@link TurnFilter.carry}, degrees, 0 at least and less than 360 */
  carried = 0.5;

  /** time constant, s */
  smoothing = 0.5;

  private innovation = 0.5;
  private readonly maximumRate: number;

  /** Bound of the rate, degrees/s. */
  constructor(maximumRate: number) {
    this.maximumRate = maximumRate;
    this.angle = 0;
    this.rate = 0;
    this.time = 0;
  }

  /** Forget the motion; the next angle starts afresh. */
  reset(): void {
    this.tracking = false;
    this.rate = 0;
  }

  /** Take what is measured; what is not newer than the last is left out. */
  update(): void {
    const maximumRate = this.maximumRate;
    const time = this.measuredTime;
    const angle = this.measured;
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
    // by the field: a number that a call returns, or might, is boxed
    this.innovation = angle - predicted;
    if (!(Math.abs(this.innovation) < 180)) this.innovation = wrapDifference(this.innovation);
    const innovation = this.innovation;
    const size = Math.abs(innovation);
    if (size > JUMP && size > maximumRate * dt) {
      this.angle = wrapHeading(angle);
      this.rate = 0;
      return;
    }
    const theta = Math.exp(-dt / this.smoothing);
    this.angle = predicted + (1 - theta * theta) * innovation + 0;
    if (!(this.angle >= 0 && this.angle < 360)) this.angle = wrapHeading(this.angle);
    const rate = this.rate + ((1 - theta) * (1 - theta) * innovation) / dt;
    this.rate = Math.max(-maximumRate, Math.min(maximumRate, rate));
  }

  /** The same where the rate is measured too: the angle follows the rate and drifts to what is measured. */
  turn(): void {
    const time = this.measuredTime;
    const angle = this.measured;
    const limited = Math.max(-this.maximumRate, Math.min(this.maximumRate, this.measuredRate));
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

  /** Go over to another kind of angle, as measured: the rate stays. */
  shift(): void {
    this.angle = wrapHeading(this.measured);
    this.time = this.measuredTime;
  }

  /** Carry the angle on to the time of what is measured, into {@link TurnFilter.carried}. */
  carry(): void {
    this.carried = this.angle + this.rate * (this.measuredTime - this.time) + 0;
    if (!(this.carried >= 0 && this.carried < 360)) this.carried = wrapHeading(this.carried);
  }
}
