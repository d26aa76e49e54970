export { type FieldPasses, passesOfField } from "./passes-of-field.js";
export type { FollowerOptions } from "./follower-options.js";
export type { ExplicitLine, FollowerSnapshot } from "./follower-snapshot.js";
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
export { type CircleOptions, circleLine } from "./circle-line.js";
export { type ClosedLineOptions, closedLine } from "./closed-line.js";
export { type CurveOptions, curvedLine } from "./curved-line.js";
export type { ExplicitLineOptions } from "./explicit-line.js";
export { headingLine } from "./heading-line.js";
export { lineFromPass, linesFromPass } from "./line-from-pass.js";
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
export { highestPass, lowestPass, nearestPass, passOffset, whyNoPass } from "./pass-number.js";
export type {
  CircleLine,
  ClosedLine,
  CurvedLine,
  HeadingLine,
  LineLabels,
  ReferenceLine,
  Rotation,
  SpiralLine,
  StraightLine,
} from "./reference-line.js";
export { renumberPattern } from "./renumber-pattern.js";
export { reverseLine } from "./reverse-line.js";
export { type NudgeOptions, nudgePattern, shiftPattern, shiftPatternTo, type ShiftToOptions } from "./shift-pattern.js";
export { type SpiralOptions, spiralLine } from "./spiral-line.js";
export { straightLine } from "./straight-line.js";
