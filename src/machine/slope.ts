import { cosDegrees, sinDegrees } from "./degrees.js";
import { leverArm } from "./lever-arm.js";
import type { MachinePoint } from "./machine.js";

/**
 * How far roll moves a point above the ground to the side: height times sin(roll), of a mast or tool square to the machine's floor.
 *
 * For an antenna the machine's own fix is off by this while roll is not measured; for a tool it is what the tool stands beside its place on the
 * ground. A live call: never throws; NaN in gives NaN out.
 *
 * @param height - of the point above the point about which it is counted (the reference point on the ground), metres
 * @param roll - degrees, right side down positive
 * @returns metres on the plan, to the machine's right positive: 3 m at 5 degrees give 0.2615
 */
export function sideShift(height: number, roll: number): number {
  return height * sinDegrees(roll) + 0;
}

/**
 * Width on the plan of a boom that lies along the slope: width times cos(slope across), what a map and a neighbouring pass see of it. A boom of 36 m across
 * a slope of 10 degrees covers 35.453 m of plan.
 *
 * A live call: never throws; NaN in gives NaN out.
 *
 * @param width - of the boom, or a place on it from the middle, metres
 * @param slope - of the boom across the driving direction, degrees: the machine's roll where the boom follows it, either sign
 * @returns metres on the plan
 */
export function planWidth(width: number, slope: number): number {
  return width * cosDegrees(slope);
}

/**
 * From where the machine's reference point is to where a point of a mounted tool is, roll and pitch included.
 *
 * A live call: allocates nothing and never throws; NaN in gives NaN out. The tool turns with the machine; for one behind a drawbar take
 * the implement's own heading from a `TowedImplement`.
 *
 * @param tool - the point in machine axes, metres ahead, right and down; 0.8 m above the reference point is z = -0.8
 * @param east - reference point, metres east in the frame
 * @param north - reference point, metres north in the frame
 * @param up - reference point, metres up in the frame
 * @param heading - degrees clockwise from the frame's north
 * @param pitch - degrees, nose up positive; 0 where it is not measured
 * @param roll - degrees, right side down positive; 0 where it is not measured
 * @param out - takes east, north and up of the point at 0, 1, 2, metres
 * @returns nothing; the result is in `out`, within 6e-12 m at coordinates of some kilometres
 *
 * @example
 * ```ts
 * const place = new Float64Array(3);
 * // the right tip of a boom of 24 m, 1 m above ground, on a slope that falls 8 degrees to the right
 * referenceToTool({ x: -4.5, y: 12, z: -1 }, 100, 50, 0, 0, 0, 8, place); // east 112.02, north 45.5, up -0.68
 * ```
 */
export function referenceToTool(
  tool: MachinePoint,
  east: number,
  north: number,
  up: number,
  heading: number,
  pitch: number,
  roll: number,
  out: Float64Array,
): void {
  leverArm(heading, pitch, roll, tool.x, tool.y, tool.z, out);
  out[0]! += east;
  out[1]! += north;
  out[2]! += up;
}
