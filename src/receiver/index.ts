export type { Fix } from "./fix.js";
export type { NmeaCounts, NmeaSentenceType } from "./nmea-counts.js";
export { NmeaReader, type NmeaReaderOptions } from "./nmea-reader.js";
