export type { DrawingContent, DrawingLabels, DrawingOptions, DrawnPass, DrawnSwitching } from "./content.js";
export { drawField } from "./draw-field.js";
