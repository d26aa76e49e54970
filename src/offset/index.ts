export { drivableLine } from "./drivable-line.js";
export type {
  ClothoidOptions,
  DrivableLine,
  DrivableLineOptions,
  DrivablePlace,
  DrivableReport,
  ShortTransition,
  TightBend,
} from "./drivable-line-types.js";
export { type EmptyOffset, explainEmptyOffset } from "./explain-empty-offset.js";
export { offsetFamily, type OffsetMember } from "./offset-family.js";
export { offsetLine } from "./offset-line.js";
export { offsetLineFamily } from "./offset-line-family.js";
export { offsetPolygon } from "./offset-polygon.js";
export { offsetPolygonFamily } from "./offset-polygon-family.js";
export type { OffsetLine, OffsetLineOptions, OffsetOptions } from "./types.js";
