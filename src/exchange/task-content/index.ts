export { type DeviceBoom, type DeviceFound, fromTaskDevice, type RefusedBoom } from "./from-task-device.js";
export {
  fromPartfield,
  type FromPartfieldOptions,
  type PartfieldContent,
  type PartfieldFound,
  type PartfieldIds,
  type PartfieldPattern,
  type RefusedPattern,
  toPartfield,
} from "./partfield-content.js";
export { fromPatternData, type FromPatternDataOptions, toPatternData } from "./pattern-data.js";
export { toShiftData } from "./shift-data.js";
export { type AntennaPlace, type DeviceContent, type DeviceIds, toTaskDevice } from "./to-task-device.js";
export { type WorkLogOptions, type WorkLogSummary, WorkLog } from "./work-log.js";
export {
  coverageFromTimeLog,
  type CoverageFromTimeLogOptions,
  type LoggedWork,
} from "./coverage-from-time-log.js";
export { type JobDevice, jobDevice, type JobLog, jobTaskData, type JobTaskOptions } from "./job-task-data.js";
