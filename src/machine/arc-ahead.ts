import { RADIANS } from "../geometry/angle.js";
import { cosDegrees, sinDegrees } from "./degrees.js";

/** Below half this turn the chord of an arc is its length, radians: the difference is under 1e-13 of it. */
const STRAIGHT = 1e-6;

/**
 * Where a machine will be, or was, that goes on at constant speed and yaw rate: on its own arc.
 *
 * A live call: allocates nothing and never throws; NaN in gives NaN out.
 *
 * @param x - reference point, metres east in the frame
 * @param y - reference point, metres north in the frame
 * @param heading - degrees clockwise from the frame's north
 * @param speed - m/s, negative when reversing
 * @param yawRate - degrees/s, clockwise positive
 * @param seconds - from now on, s; negative: back
 * @param out - takes x, y (metres) and heading (degrees, not wrapped) at 0, 1, 2
 * @returns nothing; the result is in `out`
 */
export function arcAhead(
  x: number,
  y: number,
  heading: number,
  speed: number,
  yawRate: number,
  seconds: number,
  out: Float64Array,
): void {
  const turn = yawRate * seconds;
  const half = (turn * RADIANS) / 2;
  const chord = speed * seconds * (Math.abs(half) < STRAIGHT ? 1 : Math.sin(half) / half);
  const along = heading + turn / 2;
  out[0] = x + chord * sinDegrees(along);
  out[1] = y + chord * cosDegrees(along);
  out[2] = heading + turn;
}
