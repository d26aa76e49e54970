export type { CrsAccuracy, ProjectedCrsOptions } from "./crs-accuracy.js";
export { type Ellipsoid, GRS80, WGS84 } from "./ellipsoid.js";
export { type Geocentric, geocentricToGeodetic, geodeticToGeocentric } from "./geocentric.js";
export { degreesFromArcSeconds, helmert, type HelmertParameters, inverseHelmert } from "./helmert.js";
export { type EastNorthUp, localFrame, LocalFrame } from "./local-frame.js";
export type { GeodeticPosition, GeographicPosition } from "./position.js";
export { projectedCrs, ProjectedCrs } from "./projected-crs.js";
export {
  type GridFactors,
  transverseMercator,
  TransverseMercator,
  type TransverseMercatorDefinition,
} from "./transverse-mercator.js";
export { fromUtm, toUtm, type UtmOptions, type UtmPosition, type UtmResult, utmZone } from "./utm.js";
