export type { MeasureFrame } from "./curvature.js";
export { geodesicBearing, geodesicDestination, geodesicDistance } from "./geodesic.js";
export { measurePath, type MeasureOptions, type PathMeasure } from "./measure-path.js";
export { measurePathGeodesic } from "./measure-path-geodesic.js";
export { measurePolygon, type PolygonMeasure } from "./measure-polygon.js";
export { measurePolygonGeodesic } from "./measure-polygon-geodesic.js";
export type { GeographicPolygon } from "./positions.js";
export { planArea, slopeAngle, slopeArea } from "./slope.js";
