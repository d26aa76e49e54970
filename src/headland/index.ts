export { type BufferSources, bufferZone, type BufferZoneOptions } from "./buffer-zone.js";
export { headland } from "./headland.js";
export type { HeadlandOptions, HeadlandSide } from "./headland-options.js";
export type {
  DroppedRound,
  Headland,
  HeadlandAreas,
  HeadlandRound,
  RoundCorner,
  RoundReason,
  UncoveredPlace,
} from "./headland-result.js";
export { type RoundLine, roundLines } from "./round-lines.js";
export { type EdgeChoice, sidesWhere } from "./sides-where.js";
