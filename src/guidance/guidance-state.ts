/**
 * Whether a {@link GuidanceState} can be driven by.
 *
 * | status | meaning |
 * |---|---|
 * | `ok` | everything is of this update |
 * | `no-heading` | the position is of this update, the heading was no number: what depends on it is the last known |
 * | `invalid` | the position was no number or not on Earth: everything is the last known |
 * | `no-line` | there is no pattern yet |
 */
export type GuidanceStatus = "ok" | "no-heading" | "invalid" | "no-line";

/**
 * Where the line lies, from the driver's seat: steer there. `"straight"` on the line within the tolerance; `"none"` as long as
 * no position or no heading was known yet.
 */
export type SteerSide = "left" | "right" | "straight" | "none";

/**
 * Where a machine is on its pass, from `PassFollower`.
 *
 * One object, owned by the follower and overwritten by its next call: copy what is to be kept. Numbers are 0 before the
 * first good position; none is ever NaN or `-0`. The line's own direction is A to B; right is the right of that direction,
 * whichever way the machine drives.
 */
export interface GuidanceState {
  /** whether the numbers can be driven by */
  readonly status: GuidanceStatus;
  /** true when some of the numbers are of an earlier update, because this one's input was bad */
  readonly kept: boolean;
  /** number of the pass that is followed, integer, rising to the right */
  readonly pass: number;
  /** true while the operator holds the pass */
  readonly passHeld: boolean;
  /** true while an explicit line is followed in place of the pass: every distance is then that from this line */
  readonly explicit: boolean;
  /** true when the machine is beyond the outermost pass that the pattern allows, by more than half a swath */
  readonly beyondPattern: boolean;
  /** distance of the machine from the pass, metres, machine right of the pass positive, looking in the line's own direction */
  readonly crossTrackError: number;
  /** heading of the machine's nose less the line's own direction, degrees, more than -180 to 180, clockwise positive */
  readonly headingError: number;
  /** heading of the nose less the direction of the pass as the machine faces it (`headingError` when facing A to B, turned by 180 when facing B to A), degrees; the direction of travel less the direction in which the pass is travelled is the same number, in reverse too */
  readonly drivingHeadingError: number;
  /** true when the nose points from A to B, false for B to A; with hysteresis about square to the line. Reversing does not change it */
  readonly sameDirection: boolean;
  /** true when the machine travels from A to B: `sameDirection`, turned round while reversing */
  readonly travelSameDirection: boolean;
  /** direction of the pass beside the machine, the line's own, degrees, 0 included to 360 excluded */
  readonly passHeading: number;
  /** curvature of the pass beside the machine, in the line's own direction, 1/m, right turn positive; 0 for straight lines, no more than 10 either way where the pass has a corner */
  readonly curvature: number;
  /** station of the machine on the pass: metres along the pass from the foot of A in the line's own direction, negative before A; less than a lap on a loop */
  readonly distanceAlong: number;
  /** station of the machine's foot on the reference line itself, metres from A; the same as `distanceAlong` where lines are straight */
  readonly lineStation: number;
  /** true when the machine is beside a piece of the pass: between its ends, and in the field where one was given */
  readonly onPass: boolean;
  /** metres of travel to where the next piece of the pass begins; 0 on one, infinite when none lies ahead */
  readonly distanceToStart: number;
  /** metres of travel to the end of the piece that the machine is on, else of the next one ahead; negative when the last one ended behind the machine; infinite for a pass without an end, and a loop has none; 0 for a pass that has no piece in the field */
  readonly distanceToEnd: number;
  /** foot of the machine on the pass, metres east */
  readonly footX: number;
  /** foot of the machine on the pass, metres north */
  readonly footY: number;
  /** point on the pass ahead of the foot by the look-ahead distance in direction of travel, metres along the pass, metres east; goes on straight past the pass's end, and is the next point that the pass has where it has a gap. Found when it is read */
  readonly aheadX: number;
  /** the same point, metres north */
  readonly aheadY: number;
  /** side on which the line lies from the driver's seat; turning the wheel that way brings the machine there, in reverse too */
  readonly steer: SteerSide;
  /** how far away the line lies, metres, 0 at least */
  readonly steerDistance: number;
  /** true when the line is nearer than the tolerance */
  readonly onLine: boolean;
}

/** A state that its owner may write to. */
export type WritableState = {
  -readonly [K in Exclude<keyof GuidanceState, "aheadX" | "aheadY">]: GuidanceState[K];
} & Pick<GuidanceState, "aheadX" | "aheadY">;

/**
 * A state with every number 0.
 *
 * @param lookAhead - gives the look-ahead point's east (0) and north (1); asked when they are read, for the way to it may
 * cost more than all the rest
 */
export function blankState(lookAhead: (axis: 0 | 1) => number): WritableState {
  // begun as NaN, a field holds doubles in place from the start, and writing to it allocates nothing
  const state: Omit<WritableState, "aheadX" | "aheadY"> = {
    status: "no-line",
    kept: false,
    pass: 0,
    passHeld: false,
    explicit: false,
    beyondPattern: false,
    crossTrackError: Number.NaN,
    headingError: Number.NaN,
    drivingHeadingError: Number.NaN,
    sameDirection: true,
    travelSameDirection: true,
    passHeading: Number.NaN,
    curvature: Number.NaN,
    distanceAlong: Number.NaN,
    lineStation: Number.NaN,
    onPass: false,
    distanceToStart: Number.NaN,
    distanceToEnd: Number.NaN,
    footX: Number.NaN,
    footY: Number.NaN,
    steer: "none",
    steerDistance: Number.NaN,
    onLine: false,
  };
  // the same getters for all states, added one by one: a state with getters of its own would be kept as a slow table, and
  // writing to that allocates
  Object.defineProperty(state, LOOK_AHEAD, { value: lookAhead });
  Object.defineProperty(state, "aheadX", { get: aheadX, enumerable: true });
  Object.defineProperty(state, "aheadY", { get: aheadY, enumerable: true });
  clearState(state as WritableState);
  return state as WritableState;
}

const LOOK_AHEAD = Symbol("look-ahead");

interface Looking {
  readonly [LOOK_AHEAD]: (axis: 0 | 1) => number;
}

function aheadX(this: Looking): number {
  return this[LOOK_AHEAD](0);
}

function aheadY(this: Looking): number {
  return this[LOOK_AHEAD](1);
}

/** Back to the state before the first update. */
export function clearState(state: WritableState): void {
  state.status = "no-line";
  state.kept = false;
  state.pass = 0;
  state.passHeld = false;
  state.explicit = false;
  state.beyondPattern = false;
  state.crossTrackError = 0;
  state.headingError = 0;
  state.drivingHeadingError = 0;
  state.sameDirection = true;
  state.travelSameDirection = true;
  state.passHeading = 0;
  state.curvature = 0;
  state.distanceAlong = 0;
  state.lineStation = 0;
  state.onPass = false;
  state.distanceToStart = 0;
  state.distanceToEnd = 0;
  state.footX = 0;
  state.footY = 0;
  state.steer = "none";
  state.steerDistance = 0;
  state.onLine = false;
}
