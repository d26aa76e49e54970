import { wrapDifference } from "../geometry/angle.js";

/**
 * Where a machine stands beside the line that it follows, at its reference point; a guidance state is one.
 *
 * Right is the right of the line's own direction, whichever way the machine drives.
 */
export interface LineError {
  /** distance from the line, metres, machine right of it positive */
  readonly crossTrackError: number;
  /** heading of the nose less the line's own direction, degrees, clockwise positive */
  readonly headingError: number;
  /** curvature of the line beside the machine in the line's own direction, 1/m, right turn positive; default 0 */
  readonly curvature?: number;
  /** whether the machine is to travel in the line's own direction; default: whichever direction it is nearer to */
  readonly travelSameDirection?: boolean;
}

/**
 * 1 for travel in the line's own direction, -1 against it.
 *
 * @internal
 */
export function travelSense(error: LineError, reversing: boolean): 1 | -1 {
  const given = error.travelSameDirection;
  if (given !== undefined) return given ? 1 : -1;
  return Math.abs(wrapDifference(error.headingError + (reversing ? 180 : 0))) <= 90 ? 1 : -1;
}

/**
 * Direction of travel less the direction in which the line is to be travelled, degrees.
 *
 * @internal
 */
export function travelError(error: LineError, sense: 1 | -1, reversing: boolean): number {
  return wrapDifference(error.headingError + (reversing === (sense === 1) ? 180 : 0));
}
