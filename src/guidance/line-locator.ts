import { firstStation, lastStation, patternAxis, type StraightAxis, type StraightPattern } from "./straight-axis.js";

/**
 * Slots of the numbers that a follower's parts hand to each other. They live in one Float64Array: numbers handed over as
 * arguments, or kept in ordinary fields, would be boxed.
 */
export const X = 0;
/** machine, metres north */
export const Y = 1;
/** signed distance from the reference line, metres, right positive */
export const RIGHT = 2;
/** unit vector of the line at the foot, east; square to the way from the foot to the machine */
export const ALONG_X = 3;
/** unit vector of the line at the foot, north */
export const ALONG_Y = 4;
/** station of the foot along the reference line, metres from its start; negative before it */
export const STATION = 5;
/** distance from the reference line, metres; more than the signed one beyond an end that is not extended */
export const DISTANCE = 6;
/** nose, degrees, 0 to 360 */
export const HEADING = 7;
/** direction of the line at the foot, degrees */
export const LINE_HEADING = 8;
/** distance from the chosen pass, metres, right positive */
export const ERROR = 9;
/** distance of the chosen pass from the reference line, metres, right positive */
export const OFFSET = 10;
/** station of the machine on the chosen pass, metres from the foot of the line's start */
export const ALONG = 11;
/** curvature of the chosen pass, 1/m, right turn positive */
export const CURVATURE = 12;
/** station where the chosen pass begins, metres; minus infinity where it runs on */
export const FIRST = 13;
/** station where the chosen pass ends, metres; infinity where it runs on or is a loop */
export const LAST = 14;
/** how far ahead the look-ahead point is to lie, metres along the pass, in the line's own direction positive */
export const AHEAD = 15;
/** look-ahead point, metres east */
export const AHEAD_X = 16;
/** look-ahead point, metres north */
export const AHEAD_Y = 17;
/** how many numbers there are */
export const SLOTS = 18;

/** Receives a pass as a chain of straight pieces, for its ends in a field. */
export interface PassTrace {
  /** x, y and station of a piece's start, then of its end, metres */
  readonly piece: Float64Array;
  /** the piece in `piece` belongs to the pass; pieces come in the line's direction. No allocation */
  take(): void;
}

/** Finds where a machine is beside a reference line and on a pass. One class for each family of lines; none allocates in a call. */
export interface LineLocator {
  /** whether passes are loops: without ends */
  readonly closed: boolean;
  /** reads X and Y, fills RIGHT to DISTANCE and LINE_HEADING */
  locate(numbers: Float64Array): void;
  /** reads OFFSET, fills ALONG to LAST for the place found by `locate` */
  measure(numbers: Float64Array): void;
  /** reads OFFSET and AHEAD, fills AHEAD_X and AHEAD_Y for the place found by `locate` */
  lookAhead(numbers: Float64Array): void;
  /** hand over the pass at OFFSET; extended ends as far as the box `[minX, minY, maxX, maxY]` reaches. ALONG, FIRST and LAST are not touched */
  trace(numbers: Float64Array, box: Float64Array, to: PassTrace): void;
}

/** The locator of straight lines, shift included. */
export class StraightLocator implements LineLocator {
  readonly closed: boolean = false;
  /** the line that passes are parallel to */
  readonly axis: StraightAxis;
  /** stations where passes begin and end */
  readonly ends: Float64Array;

  constructor(pattern: StraightPattern) {
    this.axis = patternAxis(pattern);
    this.ends = Float64Array.of(firstStation(pattern), lastStation(pattern, this.axis));
  }

  locate(numbers: Float64Array): void {
    const axis = this.axis;
    const ux = axis.alongX;
    const uy = axis.alongY;
    const x = numbers[X]! - axis.x;
    const y = numbers[Y]! - axis.y;
    const right = x * uy - y * ux;
    numbers[RIGHT] = right;
    numbers[DISTANCE] = Math.abs(right);
    numbers[STATION] = x * ux + y * uy;
    numbers[ALONG_X] = ux;
    numbers[ALONG_Y] = uy;
    numbers[LINE_HEADING] = axis.heading;
  }

  measure(numbers: Float64Array): void {
    numbers[ALONG] = numbers[STATION]!;
    numbers[CURVATURE] = 0;
    numbers[FIRST] = this.ends[0]!;
    numbers[LAST] = this.ends[1]!;
  }

  lookAhead(numbers: Float64Array): void {
    const ux = numbers[ALONG_X]!;
    const uy = numbers[ALONG_Y]!;
    const error = numbers[ERROR]!;
    const ahead = numbers[AHEAD]!;
    numbers[AHEAD_X] = numbers[X]! - error * uy + 0 + ahead * ux;
    numbers[AHEAD_Y] = numbers[Y]! + error * ux + 0 + ahead * uy;
  }

  trace(): void {
    // straight passes are cut by FieldClip, which knows edges that lie on the pass
  }
}
