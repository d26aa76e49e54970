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
