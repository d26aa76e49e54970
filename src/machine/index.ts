export { type AckermannInput, type AckermannRadius, ackermannRadius } from "./ackermann.js";
export { antennaToReference, referenceToAntenna } from "./antenna-to-reference.js";
export { HeadingEstimator } from "./heading-estimator.js";
export type {
  HeadingInput,
  HeadingOptions,
  HeadingReason,
  HeadingSnapshot,
  HeadingSource,
  HeadingState,
} from "./heading-state.js";
export {
  type DrivenRun,
  type LateralOffset,
  type LateralOffsetOptions,
  lateralOffsetFromRuns,
} from "./lateral-offset.js";
export { leverArm } from "./lever-arm.js";
export { type Machine, type MachineDefinition, type MachinePoint, machine } from "./machine.js";
export { planWidth, referenceToTool, sideShift } from "./slope.js";
export { type NoSteadyTurn, type SteadyTurn, type SteadyTurnInput, steadyTurn } from "./steady-turn.js";
export { type Towed, type TowedDefinition, towed } from "./towed.js";
export { TowedImplement } from "./towed-implement.js";
export { type MachinePose, towedPose } from "./towed-pose.js";
export type { TowedOptions, TowedSnapshot, TowedState, TowedStatus } from "./towed-state.js";
export type { LineError } from "./line-error.js";
export { type LookAhead, lookAheadDistance } from "./look-ahead-distance.js";
export { purePursuit, type PurePursuitSettings } from "./pure-pursuit.js";
export { pursuePoint } from "./pursue-point.js";
export { stanley, type StanleySettings } from "./stanley.js";
export { steeringAngle, steeringCurvature } from "./steering-angle.js";
export { SteeringActuator, type SteeringLimits } from "./steering-actuator.js";
export type { VehicleModel, VehicleState } from "./vehicle-model.js";
export { type BicycleDefinition, BicycleModel } from "./bicycle.js";
export { type ArticulatedDefinition, ArticulatedModel } from "./articulated.js";
export { type TrackedDefinition, TrackedModel, type TrackSpeeds } from "./tracked.js";
