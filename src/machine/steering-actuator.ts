import { requireNumber, requireObject } from "../errors/index.js";

/** What a steering can do. */
export interface SteeringLimits {
  /** farthest it goes to either side, in its own unit: degrees for wheels and joints */
  readonly maximumAngle?: number;
  /** fastest it moves, a second; default no limit */
  readonly maximumRate?: number;
  /** from a command to its first effect, s, 0 to 5; default 0 */
  readonly delay?: number;
}

/** Commands under way at most: 5 s at 100 Hz. */
const ROOM = 512;
/** Longest delay, s. */
const LONGEST = 5;

/**
 * A steering with its stops, its greatest rate and its delay: commands in, angles out.
 *
 * A command takes effect `delay` seconds after it was given; from then on the steering moves towards it at its greatest rate. Movement is exact for
 * any step: commands that take effect within it do so at their own instant. Of more than 512 commands under way the newest waits in the last one's place.
 *
 * {@link SteeringActuator.command} and {@link SteeringActuator.advance} allocate nothing and never throw; a command that is no number is left out.
 *
 * @example
 * ```ts
 * const steering = new SteeringActuator({ maximumAngle: 40, maximumRate: 25, delay: 0.1 });
 * steering.command(10);
 * steering.advance(0.3); // 5: 0.1 s of nothing, 0.2 s of movement
 * ```
 */
export class SteeringActuator {
  /** where it stands */
  angle = 0.5;
  /** mean of where it stood during the last step */
  mean = 0.5;
  /** farthest to either side */
  readonly maximumAngle: number;
  /** fastest movement a second, infinite for none */
  readonly maximumRate: number;
  /** from a command to its effect, s */
  readonly delay: number;
  private time = 0.5;
  private target = 0.5;
  private first = 0;
  private count = 0;
  private readonly due = new Float64Array(ROOM);
  private readonly wanted = new Float64Array(ROOM);

  /**
   * @param limits - stops, rate, delay
   * @throws `FeeringError` `not-finite` or `out-of-range` with the argument's path
   */
  constructor(limits: SteeringLimits = {}) {
    requireObject(limits, "limits");
    const { maximumAngle, maximumRate, delay = 0 } = limits;
    const none = Number.POSITIVE_INFINITY;
    this.maximumAngle =
      maximumAngle === undefined ? none : requireNumber(maximumAngle, "limits.maximumAngle", { above: 0 });
    this.maximumRate =
      maximumRate === undefined ? none : requireNumber(maximumRate, "limits.maximumRate", { above: 0 });
    this.delay = requireNumber(delay, "limits.delay", { min: 0, max: LONGEST });
    this.reset(0);
  }

  /**
   * Stand at an angle, with no command under way.
   *
   * @param angle - in the steering's unit
   */
  reset(angle: number): void {
    this.angle = this.target = this.mean = this.within(angle);
    this.time = 0;
    this.first = this.count = 0;
  }

  /**
   * Give a command now.
   *
   * @param angle - in the steering's unit; beyond the stops it means the stop
   */
  command(angle: number): void {
    if (Number.isNaN(angle)) return;
    const within = this.within(angle);
    if (this.delay === 0) {
      this.target = within;
      return;
    }
    if (this.count < ROOM) this.count++;
    const last = (this.first + this.count - 1) % ROOM;
    this.due[last] = this.time + this.delay;
    this.wanted[last] = within;
  }

  /**
   * Let time pass.
   *
   * @param seconds - 0 or more; anything else counts as 0
   * @returns where the steering stands then
   */
  advance(seconds: number): number {
    // hot: once a step
    if (!(seconds > 0 && seconds < Number.POSITIVE_INFINITY)) {
      this.mean = this.angle;
      return this.angle;
    }
    const end = this.time + seconds;
    let sum = 0;
    while (this.count > 0) {
      const due = this.due[this.first]!;
      if (due >= end) break;
      sum += this.move(due - this.time);
      this.time = due;
      this.target = this.wanted[this.first]!;
      this.first = (this.first + 1) % ROOM;
      this.count--;
    }
    sum += this.move(end - this.time);
    // counted from now on, so that a day of steps keeps its digits
    for (let i = 0; i < this.count; i++) this.due[(this.first + i) % ROOM]! -= end;
    this.time = 0;
    this.mean = sum / seconds;
    return this.angle;
  }

  /** move towards the target for so long; gives the angle's integral */
  private move(seconds: number): number {
    if (!(seconds > 0)) return 0;
    const from = this.angle;
    const way = this.target - from;
    const needed = Math.abs(way) / this.maximumRate;
    if (needed >= seconds) {
      this.angle = from + Math.sign(way) * this.maximumRate * seconds;
      return ((from + this.angle) / 2) * seconds;
    }
    this.angle = this.target;
    return ((from + this.target) / 2) * needed + this.target * (seconds - needed);
  }

  private within(angle: number): number {
    return Math.max(-this.maximumAngle, Math.min(this.maximumAngle, angle)) + 0;
  }
}
