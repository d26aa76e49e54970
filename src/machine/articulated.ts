import { requireNumber, requireObject } from "../errors/index.js";
import { RADIANS } from "../geometry/angle.js";
import { SteeringActuator, type SteeringLimits } from "./steering-actuator.js";
import type { VehicleModel, VehicleState } from "./vehicle-model.js";
import { VehiclePose } from "./vehicle-pose.js";

/** A machine that bends in its middle, on two fixed axles. */
export interface ArticulatedDefinition extends SteeringLimits {
  /** from the front axle, its reference point, back to the joint, metres */
  readonly front: number;
  /** from the joint back to the rear axle, metres */
  readonly rear: number;
}

/** Farthest that a joint bends unless told, degrees. */
const USUAL_ANGLE = 40;
const FARTHEST_ANGLE = 85;

/**
 * A machine steered by the joint between its front and its rear half, each on a fixed axle. Reference point and heading are the front axle's.
 *
 * No axle slips sideways, so with lengths f and r from the joint to the axles and the joint bent by g the front half turns by
 * (v sin(g) + r dg/dt) / (f cos(g) + r) a second: also while it stands and bends. A step with the joint at rest is an exact arc; one in which it moves is the arc of its whole turn.
 *
 * @see Corke and Ridley 2001, Steering kinematics for a center-articulated mobile robot, IEEE Trans. Robotics and Automation 17(2) (from memory)
 *
 * @example
 * ```ts
 * const tractor = new ArticulatedModel({ front: 1.6, rear: 1.8, maximumAngle: 42, maximumRate: 20 });
 * tractor.place(0, 0, 90);
 * tractor.step(0.15, 2.5, 0.05);
 * ```
 */
export class ArticulatedModel implements VehicleModel {
  /** most curvature that its steering can hold, 1/m */
  readonly maximumCurvature: number;
  private readonly front: number;
  private readonly rear: number;
  private readonly joint: SteeringActuator;
  private readonly pose = new VehiclePose();

  /**
   * @param definition - lengths and limits; `maximumAngle` 40 degrees by default, 85 at most
   * @throws `FeeringError` `not-finite` or `out-of-range` with the argument's path
   */
  constructor(definition: ArticulatedDefinition) {
    requireObject(definition, "definition");
    this.front = requireNumber(definition.front, "definition.front", { min: 0.1, max: 100 });
    this.rear = requireNumber(definition.rear, "definition.rear", { min: 0.1, max: 100 });
    const maximumAngle = requireNumber(definition.maximumAngle ?? USUAL_ANGLE, "definition.maximumAngle", {
      above: 0,
      max: FARTHEST_ANGLE,
    });
    this.joint = new SteeringActuator({ ...definition, maximumAngle });
    this.maximumCurvature = this.bend(maximumAngle * RADIANS);
  }

  /** Where it is, as the last call left it. */
  get state(): VehicleState {
    return this.pose;
  }

  /** Put it somewhere: see {@link VehicleModel.place}. */
  place(x: number, y: number, heading: number): VehicleState {
    this.joint.reset(0);
    this.pose.set(x, y, heading);
    return this.pose;
  }

  /** Drive on: see {@link VehicleModel.step}. */
  step(curvature: number, speed: number, seconds: number): VehicleState {
    const { pose, joint, rear } = this;
    if (!(seconds > 0) || !Number.isFinite(seconds)) return pose;
    const pace = Number.isFinite(speed) ? speed : 0;
    joint.command(this.angleFor(curvature) / RADIANS);
    const before = joint.angle * RADIANS;
    pose.steering = joint.advance(seconds);
    const after = joint.angle * RADIANS;
    const mean = joint.mean * RADIANS;
    // by the rule of Simpson over the bending, at the mean angle for the way
    const swing = after - before;
    const bent =
      swing === 0
        ? 0
        : (swing * rear * (this.share(before) + 4 * this.share((before + after) / 2) + this.share(after))) / 6;
    pose.drive(pace, this.bend(mean) * pace * seconds + bent, seconds);
    pose.speed = pace;
    // where it stood still within the step the joint rests at the end
    pose.yawRate = (pace * this.bend(after)) / RADIANS;
    return pose;
  }

  /** curvature of the front axle's way, 1/m, with the joint at rest at an angle, radians */
  private bend(angle: number): number {
    return Math.sin(angle) * this.share(angle);
  }

  private share(angle: number): number {
    return 1 / (this.front * Math.cos(angle) + this.rear);
  }

  /** the joint's angle, radians, for a curvature: sin(g) - k f cos(g) = k r */
  private angleFor(curvature: number): number {
    const lean = curvature * this.front;
    const sine = (curvature * this.rear) / Math.sqrt(1 + lean * lean);
    // tighter than any angle gives: bent as far as it goes
    return Math.asin(Math.max(-1, Math.min(1, sine))) + Math.atan(lean);
  }
}
