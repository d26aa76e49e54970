import { FeeringError } from "../errors/feering-error.js";
import { requireObject } from "../errors/require.js";
import type { Line } from "../geometry/types.js";
import { type ExplicitLineOptions, explicitLine } from "./explicit-line.js";
import { type CheckedOptions, checkOptions, type FollowerOptions, HYSTERESIS_SHARE } from "./follower-options.js";
import { checkSnapshot, type ExplicitLine, type FollowerSnapshot } from "./follower-snapshot.js";
import { type GuidancePattern, guidancePattern } from "./guidance-pattern.js";
import type { GuidanceState } from "./guidance-state.js";
import { AHEAD_X, AHEAD_Y, HEADING, X, Y } from "./line-locator.js";
import { PassEnds } from "./pass-ends.js";
import { IN_HEADING, IN_X, IN_Y, PassTracker } from "./pass-tracker.js";
import { FARTHEST } from "./require-near.js";

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

  readonly #options: CheckedOptions;
  readonly #tracker: PassTracker;
  // the tracker's own, at hand for `update`
  readonly #numbers: Float64Array;

  /**
   * @param pattern - from `guidancePattern`, or null as long as there is none
   * @param options - margins, tolerance, field
   * @throws `FeeringError` for a damaged pattern (see `guidancePattern`), a setting out of its range, a polygon that is none
   */
  constructor(pattern: GuidancePattern | null, options: FollowerOptions = {}) {
    this.#options = checkOptions(options);
    this.#tracker = new PassTracker(this.#options, new PassEnds(options.field));
    this.#numbers = this.#tracker.numbers;
    this.state = this.#tracker.state;
    this.usePattern(pattern);
  }

  /** The pattern followed, null where there is none. */
  get pattern(): GuidancePattern | null {
    return this.#tracker.pattern;
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
    // what is no number would throw when put into the array
    numbers[IN_X] = typeof x === "number" ? x : Number.NaN;
    numbers[IN_Y] = typeof y === "number" ? y : Number.NaN;
    numbers[IN_HEADING] = typeof heading === "number" ? heading : Number.NaN;
    this.#tracker.step(reversing === true);
    return this.state;
  }

  /**
   * Stay on a pass, however near others are, until {@link PassFollower.release}.
   *
   * @param pass - its number; the nearest that the pattern allows is taken. What is no whole number changes nothing. Default:
   * the pass followed now, or the first one found
   * @returns the state, with the error from that pass
   */
  hold(pass?: number): GuidanceState {
    const { choice, pattern } = this.#tracker;
    if (pass === undefined) choice.held = true;
    else if (Number.isSafeInteger(pass) && pattern !== null) {
      choice.hold(pass);
      this.#tracker.endExplicit();
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
    const { choice } = this.#tracker;
    return choice.chosen && Number.isSafeInteger(count) ? this.hold(choice.pass + count) : this.state;
  }

  /**
   * Follow the nearest pass again; an explicit line is left.
   *
   * @returns the state
   */
  release(): GuidanceState {
    this.#tracker.choice.held = false;
    this.#tracker.endExplicit();
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
    const { state, located } = this.#tracker;
    if (pattern === null) {
      this.#tracker.forgetPattern();
      return state;
    }
    requireObject(pattern, "pattern");
    const checked = guidancePattern(pattern.line, pattern);
    this.#tracker.usePattern(checked, this.#options.passHysteresis ?? HYSTERESIS_SHARE * checked.swathWidth);
    if (state.status === "no-line") {
      state.status = "invalid";
      state.kept = located;
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
    const { numbers, pattern, located } = this.#tracker;
    if (pattern === null || !located || !Number.isFinite(distance) || Math.abs(distance) > FARTHEST) return false;
    if (!(out instanceof Float64Array)) return false;
    this.#tracker.lookAhead(distance);
    out[offset] = numbers[AHEAD_X]! + 0;
    out[offset + 1] = numbers[AHEAD_Y]! + 0;
    return true;
  }

  /**
   * What the follower remembers, to be put away.
   *
   * @returns a plain object, nothing shared with the follower
   */
  snapshot(): FollowerSnapshot {
    const { choice, explicit, faced, headed, located, numbers, reversing, same, state } = this.#tracker;
    return {
      version: 1,
      status: state.status,
      kept: state.kept,
      pass: choice.chosen ? choice.pass : null,
      passHeld: choice.held,
      sameDirection: faced ? same : null,
      reversing,
      position: located ? [numbers[X]!, numbers[Y]!] : null,
      heading: headed ? numbers[HEADING]! : null,
      ...(explicit === undefined ? {} : { explicit }),
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
    const tracker = follower.#tracker;
    const { choice, numbers, state } = tracker;
    tracker.reversing = reversing;
    choice.held = passHeld;
    if (position !== null) {
      numbers[X] = position[0];
      numbers[Y] = position[1];
      tracker.located = true;
    }
    if (heading !== null) {
      numbers[HEADING] = heading;
      tracker.headed = true;
    }
    if (pattern === null) {
      state.passHeld = passHeld;
      return follower;
    }
    if (pass !== null) {
      choice.pass = choice.allowed(pass);
      choice.chosen = true;
    }
    if (sameDirection !== null) {
      tracker.same = sameDirection;
      tracker.faced = true;
    }
    if (explicit === undefined) tracker.refresh();
    else follower.#useExplicit(explicitLine(explicit.points, { closed: explicit.closed }));
    state.status = status === "no-line" ? "invalid" : status;
    state.kept = kept;
    return follower;
  }

  #useExplicit(line: ExplicitLine): GuidanceState {
    if (this.#tracker.pattern === null) {
      throw new FeeringError("wrong-state", "there is no pattern yet whose pass a line could take the place of", {
        argument: "line",
      });
    }
    this.#tracker.useExplicit(line);
    return this.#refresh();
  }

  #refresh(): GuidanceState {
    this.#tracker.refresh();
    return this.state;
  }
}
