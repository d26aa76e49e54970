export { toGeographicLine, toGeographicPolygon, toLocalLine, toLocalPolygon } from "./local.js";
export * from "./csv/index.js";
export * from "./geojson/index.js";
export * from "./nmea/index.js";
