import { RADIANS } from "../geometry/index.js";
import { cosDegrees, sinDegrees } from "../machine/degrees.js";

/** Below this turn the chord of an arc is its length, radians: the difference is under 1e-13 of it. */
const STRAIGHT = 1e-6;

/** The straight line on which the tool stands, now or later: the point at offset y (right positive) is `o + y u`. */
export class ToolLine {
  /** metres east of the line's middle */
  ox = 0;
  /** metres north of the line's middle */
  oy = 0;
  /** unit vector to the right, east */
  ux = 1;
  /** unit vector to the right, north */
  uy = 0;
  /** seconds ahead that it was last set for, -1 when it is not set for this tick */
  ahead = -1;
  /** share of the whole line on worked ground where it is exactly 0 or 1, 0.5 where it is between, -1 when it was not asked */
  covered = -1;

  /** Where the tool stands now. Reference point metres, heading degrees, tool metres ahead of the reference point. */
  set(x: number, y: number, heading: number, toolX: number): void {
    const s = sinDegrees(heading);
    const c = cosDegrees(heading);
    this.place(x, y, s, c, toolX);
  }

  /** Where the tool will stand after `time` s at constant speed (m/s) and yaw rate (degrees/s): on the machine's own arc. */
  predict(x: number, y: number, heading: number, speed: number, yawRate: number, toolX: number, time: number): void {
    const turn = yawRate * time;
    const half = (turn * RADIANS) / 2;
    const chord = speed * time * (Math.abs(half) < STRAIGHT ? 1 : Math.sin(half) / half);
    const along = heading + turn / 2;
    this.ahead = time;
    this.covered = -1;
    this.place(
      x + chord * sinDegrees(along),
      y + chord * cosDegrees(along),
      sinDegrees(heading + turn),
      cosDegrees(heading + turn),
      toolX,
    );
  }

  private place(x: number, y: number, s: number, c: number, toolX: number): void {
    this.ox = x + toolX * s;
    this.oy = y + toolX * c;
    this.ux = c;
    this.uy = -s;
  }
}
