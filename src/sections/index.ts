export {
  type Boom,
  type BoomDefinition,
  boom,
  type Section,
  type SectionDefinition,
  type SectionEdges,
} from "./boom.js";
export {
  ACTUAL_CONDENSED_WORK_STATE_DDI,
  condensedWorkState,
  SETPOINT_CONDENSED_WORK_STATE_DDI,
} from "./condensed-work-state.js";
export { evenSections } from "./even-sections.js";
export type { PathAhead } from "./path-ahead.js";
export { SectionControl } from "./section-control.js";
export type { SectionControlOptions } from "./section-control-options.js";
export type { SectionSettings } from "./section-settings.js";
export { doseRatio, sectionSpeed } from "./section-speed.js";
export type { SectionStep } from "./section-step.js";
export type { SectionSnapshot } from "./section-snapshot.js";
export type {
  HeadlandRule,
  SectionInput,
  SectionOverride,
  SectionReason,
  SectionStates,
} from "./section-states.js";
export {
  type Estimate,
  type SeenEdge,
  switchTimes,
  type SwitchTimes,
  type SwitchTimesOptions,
} from "./switch-times.js";
