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
export { leverArm } from "./lever-arm.js";
export { type Machine, type MachineDefinition, type MachinePoint, machine } from "./machine.js";
