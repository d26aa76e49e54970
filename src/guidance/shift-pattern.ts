import { requireNumber, requireObject } from "../errors/require.js";
import type { Point } from "../geometry/types.js";
import {
  checkShift,
  type GuidancePattern,
  type PatternShift,
  requireInteger,
  requireOffset,
  requireRoom,
} from "./guidance-pattern.js";
import { nearestPass, passOffset } from "./pass-number.js";
import { placeBeside } from "./place-beside.js";
import { requireNear } from "./require-near.js";
import { requirePattern } from "./require-pattern.js";
import { isStraight, patternAxis } from "./straight-axis.js";

/**
 * Move a whole pattern against drift; the line itself stays as it was recorded.
 *
 * The shift given takes the place of the one before, so `{ east: 0, north: 0 }` takes it back entirely.
 *
 * @param pattern - left as it is
 * @param shift - metres east and north in the frame
 * @returns the moved pattern, with the same line in it
 * @throws `FeeringError` `not-finite` or `out-of-range` (more than 1000 km) for a bad shift, and as
 * `guidancePattern` for a damaged pattern
 * @example
 * ```ts
 * const today = shiftPattern(pattern, { east: 0.12, north: -0.05 });
 * ```
 */
export function shiftPattern(pattern: GuidancePattern, shift: PatternShift): GuidancePattern {
  requirePattern(pattern);
  return { ...pattern, shift: checkShift(shift, "shift") };
}

/** Which way {@link nudgePattern} counts its distance. */
export interface NudgeOptions {
  /** whether right is the right of the line's own direction (true, the default), or of a driver who faces from B to A (false): hand in `GuidanceState.sameDirection` */
  readonly sameDirection?: boolean;
}

/**
 * Move a pattern sideways by a distance, on top of what it was moved before.
 *
 * A straight line moves by an east and north shift, fit for any other line of the same day. A curve, circle or closed line
 * has no one side to move to: there the passes are made anew at another distance (`firstPassOffset`), as the propagation
 * offset of ISO 11783-10 does.
 *
 * @param pattern - left as it is
 * @param distance - metres square to the line, right positive
 * @param options - whose right is meant
 * @returns the moved pattern, with the same line in it
 * @throws `FeeringError` `not-finite` for a bad distance, `out-of-range` when the whole shift is more than 1000 km,
 * `degenerate` where a loop's first pass would vanish, and as `guidancePattern` for a damaged pattern
 */
export function nudgePattern(pattern: GuidancePattern, distance: number, options: NudgeOptions = {}): GuidancePattern {
  requirePattern(pattern);
  requireObject(options, "options");
  const right = requireNumber(distance, "distance") * (options.sameDirection === false ? -1 : 1);
  if (!isStraight(pattern)) {
    const moved = { ...pattern, firstPassOffset: requireOffset(pattern.firstPassOffset + right, "distance") };
    requireRoom(moved, "distance");
    return moved;
  }
  const axis = patternAxis(pattern);
  return shiftPattern(pattern, {
    east: pattern.shift.east + right * axis.alongY,
    north: pattern.shift.north - right * axis.alongX,
  });
}

/** Which pass {@link shiftPatternTo} brings to the point. */
export interface ShiftToOptions {
  /** number of the pass; default the one nearest to the point */
  readonly pass?: number;
}

/**
 * Move a pattern so that a pass runs through a point: the old wheel mark that the machine stands on, say. The move is an
 * east and north shift, square to the pass beside the point.
 *
 * @param pattern - left as it is
 * @param point - metres
 * @param options - which pass; by default the nearest, so that the move is half a swath at most
 * @returns the moved pattern, within 1e-9 m
 * @throws `FeeringError` `not-finite` for a bad point, `out-of-range` for one beyond 1e8 m or a pass that is not whole, and as
 * `guidancePattern` for a damaged pattern
 */
export function shiftPatternTo(pattern: GuidancePattern, point: Point, options: ShiftToOptions = {}): GuidancePattern {
  requirePattern(pattern);
  requireNear(point, "point");
  requireObject(options, "options");
  const pass = options.pass === undefined ? nearestPass(pattern, point) : requireInteger(options.pass, "options.pass");
  const place = placeBeside(pattern, point);
  const right = place.right - passOffset(pattern, pass);
  return shiftPattern(pattern, {
    east: pattern.shift.east + right * place.alongY,
    north: pattern.shift.north - right * place.alongX,
  });
}
