import { requireNumber, requireObject } from "../errors/index.js";
import { RADIANS, wrapDifference, wrapHeading } from "../geometry/angle.js";
import { cosDegrees, sinDegrees } from "./degrees.js";
import { Drawbar, LEAST_BOUND } from "./drawbar.js";
import { drawbarSwing } from "./drawbar-swing.js";
import { towed, type Towed, type TowedDefinition } from "./towed.js";
import { checkTowedSnapshot } from "./towed-snapshot.js";
import type { TowedOptions, TowedSnapshot, TowedState } from "./towed-state.js";

/** A step quicker than this is no motion, m/s. */
const FASTEST = 60;
/** What a position may jump by on top of that, metres. */
const SLACK = 1;
/** A turn between two fixes larger than this is a jump of the heading, degrees. */
const SHARPEST = 90;
/** A machine found again this near, metres, and within {@link STOOD_TURN}, stood meanwhile. */
const STOOD = 0.5;
/** Degrees. */
const STOOD_TURN = 10;
/** A gap up to this many times as long is bridged where the machine is found where its arc leads it, ... */
const LONGER = 5;
/** ... to within this share of its way. */
const ALIKE = 0.1;
/** Another way of that length between the same ends sags by 0.22 of it, which is 0.15 of its square as an area: over the drawbar's square it turns the
 * implement by so many degrees at most. */
const SAGGED = 0.15 / RADIANS;
/** Larger numbers than these are no places, speeds, rates (metres, m/s, degrees/s) and would overflow. */
const FAR = 1e9;
const FAST = 1e3;
const SPIN = 1e4;

type Writable<T> = { -readonly [K in keyof T]: T[K] };

/**
 * A towed implement live: where its axle is and which way it heads, from the machine's successive poses.
 *
 * The implement's axle does not slip sideways, so its heading θ follows the hitch by θ' = (v sin(ψ - θ) - c ω cos(ψ - θ)) / L, with ψ, v, ω heading,
 * speed and yaw rate of the machine, c the hitch's distance behind its reference point and L the drawbar. The hitch's way is taken from pose to
 * pose, as the arc that turns the one into the other, and on an arc the equation is solved in closed form: nothing adds up from step to step, and where
 * the machine drives arcs the interval between fixes does not matter. Speed and yaw rate only serve for the implement's own, for gaps and for
 * {@link TowedImplement.poseAhead}.
 *
 * - Start: in line with the machine unless `heading` is given. All starts from one jackknife angle to the other are followed along, the first and the
 *   last of them; `status` is `unknown` until they are within `settledAngle`, three drawbars of straight way by default. Reversing drives them apart
 *   again by e to the way over the drawbar: after some three drawbars backwards nobody knows the heading any more.
 * - Jackknife: from `jackknifeAngle` on, in reverse or in a turn too tight for the drawbar. It folds no farther than 90 degrees (or that angle, if larger).
 *   Pulled straight again it is `unknown` until it has settled.
 * - Gap (`connected` false, more than `maximumGap` between fixes, a step faster than 60 m/s, a turn of more than 90 degrees in one step): over a short one, with
 *   a turn of at most 90 degrees, the implement is carried on by speed and turn, so that a jump of the position swings nothing. Over one up to five times as long
 *   it is carried along the arc where the machine is found where speed and turn lead, to a tenth of its way; `headingBound` grows by what it may have done meanwhile.
 *   A machine found within 0.5 m and 10 degrees of where it was has stood. Else a new start, in line with the machine.
 * - A fix not newer than the last changes nothing. Bad numbers change nothing but `status`.
 *
 * Accuracy: 1e-9 m for a machine that drives arcs. Where it steers meanwhile the error falls with the square of the interval: straight on into a circle of 10 m
 * within 2 s at 2.5 m/s the axle is off by 0.02 mm at 20 Hz, 0.06 mm at 10 Hz, 0.24 mm at 5 Hz, 5.8 mm at 1 Hz, against Runge and Kutta's
 * method in steps of 1 ms (tests/machine/towed-implement.test.ts).
 *
 * Two implements behind each other: give the state of the first to a second one, as its machine.
 *
 * {@link TowedImplement.update} and {@link TowedImplement.poseAhead} allocate nothing and never throw.
 *
 * @see Murray and Sastry 1993, Nonholonomic motion planning: steering using sinusoids, IEEE Trans. Automatic Control 38(5), for the equation (from memory)
 *
 * @example
 * ```ts
 * const drill = new TowedImplement({ hitch: -1, drawbar: 6 }, { heading: 0 });
 * drill.update(0, 0, 0, 0, 2, 0, true);
 * const state = drill.update(0.1, 0, 0.2, 0, 2, 0, true);
 * state.y; // -6.8: one metre to the hitch, six to the axle
 * ```
 */
export class TowedImplement {
  private readonly towed: Towed;
  private readonly start: number;
  private readonly settledAngle: number;
  private readonly maximumGap: number;

  private readonly own: Writable<TowedState> = {
    x: 0,
    y: 0,
    heading: 0,
    speed: 0,
    yawRate: 0,
    articulation: 0,
    status: "unknown",
    headingBound: 0,
  };
  private started = false;
  // the machine at the last fix; halves keep the fields doubles from the start, so that none is boxed anew
  private time = 0.5;
  private x = 0.5;
  private y = 0.5;
  private machine = 0.5;
  private speed = 0.5;
  private yawRate = 0.5;
  // arm from the machine's reference point to the hitch in the frame, metres
  private armX = 0.5;
  private armY = 0.5;
  private readonly bar: Drawbar;

  /**
   * @param definition - hitch and drawbar
   * @param options - start, limits
   * @throws `FeeringError` `not-finite` or `out-of-range` with the argument's path
   */
  constructor(definition: TowedDefinition, options: TowedOptions = {}) {
    this.towed = towed(definition);
    requireObject(options, "options");
    this.start = options.heading === undefined ? Number.NaN : requireNumber(options.heading, "options.heading");
    const jackknifeAngle = requireNumber(options.jackknifeAngle ?? 75, "options.jackknifeAngle", { min: 5, max: 120 });
    this.bar = new Drawbar(this.towed.drawbar, jackknifeAngle);
    const settled = options.settledAngle ?? Math.min(5, jackknifeAngle / 2);
    this.settledAngle = requireNumber(settled, "options.settledAngle", {
      min: 2 * LEAST_BOUND,
      max: jackknifeAngle,
    });
    this.maximumGap = requireNumber(options.maximumGap ?? 2, "options.maximumGap", { above: 0 });
    this.own.headingBound = jackknifeAngle;
  }

  /** Where the implement is, as the last call left it; the implement's own object. */
  get state(): TowedState {
    return this.own;
  }

  /**
   * Take the machine's pose with each fix. Allocates nothing, never throws.
   *
   * @param time - s, growing
   * @param x - machine's reference point, metres east in the frame
   * @param y - machine's reference point, metres north in the frame
   * @param heading - of the machine, degrees clockwise from the frame's north
   * @param speed - of the machine, m/s, negative when reversing
   * @param yawRate - of the machine, degrees/s, clockwise positive
   * @param connected - false when this place may not be joined with the one before (a gap, a jump)
   * @returns the implement's own state object, overwritten by the next call
   */
  update(
    time: number,
    x: number,
    y: number,
    heading: number,
    speed: number,
    yawRate: number,
    connected: boolean,
  ): TowedState {
    if (
      !Number.isFinite(time) ||
      !(Math.abs(x) <= FAR) ||
      !(Math.abs(y) <= FAR) ||
      !(Math.abs(heading) <= FAR) ||
      !(Math.abs(speed) <= FAST) ||
      !(Math.abs(yawRate) <= SPIN)
    ) {
      this.own.status = "invalid";
      return this.own;
    }
    const { hitch, hitchY } = this.towed;
    const sine = sinDegrees(heading);
    const cosine = cosDegrees(heading);
    const armX = hitch * sine + hitchY * cosine;
    const armY = hitch * cosine - hitchY * sine;
    if (this.started) {
      const dt = time - this.time;
      // a fix slightly out of order is left out; a clock set back is a gap
      if (dt <= 0 && dt >= -this.maximumGap) return this.own;
      const turn = wrapDifference(heading - this.machine);
      const soon = dt > 0 && dt <= this.maximumGap && Math.abs(turn) <= SHARPEST;
      const swayX = armX - this.armX;
      const swayY = armY - this.armY;
      const stepX = x - this.x;
      const stepY = y - this.y;
      const step = Math.sqrt(stepX * stepX + stepY * stepY);
      if (soon && connected !== false && step <= FASTEST * dt + SLACK) {
        this.bar.pull(stepX + swayX, stepY + swayY, turn);
      } else this.bridge(dt, turn, heading, speed, stepX, stepY, swayX, swayY);
    } else {
      this.started = true;
      if (Number.isFinite(this.start)) this.bar.beginAt(this.start);
      else this.bar.begin(heading);
    }
    this.time = time;
    this.x = x;
    this.y = y;
    this.machine = heading;
    this.speed = speed;
    this.yawRate = yawRate;
    this.armX = armX;
    this.armY = armY;
    this.settle();
    return this.own;
  }

  /**
   * Foretell the implement's pose: the machine goes on along its own arc at its last speed and yaw rate, the implement follows by the same closed
   * form. Allocates nothing, never throws; before the first fix, and for what is no number of seconds, the pose is the present one.
   *
   * @param seconds - from the last fix on, s
   * @param out - takes x, y (metres) and heading (degrees, 0 to 360) of the implement at 0, 1, 2
   */
  poseAhead(seconds: number, out: Float64Array): void {
    const own = this.own;
    if (!this.started || !(Math.abs(seconds) <= FAR)) {
      out[0] = own.x;
      out[1] = own.y;
      out[2] = own.heading;
      return;
    }
    const { hitch, hitchY, drawbar } = this.towed;
    const omega = this.yawRate * RADIANS;
    const turn = omega * seconds;
    const ahead = this.speed - omega * hitchY;
    const right = omega * hitch;
    const way = (Math.sqrt(ahead * ahead + right * right) * seconds) / drawbar;
    const angle = Math.atan2(right, ahead) - own.articulation * RADIANS;
    const degrees = this.yawRate * seconds;
    const machine = this.machine + degrees;
    let folded = wrapDifference(own.articulation - drawbarSwing(angle, way, turn) / RADIANS);
    folded = Math.max(-this.bar.stop, Math.min(this.bar.stop, folded));
    const half = turn / 2;
    const chord = this.speed * seconds * (half === 0 ? 1 : Math.sin(half) / half);
    const course = this.machine + degrees / 2;
    const sine = sinDegrees(machine);
    const cosine = cosDegrees(machine);
    const heading = machine + folded;
    out[0] = this.x + (chord * sinDegrees(course) + hitch * sine + hitchY * cosine - drawbar * sinDegrees(heading));
    out[1] = this.y + (chord * cosDegrees(course) + hitch * cosine - hitchY * sine - drawbar * cosDegrees(heading));
    out[2] = wrapHeading(heading);
  }

  /**
   * @returns a plain copy of the whole state, safe in JSON
   */
  snapshot(): TowedSnapshot {
    return {
      version: 1,
      state: { ...this.own },
      numbers: [
        Number(this.started),
        this.time,
        this.x,
        this.y,
        this.machine,
        this.speed,
        this.yawRate,
        this.armX,
        this.armY,
        this.bar.heading,
        this.bar.toLeft,
        this.bar.toRight,
      ].map((value) => value + 0),
    };
  }

  /**
   * An implement that goes on where a snapshot was taken, bit for bit.
   *
   * @param snapshot - from {@link TowedImplement.snapshot}
   * @param definition - the same definition as before
   * @param options - the same options as before
   * @returns a new implement
   * @throws `FeeringError` `bad-snapshot` when it is of another version or damaged; else as the constructor
   */
  static restore(snapshot: TowedSnapshot, definition: TowedDefinition, options: TowedOptions = {}): TowedImplement {
    checkTowedSnapshot(snapshot, 12);
    const n = snapshot.numbers;
    const implement = new TowedImplement(definition, options);
    Object.assign(implement.own, snapshot.state);
    implement.started = n[0] === 1;
    implement.time = n[1]!;
    implement.x = n[2]!;
    implement.y = n[3]!;
    implement.machine = n[4]!;
    implement.speed = n[5]!;
    implement.yawRate = n[6]!;
    implement.armX = n[7]!;
    implement.armY = n[8]!;
    implement.bar.heading = n[9]!;
    implement.bar.toLeft = n[10]!;
    implement.bar.toRight = n[11]!;
    return implement;
  }

  /** Over a gap or a jump: dt s, turn and heading in degrees, speed now in m/s, steps of the machine and sway of the hitch in metres. */
  private bridge(
    dt: number,
    turn: number,
    heading: number,
    speed: number,
    stepX: number,
    stepY: number,
    swayX: number,
    swayY: number,
  ): void {
    const bar = this.bar;
    const gap = Math.abs(turn) <= SHARPEST && dt > 0 ? dt / this.maximumGap : Number.POSITIVE_INFINITY;
    const half = (turn * RADIANS) / 2;
    const way = ((this.speed + speed) / 2) * dt;
    const chord = way * (half === 0 ? 1 : Math.sin(half) / half);
    const course = this.machine + turn / 2;
    const arcX = chord * sinDegrees(course);
    const arcY = chord * cosDegrees(course);
    if (gap <= 1) {
      // the places do not belong together: the way by speed and turn instead
      bar.pull(arcX + swayX, arcY + swayY, turn);
    } else if (gap <= LONGER && Math.hypot(stepX - arcX, stepY - arcY) <= ALIKE * Math.abs(way)) {
      bar.pull(stepX + swayX, stepY + swayY, turn);
      bar.widen(SAGGED * (way / this.towed.drawbar) ** 2);
    } else if (Math.hypot(stepX, stepY) <= STOOD && Math.abs(turn) <= STOOD_TURN) {
      bar.pull(swayX, swayY, turn);
    } else bar.begin(heading);
  }

  /** From the inner numbers to the state. */
  private settle(): void {
    const own = this.own;
    const bar = this.bar;
    const { hitch, hitchY, drawbar } = this.towed;
    bar.limit(this.machine);
    const articulation = bar.articulation;
    const omega = this.yawRate * RADIANS;
    const ahead = this.speed - omega * hitchY;
    const right = omega * hitch;
    const sine = sinDegrees(articulation);
    const cosine = cosDegrees(articulation);
    let rate = (right * cosine - ahead * sine) / drawbar / RADIANS;
    // held by the stop it turns with the machine
    if (Math.abs(articulation) === bar.stop && (rate - this.yawRate) * articulation > 0) rate = this.yawRate;
    own.x = this.x + (this.armX - drawbar * sinDegrees(bar.heading));
    own.y = this.y + (this.armY - drawbar * cosDegrees(bar.heading));
    own.heading = wrapHeading(bar.heading);
    own.speed = ahead * cosine + right * sine + 0;
    own.yawRate = rate + 0;
    own.articulation = articulation;
    own.headingBound = Math.max(bar.toLeft, bar.toRight);
    own.status = bar.folded ? "jackknife" : own.headingBound > this.settledAngle ? "unknown" : "ok";
  }
}
