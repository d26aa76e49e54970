export type { GeoData, GeoField, GeoLine, GeoPoint, GeoProperties } from "../geo-data.js";
export { readGeoJson, type ReadGeoJsonOptions } from "./read-geojson.js";
export type { GeoJsonFeature, GeoJsonFeatureCollection, GeoJsonGeometry } from "./geojson-types.js";
export { toGeoJson, type ToGeoJsonOptions } from "./to-geojson.js";
export { writeGeoJson, type WriteGeoJsonOptions } from "./write-geojson.js";
