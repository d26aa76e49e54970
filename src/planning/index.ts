export { type DubinsWord, dubinsPath, dubinsWordPath } from "./dubins-path.js";
export {
  type HeadlandTurn,
  type HeadlandTurnKind,
  type HeadlandTurnOptions,
  headlandTurn,
  type NoTurn,
} from "./headland-turn.js";
export type { Pose } from "./pose.js";
export { reedsSheppPath } from "./reeds-shepp-path.js";
export { type SmoothTurn, smoothTurn } from "./smooth-turn.js";
export { type PathPoint, pathEnd, samplePath, type TurnPath, type TurnSegment } from "./turn-path.js";
export { type MachineOutline, RoomCheck, type TurnRoom } from "./turn-room.js";
export type { OrderProblem, PassEnd } from "./order-cost.js";
export { type OrderedPass, type OrderOptions, type PassOrder, passOrder } from "./pass-order.js";
export { passSequence, type PassSequenceKind } from "./pass-sequence.js";
export { fieldCapacity, fieldEfficiency } from "./field-capacity.js";
export {
  type SupplyDrive,
  type SupplyOptions,
  type SupplyPlan,
  type SupplyShortage,
  type SupplyStop,
  supplyStops,
} from "./supply-stops.js";
export { type TramlineOptions, type TramlinePass, type Tramlines, tramlines, type TramlineWheel } from "./tramlines.js";
export { type TrafficMachine, type WheelStrip, type WheelTracks, wheelTracks } from "./wheel-tracks.js";
export type { DirectionRule } from "./direction-rules.js";
export type { PlanMachine } from "./plan-machine.js";
export type { NarrowSwath } from "./plan-rows.js";
export {
  type DirectionCost,
  type SwathDirection,
  swathDirection,
  type SwathDirectionOptions,
} from "./swath-direction.js";
export { checkPlan, type CheckPlanOptions, type PlanCheck } from "./check-plan.js";
export { planField } from "./plan-field.js";
export type { PlanOptions } from "./plan-options.js";
export type {
  DriveReason,
  FieldPlan,
  PlanBlock,
  PlanDrive,
  PlanGap,
  PlanReason,
  PlanSwath,
  PlanTotals,
} from "./plan-result.js";
