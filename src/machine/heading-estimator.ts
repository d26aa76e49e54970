import { requireNumber, requireObject } from "../errors/index.js";
import { RADIANS, wrapHeading } from "../geometry/angle.js";
import type {
  HeadingInput,
  HeadingOptions,
  HeadingReason,
  HeadingSnapshot,
  HeadingSource,
  HeadingState,
} from "./heading-state.js";
import { checkHeadingSnapshot } from "./heading-snapshot.js";
import { Trail } from "./trail.js";
import { TravelSense } from "./travel-sense.js";
import { TurnFilter } from "./turn-filter.js";

/** A course is smoothed over at least this way, metres: its noise grows as the speed falls. */
const SMOOTHING_DISTANCE = 0.5;
/** ... but not over more than this time, s. */
const SMOOTHING_LIMIT = 3;
/** A step quicker than this is no motion, m/s. */
const FASTEST = 60;
/** A turn is carried on through fixes without a course for this long, s. */
const CARRIED = 1;
/** After a gap longer than this a machine is taken to drive forwards again, s. */
const FORGOTTEN = 10;
/** No machine turns more tightly than this, 1/m. */
const TIGHTEST = 1;

type Writable<T> = { -readonly [K in keyof T]: T[K] };

/**
 * Heading, signed speed, yaw rate and curvature of a machine from its fixes.
 *
 * - The heading is the one of two antennas where the fix carries one; else the course over ground, turned round when the machine
 *   reverses; where the receiver gives no course, the bearing over the last half metre. It is held at standstill.
 * - Standing and moving have a hysteresis: moving from 0.3 m/s on, standing below 0.15 m/s.
 * - Reversing: as the gear says where the host gives it, but not before the machine's motion, seen against its heading, follows. Else, with a heading of two antennas, by the course against it: more than 120 degrees
 *   is backwards, less than 60 forwards. Else a course that comes out of a standstill more than 120 degrees away from the
 *   course that went into it changes the sense of travel, and so does a course that turns by more than 120 degrees faster than any machine can.
 *   After a gap of more than 10 s it is taken to drive forwards. The heading itself is never turned by 180 degrees. What this rule cannot see: a machine that turns on the spot while standing, and one
 *   whose first motion of all is backwards; there, give the gear.
 * - An antenna that trails the fixed axle (ahead of it in reverse) swings the wrong way as a turn begins: its course alone does not tell the heading
 *   in time, and steering by it does not hold a curve. Two antennas do, and so does a measured turn rate ({@link HeadingInput.yawRate}).
 * - Lag of the yaw rate: twice the smoothing time while a turn grows, 0.6 s by default; none in a steady turn. At less than 1.7 m/s
 *   without two antennas the smoothing takes half a metre of way instead.
 *
 * {@link HeadingEstimator.update} allocates nothing and never throws; all results stay finite.
 *
 * @example
 * ```ts
 * const estimator = new HeadingEstimator();
 * estimator.update({ time: 0, x: 0, y: 0, speed: 2, course: 90 });
 * const state = estimator.update({ time: 0.1, x: 0.2, y: 0, speed: 2, course: 90 });
 * state.heading; // 90
 * ```
 */
export class HeadingEstimator {
  private readonly movingSpeed: number;
  private readonly standstillSpeed: number;
  private readonly minimumDistance: number;
  private readonly smoothingTime: number;
  private readonly maximumYawRate: number;
  private readonly maximumGap: number;
  private readonly antennaX: number;
  private readonly antennaY: number;

  private readonly own: Writable<HeadingState> = {
    heading: 0,
    source: "none",
    reason: "no-course",
    speed: 0,
    yawRate: 0,
    curvature: 0,
    reversing: false,
    moving: false,
  };
  private readonly filter: TurnFilter;
  private readonly sense: TravelSense;
  private readonly trail = new Trail();
  private started = false;
  private time = 0.5;
  private x = 0.5;
  private y = 0.5;
  // what the filter follows: 0 nothing, 1 the machine's heading, 2 its course (turned round in reverse), 3 the heading by course and turn rate
  private followed = 0;
  private stoodAt = 0.5;
  // what this fix measures, in fields: numbers handed from call to call would be boxed
  private measuredSpeed = 0.5;
  private measuredHeading = Number.NaN;
  private course = Number.NaN;
  private courseTime = 0.5;
  private measuredRate = Number.NaN;
  private sideways = 0.5;
  private slip = 0.5;

  /**
   * @param options - place of the antenna, thresholds, smoothing
   * @throws `FeeringError` `not-finite` or `out-of-range` with the option's name
   */
  constructor(options: HeadingOptions = {}) {
    requireObject(options, "options");
    this.movingSpeed = requireNumber(options.movingSpeed ?? 0.3, "options.movingSpeed", { above: 0 });
    this.standstillSpeed = requireNumber(options.standstillSpeed ?? 0.15, "options.standstillSpeed", {
      min: 0,
      max: this.movingSpeed,
    });
    this.minimumDistance = requireNumber(options.minimumDistance ?? 0.5, "options.minimumDistance", { above: 0 });
    this.smoothingTime = requireNumber(options.smoothingTime ?? 0.3, "options.smoothingTime", { above: 0, max: 10 });
    this.maximumYawRate = requireNumber(options.maximumYawRate ?? 90, "options.maximumYawRate", { above: 0 });
    this.filter = new TurnFilter(this.maximumYawRate);
    this.sense = new TravelSense(this.maximumYawRate);
    this.maximumGap = requireNumber(options.maximumGap ?? 2, "options.maximumGap", { above: 0 });
    this.time = 0;
    this.x = 0;
    this.y = 0;
    this.stoodAt = 0;
    this.antennaX = requireNumber(options.antenna?.x ?? 0, "options.antenna.x", { min: -100, max: 100 });
    this.antennaY = requireNumber(options.antenna?.y ?? 0, "options.antenna.y", { min: -100, max: 100 });
  }

  /** How the machine stands and moves, as the last call left it; the estimator's own object. */
  get state(): HeadingState {
    return this.own;
  }

  /**
   * Take a fix. Allocates nothing, never throws.
   *
   * @param input - time, antenna position and whatever else the fix carries
   * @returns the estimator's own state object, overwritten by the next call
   */
  update(input: HeadingInput): HeadingState {
    if (input === undefined || input === null) return this.hold("not-finite");
    const { time, x, y } = input;
    if (!Number.isFinite(time) || !Number.isFinite(x) || !Number.isFinite(y)) return this.hold("not-finite");
    let gap = input.connected === false;
    if (this.started) {
      const dt = time - this.time;
      // a fix slightly out of order is left out; a clock set back starts afresh
      if (dt <= 0 && dt >= -this.maximumGap) return this.hold("time-order");
      const dx = x - this.x;
      const dy = y - this.y;
      const step = Math.sqrt(dx * dx + dy * dy);
      if (!(dt > 0 && dt <= this.maximumGap) || step > FASTEST * dt + 1) gap = true;
    }
    if (gap) this.forgetMotion(time);
    if (gap && Math.abs(time - this.time) > FORGOTTEN) this.sense.reversing = false;
    const first = gap || !this.started;
    this.started = true;
    this.time = time;
    this.x = x;
    this.y = y;
    const trail = this.trail;
    trail.newTime = time;
    trail.newX = x;
    trail.newY = y;
    trail.push();
    this.measure(input, first);
    return this.own;
  }

  /**
   * @returns a plain copy of the whole state, safe in JSON
   */
  snapshot(): HeadingSnapshot {
    const f = this.filter;
    return {
      version: 1,
      state: { ...this.own },
      numbers: [
        Number(this.started),
        this.time,
        this.x,
        this.y,
        this.followed,
        Number(this.sense.known),
        this.sense.travel,
        this.sense.time,
        Number(this.sense.stood),
        this.stoodAt,
        Number(f.tracking),
        f.angle,
        f.rate,
        f.time,
      ],
      trail: this.trail.toList(),
    };
  }

  /**
   * An estimator that goes on where a snapshot was taken, bit for bit.
   *
   * @param snapshot - from {@link HeadingEstimator.snapshot}
   * @param options - the same options as before
   * @returns a new estimator
   * @throws `FeeringError` `bad-snapshot` when it is of another version or damaged
   */
  static restore(snapshot: HeadingSnapshot, options: HeadingOptions = {}): HeadingEstimator {
    checkHeadingSnapshot(snapshot, 14);
    const n = snapshot.numbers;
    const estimator = new HeadingEstimator(options);
    Object.assign(estimator.own, snapshot.state);
    estimator.sense.reversing = snapshot.state.reversing;
    estimator.started = n[0] === 1;
    estimator.time = n[1]!;
    estimator.x = n[2]!;
    estimator.y = n[3]!;
    estimator.followed = n[4]!;
    estimator.sense.known = n[5] === 1;
    estimator.sense.travel = n[6]!;
    estimator.sense.time = n[7]!;
    estimator.sense.stood = n[8] === 1;
    estimator.stoodAt = n[9]!;
    estimator.filter.tracking = n[10] === 1;
    estimator.filter.angle = n[11]!;
    estimator.filter.rate = n[12]!;
    estimator.filter.time = n[13]!;
    estimator.trail.fromList(snapshot.trail);
    return estimator;
  }

  private hold(reason: HeadingReason): HeadingState {
    const state = this.own;
    if (state.source !== "none") state.source = "held";
    state.reason = reason;
    return state;
  }

  private forgetMotion(time: number): void {
    this.trail.clear();
    this.filter.reset();
    this.followed = 0;
    this.stoodAt = time;
    this.sense.forget();
  }

  private measure(input: HeadingInput, first: boolean): void {
    const state = this.own;
    const time = this.time;
    const trail = this.trail;

    let speed = input.speed ?? Number.NaN;
    if (!Number.isFinite(speed)) speed = trail.measureSpeed(time, this.x, this.y) ? trail.speed : 0;
    speed = Math.min(Math.abs(speed), FASTEST);
    this.measuredSpeed = speed;
    state.moving = speed >= (state.moving ? this.standstillSpeed : this.movingSpeed);

    // by the field: a number that a call returns, or might, is boxed
    this.course = Number.NaN;
    this.courseTime = time;
    if (state.moving) {
      const given = input.course ?? Number.NaN;
      if (Number.isFinite(given)) {
        this.course = given + 0;
        if (!(given >= 0 && given < 360)) this.course = wrapHeading(given);
      } else if (trail.measureCourse(time, this.x, this.y, this.minimumDistance, this.stoodAt)) {
        this.course = wrapHeading(trail.course);
        this.courseTime = trail.courseTime;
      }
    } else {
      this.sense.stood = true;
      this.stoodAt = time;
    }
    const hasCourse = Number.isFinite(this.course);
    const heading = input.heading ?? Number.NaN;
    const hasHeading = Number.isFinite(heading);
    this.measuredHeading = heading;
    this.measuredRate = input.yawRate ?? Number.NaN;
    this.decideSense(input.reversing, hasCourse, hasHeading);

    let source: HeadingSource = state.source === "none" ? "none" : "held";
    let reason: HeadingReason = first ? "gap" : state.moving ? "no-course" : "standstill";
    if (hasHeading) {
      this.filter.smoothing = this.smoothingTime;
      this.follow(true);
      source = "antennas";
      reason = "measured";
    } else if (hasCourse) {
      const slow = Math.min(SMOOTHING_LIMIT, SMOOTHING_DISTANCE / speed);
      this.filter.smoothing = Math.max(this.smoothingTime, slow);
      this.follow(false);
      source = "course";
      reason = "measured";
    } else if (!state.moving || time - this.filter.time > CARRIED) {
      this.filter.reset();
    }
    state.source = source;
    state.reason = reason;
    this.settle(hasHeading);
  }

  /** Whether the machine drives backwards. */
  private decideSense(gear: boolean | undefined, hasCourse: boolean, hasHeading: boolean): void {
    const sense = this.sense;
    const filter = this.filter;
    sense.course = this.course;
    sense.courseTime = this.courseTime;
    sense.heading = this.measuredHeading;
    if (typeof gear === "boolean") {
      sense.reversing = gear;
      // a gear shifted while the machine still rolls the other way: the motion tells plainly
      if (hasCourse && hasHeading) sense.compare();
      else if (hasCourse && filter.tracking) {
        filter.measuredTime = this.courseTime;
        filter.carry();
        sense.heading = filter.carried;
        sense.compare();
      }
    } else if (hasCourse && hasHeading) sense.compare();
    else if (hasCourse && sense.known) sense.follow();
    else if (hasCourse && this.own.source !== "none") {
      sense.heading = this.own.heading;
      sense.resume();
    }
    if (hasCourse) sense.keep();
    this.own.reversing = sense.reversing;
  }

  /** Take an angle of the heading (1) or of the course (2) into the filter. */
  private follow(antennas: boolean): void {
    const filter = this.filter;
    const turning = Number.isFinite(this.measuredRate);
    const what = antennas ? 1 : turning ? 3 : 2;
    filter.measuredTime = antennas ? this.time : this.courseTime;
    filter.measured = antennas ? this.measuredHeading : this.sense.reversing ? this.course + 180 : this.course;
    // heading and course differ by the drift on a slope: no turn may be read from the change-over
    const changed = this.followed !== what && filter.tracking;
    this.followed = what;
    if (turning) {
      filter.measuredRate = this.measuredRate;
      if (!antennas) {
        this.slide(this.measuredRate);
        filter.measured -= this.slip;
      }
      filter.turn();
    } else if (changed) filter.shift();
    else filter.update();
  }

  /** From what the antenna does to what the reference point does. */
  private settle(hasHeading: boolean): void {
    const speed = this.measuredSpeed;
    const state = this.own;
    const filter = this.filter;
    const rate = filter.tracking ? filter.rate : 0;
    const omega = rate * RADIANS;
    this.slide(rate);
    const sideways = this.sideways;
    const ahead = Math.sqrt(speed * speed - sideways * sideways) * (state.reversing ? -1 : 1);
    if (state.source === "antennas") state.heading = wrapHeading(this.measuredHeading);
    else if (filter.tracking) {
      filter.measuredTime = this.time;
      filter.carry();
      state.heading = this.followed === 2 ? filter.carried - this.slip + 0 : filter.carried;
      if (!(state.heading >= 0 && state.heading < 360)) state.heading = wrapHeading(state.heading);
    }
    const signed = ahead + omega * this.antennaY;
    state.speed = signed + 0;
    state.yawRate = state.moving || hasHeading ? rate + 0 : 0;
    const curvature = state.moving && Math.abs(signed) >= this.standstillSpeed ? omega / signed : 0;
    state.curvature = Math.max(-TIGHTEST, Math.min(TIGHTEST, curvature)) + 0;
  }

  /**
   * How the antenna slides in a turn of `rate` degrees/s: its speed to the machine's right (of its velocity (v - omega y, omega x)), m/s, and the
   * angle from the heading to its course (turned round in reverse), degrees.
   */
  private slide(rate: number): void {
    const speed = this.measuredSpeed;
    const most = 0.9 * speed;
    const sideways = Math.max(-most, Math.min(most, rate * RADIANS * this.antennaX));
    this.sideways = sideways;
    const slip = speed > 0 ? Math.asin(sideways / speed) / RADIANS : 0;
    this.slip = this.sense.reversing ? -slip : slip;
  }
}
