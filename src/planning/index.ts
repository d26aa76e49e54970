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
