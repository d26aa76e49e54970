import { requireNumber, requireObject } from "../errors/index.js";

/** Where a machine stands and which way it looks: plain data. */
export interface Pose {
  /** reference point, metres east */
  readonly x: number;
  /** reference point, metres north */
  readonly y: number;
  /** degrees clockwise from the frame's north */
  readonly heading: number;
}

/** Check a pose at set-up; throws FeeringError `not-finite` with the argument's path. */
export function requirePose(pose: Pose, argument: string): Pose {
  requireObject(pose, argument);
  requireNumber(pose.x, `${argument}.x`);
  requireNumber(pose.y, `${argument}.y`);
  requireNumber(pose.heading, `${argument}.heading`);
  return pose;
}
