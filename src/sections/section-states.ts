import type { PathAhead } from "./path-ahead.js";

/**
 * Why a section is ordered on or off.
 *
 * | reason | order | meaning |
 * |---|---|---|
 * | `working` | on | by the rule, or by the last order, which has not landed yet |
 * | `on-by-hand` | on | the operator wants it on |
 * | `under-way` | off | the rule would have it on, but product on the ground has to end first by the last order |
 * | `minimum-time` | either | the rule would have it otherwise, but its minimum time on or off, or between two orders on, is not over |
 * | `worked-already` | off | more of its width than tolerated would land on ground worked already |
 * | `outside-field` | off | more of its width than tolerated would land outside the field |
 * | `closed-zone` | off | more of its width than tolerated would land in a closed zone |
 * | `headland` | off | it would land in the headland while the mainfield is worked |
 * | `mainfield` | off | it would land in the mainfield while the headland is worked |
 * | `backwards` | off | the section itself runs backwards at the inner end of a turn, or stands still there |
 * | `too-slow` | off | the machine is slower than the minimum speed |
 * | `reversing` | off | the machine drives backwards |
 * | `position` | off | the position is not good enough, not finite, or there was none yet |
 * | `stale` | off | the last usable fix is too old |
 * | `off-by-hand` | off | the operator wants it off |
 * | `master-off` | off | the master switch is off |
 */
export type SectionReason =
  | "working"
  | "on-by-hand"
  | "under-way"
  | "minimum-time"
  | "worked-already"
  | "outside-field"
  | "closed-zone"
  | "headland"
  | "mainfield"
  | "backwards"
  | "too-slow"
  | "reversing"
  | "position"
  | "stale"
  | "off-by-hand"
  | "master-off";

/** The operator's wish for one section: by the rule, on, or off. */
export type SectionOverride = "auto" | "on" | "off";

/** Which ground is worked now: headland and mainfield alike, or only one of them. */
export type HeadlandRule = "both" | "headland" | "mainfield";

/** What section control is told with each fix. */
export interface SectionInput {
  /** s, growing */
  readonly time: number;
  /** reference point, metres east in the frame */
  readonly x: number;
  /** reference point, metres north in the frame */
  readonly y: number;
  /** degrees clockwise from the frame's north */
  readonly heading: number;
  /** m/s at the reference point, negative when reversing */
  readonly speed: number;
  /** degrees/s, clockwise positive; default from `curvature` */
  readonly yawRate?: number | undefined;
  /** 1/m, right turn positive; used where there is no yaw rate; default 0 */
  readonly curvature?: number | undefined;
  /** whether the position is good enough for sections to work */
  readonly usable: boolean;
  /** why it is not, where it is not; default `position` */
  readonly reason?: "position" | "stale" | undefined;
  /** whether this place may be joined with the last usable one; default true */
  readonly connected?: boolean | undefined;
  /** where the carrier will be; default on its own arc at constant speed and yaw rate */
  readonly path?: PathAhead | undefined;
}

/** What every section does, from left to right. Owned by the {@link SectionControl}, overwritten by its next call. */
export interface SectionStates {
  /** s, the time it holds for */
  readonly time: number;
  /** the last order: true on. What goes out to the machine */
  readonly ordered: readonly boolean[];
  /** whether product lands on the ground now: the orders, late by the turn-on and turn-off times */
  readonly working: readonly boolean[];
  /** why the order is what it is */
  readonly reasons: readonly SectionReason[];
  /**
   * s, when the last order of each section ought to have been given exactly, found between the fixes: the order itself was given with the fix nearest to it. That
   * time itself where the order was none of the rule's, or late for another reason; null where there was none yet
   */
  readonly crossings: readonly (number | null)[];
  /** s, when a section ought to be switched over before the next fix is due, as far as can be foretold; null where it ought not */
  readonly upcoming: readonly (number | null)[];
  /** orders given so far, on and off counted */
  readonly switches: readonly number[];
  /** ground newly worked since the update before, m² */
  readonly workedArea: number;
  /** ground worked again since the update before, m² */
  readonly overlapArea: number;
}
