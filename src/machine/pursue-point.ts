import { cosDegrees, sinDegrees } from "./degrees.js";

/**
 * Curvature of the arc on which a machine drives from where it stands to a point: pure pursuit's arc, tangent to the machine's axis at its
 * reference point (the middle of the fixed axle), through the target.
 *
 * Forward and in reverse the arc is the same one, and so is its curvature as the wheels stand: `yaw rate = speed * curvature`, speed negative in
 * reverse. Only a target that lies the wrong way for the direction of travel differs: the machine turns round towards it, as if it stood square beside.
 * A target at the reference point itself gives 0. A live call: allocates nothing and never throws; NaN in gives NaN out.
 *
 * @param x - reference point, metres east
 * @param y - reference point, metres north
 * @param heading - of the nose, degrees clockwise from the frame's north
 * @param targetX - look-ahead point, metres east: `GuidanceState.aheadX`, say
 * @param targetY - look-ahead point, metres north
 * @param reversing - whether the machine drives backwards; default false
 * @returns 1/m, right turn positive
 *
 * @see Coulter 1992, Implementation of the pure pursuit path tracking algorithm, CMU-RI-TR-92-01
 *
 * @example
 * ```ts
 * pursuePoint(0, 0, 0, 1, Math.sqrt(24)); // 0.08: 1 m to the right, 5 m away
 * ```
 */
export function pursuePoint(
  x: number,
  y: number,
  heading: number,
  targetX: number,
  targetY: number,
  reversing = false,
): number {
  const sine = sinDegrees(heading);
  const cosine = cosDegrees(heading);
  const east = targetX - x;
  const north = targetY - y;
  const ahead = east * sine + north * cosine;
  const right = east * cosine - north * sine;
  return reversing ? -pursuitArc(-ahead, -right) : pursuitArc(ahead, right);
}

/**
 * Curvature in the direction of travel to a point so far ahead and to the right of it.
 *
 * @internal
 */
export function pursuitArc(ahead: number, right: number): number {
  const square = ahead * ahead + right * right;
  if (square === 0) return 0;
  if (ahead >= 0) return (2 * right) / square;
  return (right < 0 ? -2 : 2) / Math.sqrt(square);
}
