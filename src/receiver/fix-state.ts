/**
 * What a fix is worth.
 *
 * | status | meaning |
 * |---|---|
 * | `good` | the position may be used |
 * | `no-fix` | the receiver says that it has no position |
 * | `invalid` | position or time are no numbers or impossible, or the position is (0, 0) with quality 0 |
 * | `poor-quality` | the position is there, and not as good as asked for |
 * | `jump` | the position is further from the last good one than the machine can have driven |
 * | `duplicate` | the time of the fix before: skip it, the state before stands |
 * | `out-of-order` | an earlier time than the fix before: skip it, the state before stands unless it is far back |
 * | `stale` | no good fix for longer than allowed; only by {@link FixMonitor.check}, or after many duplicates |
 * | `recovering` | good again after one of the above, and not yet for long enough |
 */
export type FixStatus =
  | "good"
  | "no-fix"
  | "invalid"
  | "poor-quality"
  | "jump"
  | "duplicate"
  | "out-of-order"
  | "stale"
  | "recovering";

/**
 * Why a fix has its status; while recovering, what it recovers from.
 *
 * | reason | meaning |
 * |---|---|
 * | `none` | nothing is wrong |
 * | `no-position` | quality 0 |
 * | `not-finite` | latitude or longitude are no numbers or out of range |
 * | `null-island` | latitude 0, longitude 0 and quality 0 |
 * | `no-time` | the time is no number |
 * | `quality` | the quality is not among those allowed |
 * | `accuracy` | the stated accuracy is worse than allowed, or none is stated where a limit is set |
 * | `correction-age` | the correction is older than allowed, or its age is not stated where a limit is set |
 * | `step` | the step from the last good place is longer than the machine can have driven |
 * | `same-time` | the time did not move on |
 * | `time-back` | the time went back |
 * | `age` | the last good fix is too old |
 * | `clock` | the time given to {@link FixMonitor.check} is no number or before the last good fix |
 * | `start` | the first fixes |
 * | `gap` | there was none for longer than allowed |
 * | `new-time-base` | the time began anew: the date became known, or the receiver's clock was set |
 * | `rollover` | the time went by 1024 weeks, or back by a day where there is no date: a counter began again |
 * | `height` | the altitude stepped from the last good one by more than allowed: another datum, another base station |
 * | `sources` | the second receiver is farther away than allowed |
 */
export type FixReason =
  | "none"
  | "no-position"
  | "not-finite"
  | "null-island"
  | "no-time"
  | "quality"
  | "accuracy"
  | "correction-age"
  | "step"
  | "same-time"
  | "time-back"
  | "age"
  | "clock"
  | "start"
  | "gap"
  | "new-time-base"
  | "rollover"
  | "height"
  | "sources";

/** Which way the machine goes, as far as one fix shows: its course against the heading of two antennas. */
export type FixTravel = "unknown" | "forwards" | "backwards";

/** Answer of a {@link FixMonitor}: one object, overwritten by the next call. All its numbers are finite. */
export interface FixState {
  /** what the fix is worth */
  readonly status: FixStatus;
  /** why */
  readonly reason: FixReason;
  /** whether sections may work; true only with `good`, and with `duplicate` and `out-of-order` as long as the state before stands */
  readonly usable: boolean;
  /**
   * whether this place may be joined with the previous good one (marked as worked in between, differenced to a speed): both
   * good, no jump, no gap and no new time base between them
   */
  readonly connected: boolean;
  /**
   * whether this usable place may be joined with the last usable one: all good places between them are connected. What is marked as
   * worked goes by this one, as fixes on which sections may not work come between
   */
  readonly continuous: boolean;
  /** s since the last good fix, or since the first fix where there was none yet; 0 with a good one */
  readonly age: number;
  /** m from the previous good place, level; 0 where there is none or the position is no good */
  readonly step: number;
  /** s between the fixes as they come in, as far as known; 1 at the start */
  readonly interval: number;
  /**
   * whether the good places have stayed within 0.3 m, or three times the stated accuracy, for 2 s or more, whatever speed the
   * receiver says; false where that is not known
   */
  readonly standing: boolean;
  /**
   * a hint of reversing: `backwards` from 120 degrees between course and heading on, `forwards` below 60, as before between; `unknown`
   * where the fix does not carry both, and below 0.3 m/s
   */
  readonly travel: FixTravel;
}
