export type { Fix } from "./fix.js";
export { FixMonitor } from "./fix-monitor.js";
export type { FixMonitorSnapshot } from "./fix-memory.js";
export type { FixMonitorOptions } from "./fix-monitor-options.js";
export type { FixReason, FixState, FixStatus, FixTravel } from "./fix-state.js";
export type { NmeaCounts, NmeaSentenceType } from "./nmea-counts.js";
export { NmeaReader, type NmeaReaderOptions } from "./nmea-reader.js";
