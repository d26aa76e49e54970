export { areaDeviation } from "./area-deviation.js";
export {
  boundaryFromCoverage,
  type WorkedBoundary,
  type WorkedBoundaryOptions,
  type WorkedBoundaryReport,
} from "./boundary-from-coverage.js";
export { boundaryFromLap, type LapBoundary, type LapOptions } from "./boundary-from-lap.js";
export { boundaryFromPoints } from "./boundary-from-points.js";
export { boundaryFromTrack, type TrackBoundary, type TrackBoundaryOptions } from "./boundary-from-track.js";
export type { MeasureFrame } from "./curvature.js";
export { addPoint, insertPoint, movePoint, removePoint } from "./edit-points.js";
export { geodesicBearing, geodesicDestination, geodesicDistance } from "./geodesic.js";
export { measurePath, type MeasureOptions, type PathMeasure } from "./measure-path.js";
export { measurePathGeodesic } from "./measure-path-geodesic.js";
export { measurePolygon, type PolygonMeasure } from "./measure-polygon.js";
export { measurePolygonGeodesic } from "./measure-polygon-geodesic.js";
export type { GeographicPolygon } from "./positions.js";
export { planArea, slopeAngle, slopeArea } from "./slope.js";
