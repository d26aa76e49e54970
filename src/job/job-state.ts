import type { GuidanceState } from "../guidance/index.js";
import type { HeadingState, TowedState } from "../machine/index.js";
import type { FixState } from "../receiver/index.js";
import type { SectionReason, SectionStates } from "../sections/index.js";

/** Running totals of a job; paused time and ground do not count. */
export interface JobTotals {
  /** way of the reference point while it moved, m; gaps in the position count as nothing */
  readonly distance: number;
  /** part of it with at least one section working, m */
  readonly distanceWorked: number;
  /** s since the first fix */
  readonly time: number;
  /** s with at least one section working */
  readonly timeWorked: number;
  /** ground worked by the first boom, each spot once, m² */
  readonly workedArea: number;
  /** ground worked by it again, each time it was, m² */
  readonly overlapArea: number;
  /** ground worked a second of working time, m²/s; `hectaresPerHour` of units makes it ha/h */
  readonly workRate: number;
  /** fixes taken */
  readonly fixes: number;
  /** orders to sections of all booms, on and off */
  readonly switches: number;
}

/** Where a job stands: one object, owned by the job and overwritten by its next call. */
export interface JobState {
  /** s, time of the last fix or tick */
  readonly time: number;
  /** whether the job is paused */
  readonly paused: boolean;
  /** what the last fix was worth */
  readonly fix: FixState;
  /** reference point, metres east; the last known while there is no position */
  readonly x: number;
  /** reference point, metres north */
  readonly y: number;
  /** heading, speed, curvature and where they come from */
  readonly motion: HeadingState;
  /** where the towed implement is, null without one; sections on it are off unless its status is `ok` */
  readonly implement: TowedState | null;
  /** which pass, how far off, which way to steer */
  readonly guidance: GuidanceState;
  /** which sections of the first boom and why */
  readonly sections: SectionStates;
  /** the same of each further boom, in the order of the definition */
  readonly furtherSections: readonly SectionStates[];
  /** totals so far */
  readonly totals: JobTotals;
}

/** What one boom did. */
export interface BoomSums {
  /** ground newly worked, m² */
  readonly workedArea: number;
  /** ground worked again, each time it was, m² */
  readonly overlapArea: number;
  /** orders to its sections, on and off */
  readonly switches: number;
}

/** One order to one section. */
export interface SwitchEvent {
  /** s, time of the fix at which it was given */
  readonly time: number;
  /** s, when it ought to have been given exactly, between the fixes; the time itself for orders by hand or for safety */
  readonly exactTime: number;
  /** which boom, the first one is 0 */
  readonly boom: number;
  /** index of the section, from the left */
  readonly section: number;
  /** true: on */
  readonly on: boolean;
  /** why */
  readonly reason: SectionReason;
  /** pass that the machine is on, of the pattern in force */
  readonly pass: number;
  /** middle of the section at the tool, metres east */
  readonly x: number;
  /** middle of the section at the tool, metres north */
  readonly y: number;
}

/** Which reference line a pass belongs to: what the line was labelled with, nothing for a line without labels. */
export interface PassedLine {
  /** identity of the line */
  readonly id?: string;
  /** name of the line */
  readonly name?: string;
}

/** What a job did on one pass. */
export interface PassReport {
  /** line whose pass it is, as rounds of a headland and the mainfield have lines of their own */
  readonly line: PassedLine;
  /** pass number */
  readonly pass: number;
  /** way driven with at least one section working, m */
  readonly length: number;
  /** mean cross-track error over that way, m, right of the line positive in the line's direction */
  readonly meanError: number;
  /** 95 % of the way was driven with less cross-track error than this, whichever side, m; to the millimetre up to 2 m, to the
   * centimetre up to 22 m, which stands for all beyond */
  readonly error95: number;
  /** ground newly worked, m² */
  readonly workedArea: number;
  /** ground worked again, m² */
  readonly overlapArea: number;
  /** orders to sections, on and off */
  readonly switches: number;
}
