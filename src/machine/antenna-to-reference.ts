import { leverArm } from "./lever-arm.js";
import type { Machine } from "./machine.js";

/**
 * From where the antenna is to where the machine's reference point is.
 *
 * A live call: allocates nothing and never throws; NaN in gives NaN out. Where roll and pitch are not measured give 0: an antenna h
 * above the reference point is then off by h·sin(roll) to the side, 0.26 m for 3 m at 5 degrees.
 *
 * @param machine - the machine, for its antenna
 * @param east - antenna, metres east in the frame
 * @param north - antenna, metres north in the frame
 * @param up - antenna, metres up in the frame
 * @param heading - degrees clockwise from the frame's north
 * @param pitch - degrees, nose up positive
 * @param roll - degrees, right side down positive
 * @param out - takes east, north and up of the reference point at 0, 1, 2, metres
 * @returns nothing; the result is in `out`, within 6e-12 m at coordinates of some kilometres
 */
export function antennaToReference(
  machine: Machine,
  east: number,
  north: number,
  up: number,
  heading: number,
  pitch: number,
  roll: number,
  out: Float64Array,
): void {
  const antenna = machine.antenna;
  leverArm(heading, pitch, roll, -antenna.x, -antenna.y, -antenna.z, out);
  out[0]! += east;
  out[1]! += north;
  out[2]! += up;
}

/**
 * From where the machine's reference point is to where its antenna is: the other way of {@link antennaToReference}, for simulated
 * receivers.
 *
 * A live call: allocates nothing and never throws; NaN in gives NaN out.
 *
 * @param machine - the machine, for its antenna
 * @param east - reference point, metres east in the frame
 * @param north - reference point, metres north in the frame
 * @param up - reference point, metres up in the frame
 * @param heading - degrees clockwise from the frame's north
 * @param pitch - degrees, nose up positive
 * @param roll - degrees, right side down positive
 * @param out - takes east, north and up of the antenna at 0, 1, 2, metres
 * @returns nothing; the result is in `out`
 */
export function referenceToAntenna(
  machine: Machine,
  east: number,
  north: number,
  up: number,
  heading: number,
  pitch: number,
  roll: number,
  out: Float64Array,
): void {
  const antenna = machine.antenna;
  leverArm(heading, pitch, roll, antenna.x, antenna.y, antenna.z, out);
  out[0]! += east;
  out[1]! += north;
  out[2]! += up;
}
