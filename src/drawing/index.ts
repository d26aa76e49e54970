export type {
  DrawingContent,
  DrawingLabels,
  DrawingOptions,
  DrawnPass,
  DrawnRound,
  DrawnSwitching,
} from "./content.js";
export { drawField } from "./draw-field.js";
