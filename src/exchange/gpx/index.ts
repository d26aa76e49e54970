export type { PassedOver } from "../feature-document.js";
export { type GpxData, readGpx, type ReadGpxOptions } from "./read-gpx.js";
export { writeGpx, type WriteGpxOptions } from "./write-gpx.js";
