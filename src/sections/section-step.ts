/**
 * A step of a boom: where its carrier stood at a fix that it may be worked by, and what landed on the ground up to then. Enough to log the work, and to
 * mark it again. Owned by the {@link SectionControl}, overwritten by its next one.
 */
export interface SectionStep {
  /** s, when the carrier stood there: the fix's time less the latency in force */
  readonly time: number;
  /** reference point of the carrier, moved aside by roll where that is so, metres east */
  readonly x: number;
  /** reference point of the carrier, metres north */
  readonly y: number;
  /** degrees clockwise from the frame's north */
  readonly heading: number;
  /** m/s, negative when reversing */
  readonly speed: number;
  /** whether the ground between the step before and this one counts as swept: false at the start and after a gap */
  readonly joined: boolean;
  /** 1 for each section, from left to right, whose product lands on the ground at this time, else 0 */
  readonly working: Uint8Array;
  /** s, when product of each section began or ended to land last; NaN where that is not known */
  readonly landings: Float64Array;
}
