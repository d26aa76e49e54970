export { type KmlData, readKml, type ReadKmlOptions } from "./read-kml.js";
