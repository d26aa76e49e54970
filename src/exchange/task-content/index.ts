export {
  fromPartfield,
  type FromPartfieldOptions,
  type PartfieldContent,
  type PartfieldFound,
  type PartfieldIds,
  type PartfieldPattern,
  type RefusedPattern,
  toPartfield,
} from "./partfield-content.js";
export { fromPatternData, type FromPatternDataOptions, toPatternData } from "./pattern-data.js";
export { toShiftData } from "./shift-data.js";
