import type { MachinePoint } from "./machine.js";

/** What a {@link HeadingEstimator} is told with each fix. Everything but time and place may be missing. */
export interface HeadingInput {
  /** seconds, growing */
  readonly time: number;
  /** antenna (or whatever point is followed), metres east in the frame */
  readonly x: number;
  /** antenna, metres north in the frame */
  readonly y: number;
  /** speed over ground as the receiver measures it, m/s, never negative; else taken from the positions */
  readonly speed?: number | undefined;
  /** course over ground, degrees clockwise from the frame's north; else taken from the positions */
  readonly course?: number | undefined;
  /** heading of the machine itself (two antennas, a compass), degrees clockwise from the frame's north */
  readonly heading?: number | undefined;
  /** turn rate as a gyroscope measures it, or as speed times the curvature that the wheels are steered to, degrees/s, clockwise positive */
  readonly yawRate?: number | undefined;
  /** the gear: true in reverse, false in a forward gear or neutral; else worked out from the motion */
  readonly reversing?: boolean | undefined;
  /** false when this place may not be joined with the one before (a jump, a gap); default true */
  readonly connected?: boolean | undefined;
}

/**
 * Where a heading comes from: `antennas` measured on the machine itself, `course` from its motion, `held` the last one known,
 * `none` never known yet (the heading given is then 0 and means nothing).
 */
export type HeadingSource = "antennas" | "course" | "held" | "none";

/**
 * Why the heading is what it is: `measured` with this fix; `standstill` too slow for a course; `no-course` moving, but no course yet;
 * `gap` first fix after a gap or jump; `time-order` not newer than the fix before, nothing changed; `not-finite` bad input,
 * nothing changed.
 */
export type HeadingReason = "measured" | "standstill" | "no-course" | "gap" | "time-order" | "not-finite";

/** How the machine stands and moves, at its reference point. Always finite. */
export interface HeadingState {
  /** degrees clockwise from the frame's north, 0 at least and less than 360 */
  readonly heading: number;
  /** where the heading comes from */
  readonly source: HeadingSource;
  /** why it is so */
  readonly reason: HeadingReason;
  /** m/s over ground, negative when reversing */
  readonly speed: number;
  /** degrees/s, clockwise positive */
  readonly yawRate: number;
  /** 1/m, right turn positive as in ISO 11783-7; 0 at standstill; -1 to 1 */
  readonly curvature: number;
  /** whether the machine drives backwards */
  readonly reversing: boolean;
  /** whether it moves, with hysteresis */
  readonly moving: boolean;
}

/** Options of a {@link HeadingEstimator}. */
export interface HeadingOptions {
  /** place of the followed antenna from the reference point, metres ahead and to the right; takes the slip angle of a
   * forward antenna in a turn out of the course; default `{ x: 0, y: 0 }` */
  readonly antenna?: Pick<MachinePoint, "x" | "y">;
  /** from this speed on the machine counts as moving, m/s; default 0.3 */
  readonly movingSpeed?: number;
  /** below this speed it counts as standing, m/s; default 0.15 */
  readonly standstillSpeed?: number;
  /** shortest way to take a course from positions, metres; default 0.5 */
  readonly minimumDistance?: number;
  /** time constant of the yaw rate's filter, s; its lag in a growing turn is twice this; default 0.3 */
  readonly smoothingTime?: number;
  /** no machine turns faster, degrees/s: quicker changes of course are reversals or jumps; default 90 */
  readonly maximumYawRate?: number;
  /** longest time between fixes over which motion is followed, s; default 2 */
  readonly maximumGap?: number;
}

/** Plain state of a {@link HeadingEstimator}, safe in JSON. */
export interface HeadingSnapshot {
  /** version of this shape */
  readonly version: 1;
  /** the last state given */
  readonly state: HeadingState;
  /** inner numbers, in the order of the version */
  readonly numbers: readonly number[];
  /** followed places of the last seconds: time, x, y, time, x, y, ... oldest first */
  readonly trail: readonly number[];
}
