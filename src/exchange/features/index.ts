export {
  type FieldContent,
  type FieldPass,
  fieldPassLines,
  type FieldReport,
  type FieldRound,
} from "./field-content.js";
export { fieldFeatures } from "./field-features.js";
export { type FieldContents, readFieldFeatures } from "./read-field-features.js";
