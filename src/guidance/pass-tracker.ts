import { wrapHeading } from "../geometry/angle.js";
import { CurveLocator } from "./curve-locator.js";
import type { CheckedOptions } from "./follower-options.js";
import type { ExplicitLine } from "./follower-snapshot.js";
import type { GuidancePattern } from "./guidance-pattern.js";
import { blankState, clearState, type WritableState } from "./guidance-state.js";
import {
  AHEAD,
  AHEAD_X,
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
import type { PassEnds } from "./pass-ends.js";
import { FARTHEST } from "./require-near.js";

/** Slot of what comes in, until it is found good: metres east. */
export const IN_X: number = SLOTS;
/** metres north */
export const IN_Y: number = SLOTS + 1;
/** nose, degrees */
export const IN_HEADING: number = SLOTS + 2;

/** The work of a `PassFollower` under its verbs: one fix after the other written into its state. */
export class PassTracker {
  /** as the last step left it */
  readonly state: WritableState = blankState((axis) => this.#ahead(axis));
  /** slots of the locators, and of what comes in */
  readonly numbers: Float64Array = new Float64Array(SLOTS + 3);
  /** which pass */
  readonly choice: PassChoice = new PassChoice();
  /** line followed in place of the pass */
  explicit: ExplicitLine | undefined;
  /** whether there was a good position */
  located = false;
  /** whether there was a good heading */
  headed = false;
  /** whether the direction along the line is known */
  faced = false;
  /** whether the nose points from A to B */
  same = true;
  /** whether the machine goes backwards */
  reversing = false;

  readonly #options: CheckedOptions;
  readonly #ends: PassEnds;
  #pattern: GuidancePattern | null = null;
  #locator: LineLocator | undefined;
  // whether the look-ahead point of this state is there already
  #aheadFound = false;

  constructor(options: CheckedOptions, ends: PassEnds) {
    this.#options = options;
    this.#ends = ends;
  }

  /** The pattern followed, null where there is none. */
  get pattern(): GuidancePattern | null {
    return this.#pattern;
  }

  /** Back to no pattern. */
  forgetPattern(): void {
    this.explicit = undefined;
    this.#pattern = null;
    this.choice.forget();
    clearState(this.state);
  }

  /** Take a pattern that is checked. */
  usePattern(pattern: GuidancePattern, hysteresis: number): void {
    const locator = makeLocator(pattern, this.#options.curvatureWindow);
    this.explicit = undefined;
    this.choice.usePattern(pattern, hysteresis);
    this.#pattern = pattern;
    this.#useLocator(locator);
    // a line begun anew is faced anew
    if (!this.choice.chosen) {
      this.faced = false;
      this.same = true;
    }
  }

  /** Follow a checked line in place of the pass. */
  useExplicit(line: ExplicitLine): void {
    const locator = new CurveLocator(line, "none", 0, 0, this.#options.curvatureWindow);
    this.explicit = line;
    this.#useLocator(locator);
  }

  /** Back to the pattern's own pass. */
  endExplicit(): void {
    if (this.explicit === undefined || this.#pattern === null) return;
    const locator = makeLocator(this.#pattern, this.#options.curvatureWindow);
    this.explicit = undefined;
    this.#useLocator(locator);
  }

  /** Bring the state in step after an operator's verb, from the last good input. */
  refresh(): void {
    const state = this.state;
    const numbers = this.numbers;
    state.passHeld = this.choice.held;
    if (this.choice.chosen) state.pass = this.choice.pass;
    if (this.#pattern === null || !this.located) return;
    const { status, kept } = state;
    numbers[IN_X] = numbers[X]!;
    numbers[IN_Y] = numbers[Y]!;
    numbers[IN_HEADING] = this.headed ? numbers[HEADING]! : Number.NaN;
    this.step(this.reversing);
    state.status = status;
    state.kept = kept;
  }

  /** Put the point of the pass by a distance in direction of travel into AHEAD_X and AHEAD_Y. */
  lookAhead(distance: number): void {
    this.numbers[AHEAD] = this.state.travelSameDirection ? distance : -distance;
    this.#locator!.lookAhead(this.numbers);
    this.#aheadFound = false;
  }

  /** Take what came in. One long function on purpose: too long to be compiled into `update`, which must stay short. */
  step(reversing: boolean): void {
    const state = this.state;
    const numbers = this.numbers;
    const choice = this.choice;
    const x = numbers[IN_X]!;
    const y = numbers[IN_Y]!;
    const heading = numbers[IN_HEADING]!;
    // NaN fails both comparisons
    const placed = Math.abs(x) <= FARTHEST && Math.abs(y) <= FARTHEST;
    const headed = Number.isFinite(heading);
    if (placed) {
      numbers[X] = x;
      numbers[Y] = y;
      this.located = true;
      this.reversing = reversing;
      if (headed) {
        numbers[HEADING] = heading >= 0 && heading < 360 ? heading + 0 : wrapHeading(heading);
        this.headed = true;
      }
    }
    if (this.#pattern === null) return;
    if (!placed) {
      state.status = "invalid";
      state.kept = choice.chosen && this.located;
      return;
    }
    state.status = headed ? "ok" : "no-heading";
    state.kept = !headed && this.headed;

    const locator = this.#locator!;
    locator.locate(numbers);
    const explicit = this.explicit !== undefined;
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
    if (this.headed) this.#face();
    const travel = this.same !== this.reversing;
    state.travelSameDirection = travel;
    this.#aheadFound = false;
    const distance = Math.abs(error);
    const onLine = distance <= this.#options.onLineTolerance;
    state.steerDistance = distance;
    state.onLine = onLine;
    if (!this.faced) state.steer = "none";
    else if (onLine) state.steer = "straight";
    else state.steer = error > 0 === this.same ? "left" : "right";
    this.#ends.measure(state, numbers);
  }

  // found when it is read, for it may cost more than all the rest
  #ahead(axis: 0 | 1): number {
    if (this.#pattern === null || !this.choice.chosen || !this.located) return 0;
    if (!this.#aheadFound) {
      this.lookAhead(this.#options.lookAheadDistance);
      this.#aheadFound = true;
    }
    return this.numbers[AHEAD_X + axis]! + 0;
  }

  #useLocator(locator: LineLocator): void {
    this.#locator = locator;
    this.#ends.useLocator(locator);
  }

  // which way the nose points along the line; near square to it, the same way as before
  #face(): void {
    const state = this.state;
    // the short way round, written out: a function's number would be boxed on its way back
    let turned = this.numbers[HEADING]! - this.numbers[LINE_HEADING]!;
    if (turned > 180) turned -= 360;
    else if (turned <= -180) turned += 360;
    const off = Math.abs(turned);
    const band = this.#options.directionHysteresis;
    if (!this.faced) this.same = off <= 90;
    else if (this.same) this.same = off <= 90 + band;
    else this.same = off < 90 - band;
    this.faced = true;
    state.sameDirection = this.same;
    state.headingError = turned + 0;
    state.drivingHeadingError = this.same ? turned + 0 : turned > 0 ? turned - 180 : turned + 180;
  }
}
