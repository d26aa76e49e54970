export { type FieldPasses, passesOfField } from "./passes-of-field.js";
export type { FollowerOptions } from "./follower-options.js";
export type { FollowerSnapshot } from "./follower-snapshot.js";
export {
  fromGuidanceLineDeviation,
  type LineDeviation,
  toGuidanceLineDeviation,
} from "./guidance-line-deviation.js";
export {
  type Extension,
  type GuidancePattern,
  guidancePattern,
  type PatternOptions,
  type PatternShift,
  type Propagation,
} from "./guidance-pattern.js";
export type { GuidanceState, GuidanceStatus, SteerSide } from "./guidance-state.js";
export { headingLine } from "./heading-line.js";
export { lineFromPass } from "./line-from-pass.js";
export {
  LineMarker,
  type LinePreview,
  type MarkerOptions,
  type MarkerSnapshot,
  type MarkOutcome,
  type MarkResult,
} from "./line-marker.js";
export { PassFollower } from "./pass-follower.js";
export { passLine, type PassLineOptions } from "./pass-line.js";
export { highestPass, lowestPass, nearestPass, passOffset } from "./pass-number.js";
export type { HeadingLine, LineLabels, ReferenceLine, StraightLine } from "./reference-line.js";
export { renumberPattern } from "./renumber-pattern.js";
export { reverseLine } from "./reverse-line.js";
export { type NudgeOptions, nudgePattern, shiftPattern, shiftPatternTo, type ShiftToOptions } from "./shift-pattern.js";
export { straightLine } from "./straight-line.js";
