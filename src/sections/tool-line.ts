/** The straight line on which a row of the tool stands, now or later: the point at offset y (right positive) is `o + y u`. */
export class ToolLine {
  /** metres east of the line's middle */
  ox = 0;
  /** metres north of the line's middle */
  oy = 0;
  /** unit vector to the right, east */
  ux = 1;
  /** unit vector to the right, north */
  uy = 0;
  /** seconds after the fix that it was last set for, -1 when it is not set for this tick */
  ahead = -1;
  /** speed of the carrier's reference point then, m/s, negative when reversing */
  speed = 0.5;
  /** the carrier's turn then, radians/s, clockwise positive */
  turn = 0.5;
  /** share of the whole row on worked ground where it is exactly 0 or 1, 0.5 where it is between, 2 where `metres` tells, -1 when it was not asked */
  covered = -1;
  /** share of the whole row in the field where it is exactly 0 or 1, 0.5 where it is between, -1 when it was not asked */
  inField = -1;
  /** as `inField`, of closed zones */
  inClosed = -1;
  /** metres of each section on worked ground, for lines that all sections ask; else empty */
  readonly metres: Float64Array;

  /** @param sections - how many sections ask for this line; 0 where it is for one alone */
  constructor(sections = 0) {
    this.metres = new Float64Array(sections);
  }

  /** Forget what was known of the ground under it. */
  forget(): void {
    this.covered = -1;
    this.inField = -1;
    this.inClosed = -1;
  }

  /** Whether it stands anywhere: a path ahead may not tell. */
  get known(): boolean {
    return Number.isFinite(this.ox) && Number.isFinite(this.oy) && Number.isFinite(this.ux);
  }

  /** Where the row stands: reference point metres, sine and cosine of the heading, row metres ahead of the reference point. */
  place(x: number, y: number, s: number, c: number, toolX: number): void {
    this.ox = x + toolX * s;
    this.oy = y + toolX * c;
    this.ux = c;
    this.uy = -s;
  }
}
