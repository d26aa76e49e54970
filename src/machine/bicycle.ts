import { requireNumber, requireObject } from "../errors/index.js";
import { RADIANS } from "../geometry/angle.js";
import { SteeringActuator, type SteeringLimits } from "./steering-actuator.js";
import { steeringAngle, steeringCurvature } from "./steering-angle.js";
import type { VehicleModel, VehicleState } from "./vehicle-model.js";
import { VehiclePose } from "./vehicle-pose.js";

/** A front-steered machine: a tractor, a truck. */
export interface BicycleDefinition extends SteeringLimits {
  /** from the fixed rear axle, its reference point, to the steered front axle, metres */
  readonly wheelbase: number;
}

/** Farthest that wheels turn unless told, degrees. */
const USUAL_ANGLE = 35;
/** Wheels square to the machine push it nowhere, degrees. */
const FARTHEST_ANGLE = 85;

/**
 * A front-steered machine as a bicycle: one wheel in the middle of each axle, the front one steered.
 *
 * The middle of the rear axle drives a circle of wheelbase / tan(angle), that of the front axle one of wheelbase / sin(angle). A step with the steering at
 * rest is an exact arc, of any length; while the steering moves, a step is the arc of its mean angle: an error that falls with the square of the step, 0.4 mm at 20 Hz over a
 * full swing of 25 degrees/s at 3 m/s (tests/machine/vehicle-models.test.ts).
 *
 * @see Rajamani 2012, Vehicle dynamics and control, 2.2, for the model (from memory)
 *
 * @example
 * ```ts
 * const tractor = new BicycleModel({ wheelbase: 2.8, maximumAngle: 40, maximumRate: 25, delay: 0.1 });
 * tractor.place(0, 0, 0);
 * const state = tractor.step(0.1, 3, 0.05);
 * ```
 */
export class BicycleModel implements VehicleModel {
  /** most curvature that its steering can hold, 1/m */
  readonly maximumCurvature: number;
  private readonly wheelbase: number;
  private readonly steering: SteeringActuator;
  private readonly pose = new VehiclePose();

  /**
   * @param definition - wheelbase and limits; `maximumAngle` 35 degrees by default, 85 at most
   * @throws `FeeringError` `not-finite` or `out-of-range` with the argument's path
   */
  constructor(definition: BicycleDefinition) {
    requireObject(definition, "definition");
    this.wheelbase = requireNumber(definition.wheelbase, "definition.wheelbase", { min: 0.1, max: 100 });
    const maximumAngle = requireNumber(definition.maximumAngle ?? USUAL_ANGLE, "definition.maximumAngle", {
      above: 0,
      max: FARTHEST_ANGLE,
    });
    this.steering = new SteeringActuator({ ...definition, maximumAngle });
    this.maximumCurvature = steeringCurvature(maximumAngle, this.wheelbase);
  }

  /** Where it is, as the last call left it. */
  get state(): VehicleState {
    return this.pose;
  }

  /** Put it somewhere: see {@link VehicleModel.place}. */
  place(x: number, y: number, heading: number): VehicleState {
    this.steering.reset(0);
    this.pose.set(x, y, heading);
    return this.pose;
  }

  /** Drive on: see {@link VehicleModel.step}. */
  step(curvature: number, speed: number, seconds: number): VehicleState {
    const pose = this.pose;
    if (!(seconds > 0) || !Number.isFinite(seconds)) return pose;
    const pace = Number.isFinite(speed) ? speed : 0;
    const steering = this.steering;
    steering.command(steeringAngle(curvature, this.wheelbase));
    pose.steering = steering.advance(seconds);
    pose.drive(pace, steeringCurvature(steering.mean, this.wheelbase) * pace * seconds, seconds);
    pose.speed = pace;
    pose.yawRate = (pace * steeringCurvature(steering.angle, this.wheelbase)) / RADIANS;
    return pose;
  }
}
