export type { GeoData, GeoField, GeoLine, GeoPoint, GeoProperties } from "./geo-data.js";
export { toGeographicLine, toGeographicPolygon, toLocalLine, toLocalPolygon } from "./local.js";
export { readGeoJson, type ReadGeoJsonOptions } from "./read-geojson.js";
export { type CsvColumn, type CsvValue, writeCsv, type WriteCsvOptions } from "./write-csv.js";
export { writeGeoJson, type WriteGeoJsonOptions } from "./write-geojson.js";
export {
  nmeaSentence,
  type SteeringAdvice,
  writeGga,
  writeHdt,
  type WriteNmeaOptions,
  writeRmc,
  writeVtg,
  writeXte,
  writeZda,
} from "./write-nmea.js";
