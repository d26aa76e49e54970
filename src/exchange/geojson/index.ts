export type { GeoData, GeoField, GeoLine, GeoPoint, GeoProperties } from "../geo-data.js";
export { readGeoJson, type ReadGeoJsonOptions } from "./read-geojson.js";
export { writeGeoJson, type WriteGeoJsonOptions } from "./write-geojson.js";
