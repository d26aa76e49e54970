export { type GpxData, readGpx, type ReadGpxOptions } from "./read-gpx.js";
