import type { Point } from "../geometry/types.js";
import type { GuidancePattern } from "./guidance-pattern.js";
import { ALONG_X, ALONG_Y, RIGHT, SLOTS, X, Y } from "./line-locator.js";
import { makeLocator } from "./make-locator.js";

/** Where a point lies beside a pattern's line. */
export interface PlaceBeside {
  /** signed distance from the line, metres, right positive */
  readonly right: number;
  /** unit vector of the line at the foot, east */
  readonly alongX: number;
  /** unit vector of the line at the foot, north */
  readonly alongY: number;
}

/** Where a point lies beside a pattern's line, for one question at set-up. */
export function placeBeside(pattern: GuidancePattern, point: Point): PlaceBeside {
  const numbers = new Float64Array(SLOTS);
  numbers[X] = point[0];
  numbers[Y] = point[1];
  makeLocator(pattern).locate(numbers);
  return { right: numbers[RIGHT]!, alongX: numbers[ALONG_X]!, alongY: numbers[ALONG_Y]! };
}
