export type { PassedOver } from "../feature-document.js";
export { type KmlData, readKml, type ReadKmlOptions } from "./read-kml.js";
export { writeKml, type WriteKmlOptions } from "./write-kml.js";
