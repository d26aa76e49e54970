import { patternAxis, type StraightAxis } from "./straight-axis.js";
import type { GuidancePattern } from "./guidance-pattern.js";

/**
 * Slots of the numbers that a follower's parts hand to each other. They live in one Float64Array: numbers handed over as
 * arguments, or kept in ordinary fields, would be boxed.
 */
export const X = 0;
/** machine, metres north */
export const Y = 1;
/** nose, degrees, 0 to 360 */
export const HEADING = 2;
/** signed distance from the reference line, metres, right positive */
export const RIGHT = 3;
/** station of the foot along the reference line, metres from A */
export const ALONG = 4;
/** unit vector of the line at the foot, east */
export const ALONG_X = 5;
/** unit vector of the line at the foot, north */
export const ALONG_Y = 6;
/** direction of the line at the foot, degrees */
export const LINE_HEADING = 7;
/** distance from the chosen pass, metres, right positive */
export const ERROR = 8;
/** how many numbers there are */
export const SLOTS = 9;

/** Finds where a machine is beside a reference line: reads X and Y, fills RIGHT to LINE_HEADING. One class for each family of lines. */
export interface LineLocator {
  /** no allocation */
  locate(numbers: Float64Array): void;
}

/** The locator of straight lines, shift included. */
export class StraightLocator implements LineLocator {
  readonly #axis: StraightAxis;

  constructor(pattern: GuidancePattern) {
    this.#axis = patternAxis(pattern);
  }

  locate(numbers: Float64Array): void {
    const axis = this.#axis;
    const ux = axis.alongX;
    const uy = axis.alongY;
    const x = numbers[X]! - axis.x;
    const y = numbers[Y]! - axis.y;
    numbers[RIGHT] = x * uy - y * ux;
    numbers[ALONG] = x * ux + y * uy;
    numbers[ALONG_X] = ux;
    numbers[ALONG_Y] = uy;
    numbers[LINE_HEADING] = axis.heading;
  }
}
