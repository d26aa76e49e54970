export { logTimeText } from "./log-time.js";
export { readTimeLogHeader } from "./read-time-log-header.js";
export type { InRecordOr, TimeLogChannel, TimeLogHeader, TimeLogPosition } from "./time-log-header.js";
export { type ReadTimeLogOptions, type TimeLogCounts, TimeLogReader } from "./time-log-reader.js";
export { TimeLogRecord } from "./time-log-record.js";
export { timeLogRecords } from "./time-log-records.js";
export { TimeLogWriter } from "./time-log-writer.js";
export { writeTimeLogHeader } from "./write-time-log-header.js";
