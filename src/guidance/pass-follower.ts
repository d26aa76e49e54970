import { FeeringError } from "../errors/feering-error.js";
import { requireObject } from "../errors/require.js";
import { wrapHeading } from "../geometry/angle.js";
import type { Line } from "../geometry/types.js";
import { type CheckedOptions, checkOptions, type FollowerOptions, HYSTERESIS_SHARE } from "./follower-options.js";
import { checkSnapshot, type ExplicitLine, type FollowerSnapshot } from "./follower-snapshot.js";
import { type GuidancePattern, guidancePattern } from "./guidance-pattern.js";
import { blankState, clearState, type GuidanceState, type WritableState } from "./guidance-state.js";
import { CurveLocator } from "./curve-locator.js";
import { type ExplicitLineOptions, explicitLine } from "./explicit-line.js";
import {
  AHEAD,
  AHEAD_X,
  AHEAD_Y,
  ALONG,
  ALONG_X,
  ALONG_Y,
  CURVATURE,
  ERROR,
  HEADING,
  LINE_HEADING,
  type LineLocator,
  OFFSET,
  RIGHT,
  SLOTS,
  STATION,
  X,
  Y,
} from "./line-locator.js";
import { makeLocator } from "./make-locator.js";
import { PassChoice } from "./pass-choice.js";
import { PassEnds } from "./pass-ends.js";

/** Farthest coordinate taken for a position, metres: more than twice the way round the Earth. */
const FARTHEST = 1e8;

// slots of what comes in, until it is found good
const IN_X = SLOTS;
const IN_Y = SLOTS + 1;
const IN_HEADING = SLOTS + 2;

/**
 * Follows a machine over the passes of a pattern, live.
 *
 * Lines of every shape are followed alike: a pass is where the signed distance from the reference line is its own, so the
 * error on it takes one nearest point and carries no error of construction, however many passes away.
 *
 * Every call takes what it is given: bad numbers give a state that says so, nothing throws, nothing is allocated. Each call
 * returns the one state object that the follower owns. Cross-track error and stations are exact within 1e-9 m in the plane,
 * whichever pass; against the geodesic on the ellipsoid within 0.1 mm when the frame's origin is within 3 km of the line
 * (`tests/guidance/geodesic.test.ts`).
 *
 * @example
 * ```ts
 * const follower = new PassFollower(guidancePattern(straightLine([0, 0], [0, 400]), { swathWidth: 24 }));
 * const state = follower.update(24.3, 100, 1.5, false);
 * console.log(state.pass, state.crossTrackError.toFixed(2), state.steer); // 1 0.30 left
 * ```
 */
export class PassFollower {
  /** the state, as the last call left it */
  readonly state: GuidanceState;

  readonly #state: WritableState = blankState((axis) => this.#lookAhead(axis));
  readonly #options: CheckedOptions;
  readonly #numbers = new Float64Array(SLOTS + 3);
  readonly #choice = new PassChoice();
  readonly #ends: PassEnds;
  #pattern: GuidancePattern | null = null;
  #locator: LineLocator | undefined;
  #explicit: ExplicitLine | undefined;
  #located = false;
  #headed = false;
  #faced = false;
  #same = true;
  #reversing = false;
  // whether the look-ahead point of this state is there already
  #ahead = false;

  /**
   * @param pattern - from `guidancePattern`, or null as long as there is none
   * @param options - margins, tolerance, field
   * @throws `FeeringError` for a damaged pattern (see `guidancePattern`), a setting out of its range, a polygon that is none
   */
  constructor(pattern: GuidancePattern | null, options: FollowerOptions = {}) {
    this.state = this.#state;
    this.#options = checkOptions(options);
    this.#ends = new PassEnds(options.field);
    this.usePattern(pattern);
  }

  /** The pattern followed, null where there is none. */
  get pattern(): GuidancePattern | null {
    return this.#pattern;
  }

  /**
   * Take a new position.
   *
   * @param x - metres east in the pattern's frame
   * @param y - metres north
   * @param heading - where the nose points, degrees clockwise from the frame's north, also while reversing; NaN where unknown
   * @param reversing - whether the machine goes backwards; default false
   * @returns the follower's own state, overwritten by its next call
   */
  update(x: number, y: number, heading: number, reversing = false): GuidanceState {
    // short, so that the engine compiles it into its caller: else the numbers would be boxed on their way here
    const numbers = this.#numbers;
    numbers[IN_X] = x;
    numbers[IN_Y] = y;
    numbers[IN_HEADING] = heading;
    this.#step(reversing);
    return this.#state;
  }

  /**
   * Stay on a pass, however near others are, until {@link PassFollower.release}.
   *
   * @param pass - its number; the nearest that the pattern allows is taken. What is no whole number changes nothing. Default:
   * the pass followed now, or the first one found
   * @returns the state, with the error from that pass
   */
  hold(pass?: number): GuidanceState {
    if (pass === undefined) this.#choice.held = true;
    else if (Number.isSafeInteger(pass) && this.#pattern !== null) {
      this.#choice.hold(pass);
      this.#endExplicit();
    }
    return this.#refresh();
  }

  /**
   * Go to a pass counted from the one followed now, and hold it.
   *
   * @param count - how many numbers further, right positive in the line's own direction; default 1
   * @returns the state, with the error from that pass; unchanged before the first position
   */
  skip(count = 1): GuidanceState {
    return this.#choice.chosen ? this.hold(this.#choice.pass + count) : this.#state;
  }

  /**
   * Follow the nearest pass again; an explicit line is left.
   *
   * @returns the state
   */
  release(): GuidanceState {
    this.#choice.held = false;
    this.#endExplicit();
    return this.#refresh();
  }

  /**
   * Follow an explicit line in place of a pass: a drivable line from `feering/offset`, say, whose bends a machine can drive
   * where the pass itself has corners. `GuidanceState.explicit` says so from here on, and every number of the state is that of
   * this line. The pattern and its pass number stay as they are underneath. Holding a number, skipping, releasing or using a
   * pattern ends it.
   *
   * @param line - metres, at least two distinct points; past its ends its end directions go on, but are not on the pass
   * @param options - whether it is a loop
   * @returns the state
   * @throws `FeeringError` `too-few-points`, `not-finite`, `out-of-range` or `degenerate` for a bad line,
   * `wrong-state` as long as there is no pattern; what was followed is then kept
   */
  followLine(line: Line, options: ExplicitLineOptions = {}): GuidanceState {
    return this.#useExplicit(explicitLine(line, options));
  }

  /**
   * Follow another pattern, or a changed one: the same line shifted or renumbered keeps the pass under the machine, held or
   * not; another line, or another swath width, is begun anew.
   *
   * @param pattern - from `guidancePattern`, or null for none
   * @returns the state
   * @throws `FeeringError` for a damaged pattern, see `guidancePattern`; the old one is then kept
   */
  usePattern(pattern: GuidancePattern | null): GuidanceState {
    const state = this.#state;
    if (pattern === null) {
      this.#explicit = undefined;
      this.#pattern = null;
      this.#choice.forget();
      clearState(state);
      return state;
    }
    requireObject(pattern, "pattern");
    const checked = guidancePattern(pattern.line, pattern);
    const locator = makeLocator(checked, this.#options.curvatureWindow);
    const choice = this.#choice;
    this.#explicit = undefined;
    choice.usePattern(checked, this.#options.passHysteresis ?? HYSTERESIS_SHARE * checked.swathWidth);
    this.#ends.useLocator(locator);
    this.#locator = locator;
    this.#pattern = checked;
    // a line begun anew is faced anew
    if (!choice.chosen) {
      this.#faced = false;
      this.#same = true;
    }
    if (state.status === "no-line") {
      state.status = "invalid";
      state.kept = this.#located;
    }
    return this.#refresh();
  }

  /**
   * The point on the pass ahead of the machine's foot, for a distance that changes with speed.
   *
   * @param distance - metres in direction of travel, negative for behind
   * @param out - takes east and north, metres
   * @param offset - where in `out`; default 0
   * @returns false, with `out` left alone, before the first position or for a distance that is no number up to 1e8 m
   */
  pointAhead(distance: number, out: Float64Array, offset = 0): boolean {
    const state = this.#state;
    const numbers = this.#numbers;
    if (this.#pattern === null || !this.#located || !(Math.abs(distance) <= FARTHEST)) return false;
    numbers[AHEAD] = state.travelSameDirection ? distance : -distance;
    this.#locator!.lookAhead(numbers);
    out[offset] = numbers[AHEAD_X]! + 0;
    out[offset + 1] = numbers[AHEAD_Y]! + 0;
    this.#ahead = false;
    return true;
  }

  /**
   * What the follower remembers, to be put away.
   *
   * @returns a plain object, nothing shared with the follower
   */
  snapshot(): FollowerSnapshot {
    return {
      version: 1,
      status: this.#state.status,
      kept: this.#state.kept,
      pass: this.#choice.chosen ? this.#choice.pass : null,
      passHeld: this.#choice.held,
      sameDirection: this.#faced ? this.#same : null,
      reversing: this.#reversing,
      position: this.#located ? [this.#numbers[X]!, this.#numbers[Y]!] : null,
      heading: this.#headed ? this.#numbers[HEADING]! : null,
      ...(this.#explicit === undefined ? {} : { explicit: this.#explicit }),
    };
  }

  /**
   * A follower that goes on where another left off; with the same pattern and settings every later state is the same.
   *
   * @param snapshot - from {@link PassFollower.snapshot}, straight or by way of JSON
   * @param pattern - as for the constructor
   * @param options - as for the constructor
   * @returns a new follower, its state as it was
   * @throws `FeeringError` `bad-snapshot` for a damaged one, else as the constructor
   */
  static restore(
    snapshot: FollowerSnapshot,
    pattern: GuidancePattern | null,
    options: FollowerOptions = {},
  ): PassFollower {
    const { status, kept, pass, passHeld, sameDirection, reversing, position, heading, explicit } =
      checkSnapshot(snapshot);
    const follower = new PassFollower(pattern, options);
    follower.#reversing = reversing;
    follower.#choice.held = passHeld;
    if (position !== null) {
      follower.#numbers[X] = position[0];
      follower.#numbers[Y] = position[1];
      follower.#located = true;
    }
    if (heading !== null) {
      follower.#numbers[HEADING] = heading;
      follower.#headed = true;
    }
    if (pattern === null) {
      follower.#state.passHeld = passHeld;
      return follower;
    }
    if (pass !== null) {
      follower.#choice.pass = follower.#choice.allowed(pass);
      follower.#choice.chosen = true;
    }
    if (sameDirection !== null) {
      follower.#same = sameDirection;
      follower.#faced = true;
    }
    if (explicit === undefined) follower.#refresh();
    else follower.#useExplicit(explicitLine(explicit.points, { closed: explicit.closed }));
    follower.#state.status = status === "no-line" ? "invalid" : status;
    follower.#state.kept = kept;
    return follower;
  }

  #lookAhead(axis: 0 | 1): number {
    const numbers = this.#numbers;
    if (this.#pattern === null || !this.#choice.chosen || !this.#located) return 0;
    if (!this.#ahead) {
      const distance = this.#options.lookAheadDistance;
      numbers[AHEAD] = this.#state.travelSameDirection ? distance : -distance;
      this.#locator!.lookAhead(numbers);
      this.#ahead = true;
    }
    return numbers[AHEAD_X + axis]! + 0;
  }

  #useExplicit(line: ExplicitLine): GuidanceState {
    if (this.#pattern === null) {
      throw new FeeringError("wrong-state", "there is no pattern yet whose pass a line could take the place of", {
        argument: "line",
      });
    }
    const locator = new CurveLocator(line, "none", 0, 0, this.#options.curvatureWindow);
    this.#explicit = line;
    this.#locator = locator;
    this.#ends.useLocator(locator);
    return this.#refresh();
  }

  // back to the pattern's own pass
  #endExplicit(): void {
    if (this.#explicit === undefined || this.#pattern === null) return;
    const locator = makeLocator(this.#pattern, this.#options.curvatureWindow);
    this.#explicit = undefined;
    this.#locator = locator;
    this.#ends.useLocator(locator);
  }

  // the state again after an operator's verb, from the last good input
  #refresh(): GuidanceState {
    const state = this.#state;
    const numbers = this.#numbers;
    state.passHeld = this.#choice.held;
    if (this.#choice.chosen) state.pass = this.#choice.pass;
    if (this.#pattern === null || !this.#located) return state;
    const { status, kept } = state;
    numbers[IN_X] = numbers[X]!;
    numbers[IN_Y] = numbers[Y]!;
    numbers[IN_HEADING] = this.#headed ? numbers[HEADING]! : Number.NaN;
    this.#step(this.#reversing);
    state.status = status;
    state.kept = kept;
    return state;
  }

  // one long function on purpose: too long to be compiled into `update`, which must stay short
  #step(reversing: boolean): void {
    const state = this.#state;
    const numbers = this.#numbers;
    const choice = this.#choice;
    const x = numbers[IN_X]!;
    const y = numbers[IN_Y]!;
    const heading = numbers[IN_HEADING]!;
    // NaN fails both comparisons
    const placed = Math.abs(x) <= FARTHEST && Math.abs(y) <= FARTHEST;
    const headed = Number.isFinite(heading);
    if (placed) {
      numbers[X] = x;
      numbers[Y] = y;
      this.#located = true;
      this.#reversing = reversing;
      if (headed) {
        numbers[HEADING] = heading >= 0 && heading < 360 ? heading + 0 : wrapHeading(heading);
        this.#headed = true;
      }
    }
    if (this.#pattern === null) return;
    if (!placed) {
      state.status = "invalid";
      state.kept = choice.chosen && this.#located;
      return;
    }
    state.status = headed ? "ok" : "no-heading";
    state.kept = !headed && this.#headed;

    const locator = this.#locator!;
    locator.locate(numbers);
    const explicit = this.#explicit !== undefined;
    if (explicit) {
      numbers[ERROR] = numbers[RIGHT]! + 0;
      numbers[OFFSET] = 0;
    } else choice.choose(numbers);
    locator.measure(numbers);
    const error = numbers[ERROR]!;
    const ux = numbers[ALONG_X]!;
    const uy = numbers[ALONG_Y]!;
    state.pass = choice.pass;
    state.passHeld = choice.held;
    state.explicit = explicit;
    state.beyondPattern = !explicit && choice.beyond;
    state.crossTrackError = error;
    state.distanceAlong = numbers[ALONG]! + 0;
    state.lineStation = numbers[STATION]! + 0;
    state.passHeading = numbers[LINE_HEADING]!;
    state.curvature = numbers[CURVATURE]! + 0;
    state.footX = x - error * uy + 0;
    state.footY = y + error * ux + 0;
    if (this.#headed) this.#face();
    const travel = this.#same !== this.#reversing;
    state.travelSameDirection = travel;
    this.#ahead = false;
    const distance = Math.abs(error);
    const onLine = distance <= this.#options.onLineTolerance;
    state.steerDistance = distance;
    state.onLine = onLine;
    if (!this.#faced) state.steer = "none";
    else if (onLine) state.steer = "straight";
    else state.steer = error > 0 === this.#same ? "left" : "right";
    this.#ends.measure(state, numbers);
  }

  // which way the nose points along the line; near square to it, the same way as before
  #face(): void {
    const state = this.#state;
    // the short way round, written out: a function's number would be boxed on its way back
    let turned = this.#numbers[HEADING]! - this.#numbers[LINE_HEADING]!;
    if (turned > 180) turned -= 360;
    else if (turned <= -180) turned += 360;
    const off = Math.abs(turned);
    const band = this.#options.directionHysteresis;
    if (!this.#faced) this.#same = off <= 90;
    else if (this.#same) this.#same = off <= 90 + band;
    else this.#same = off < 90 - band;
    this.#faced = true;
    state.sameDirection = this.#same;
    state.headingError = turned + 0;
    state.drivingHeadingError = this.#same ? turned + 0 : turned > 0 ? turned - 180 : turned + 180;
  }
}
