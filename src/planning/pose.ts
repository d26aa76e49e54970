import { requireNumber, requireObject } from "../errors/index.js";
import type { MachinePose } from "../machine/index.js";

/** Where a machine stands and which way it looks: the same plain data as machine's. */
export type Pose = MachinePose;

/** Check a pose at set-up; throws FeeringError `not-finite` with the argument's path. */
export function requirePose(pose: Pose, argument: string): Pose {
  requireObject(pose, argument);
  requireNumber(pose.x, `${argument}.x`);
  requireNumber(pose.y, `${argument}.y`);
  requireNumber(pose.heading, `${argument}.heading`);
  return pose;
}
