/**
 * What a towed implement's pose is worth: `ok`; `unknown` nothing told yet, or not pulled far enough since the start, a gap or a
 * jackknife; `jackknife` folded against the machine; `invalid` bad numbers: the pose is the last one.
 */
export type TowedStatus = "ok" | "unknown" | "jackknife" | "invalid";

/** Where a towed implement is and how it moves. Always finite. Owned by the {@link TowedImplement}, overwritten by its next call. */
export interface TowedState {
  /** middle of the implement's axle, metres east in the frame */
  readonly x: number;
  /** middle of the implement's axle, metres north in the frame */
  readonly y: number;
  /** of the implement, degrees clockwise from the frame's north, 0 at least and less than 360 */
  readonly heading: number;
  /** m/s of the axle along the implement, negative when it runs backwards */
  readonly speed: number;
  /** of the implement, degrees/s, clockwise positive */
  readonly yawRate: number;
  /** implement heading less machine heading, degrees, -180 to 180: negative in a right turn */
  readonly articulation: number;
  /** what the pose is worth */
  readonly status: TowedStatus;
  /** degrees by which the heading can be off for want of a known start, 0.25 at least: the true heading is that near */
  readonly headingBound: number;
}

/** Options of a {@link TowedImplement}. */
export interface TowedOptions {
  /** the implement's heading at the first fix, degrees clockwise from the frame's north; default unknown: in line with the machine */
  readonly heading?: number;
  /** articulation from which on the implement counts as folded against the machine, degrees, more than 0, at most 120; default 75 */
  readonly jackknifeAngle?: number;
  /** `status` is `unknown` while the heading can be off by more than this, degrees, 0.5 at least and less than the jackknife angle; default 5, reached
   * after three drawbars of straight way */
  readonly settledAngle?: number;
  /** longest time between fixes over which motion is followed, s; default 2 */
  readonly maximumGap?: number;
}

/** Plain state of a {@link TowedImplement}, safe in JSON. */
export interface TowedSnapshot {
  /** version of this shape */
  readonly version: 1;
  /** the last state given */
  readonly state: TowedState;
  /** inner numbers, in the order of the version */
  readonly numbers: readonly number[];
}
