export type { GuidanceGroupData, GuidancePatternData } from "./guidance-data.js";
export type { Partfield } from "./partfield.js";
export type { TaskLineString, TaskPoint, TaskPolygon } from "./task-shapes.js";
export type { TaskDataProblem } from "./read-context.js";
export { readTaskData, type ReadTaskDataOptions, type TaskDataRead } from "./read-task-data.js";
export type {
  DataLogTrigger,
  DeviceAllocation,
  GuidanceAllocation,
  GuidanceShiftData,
  Task,
  TaskLogValue,
  TaskPosition,
  TaskStamp,
  TaskTime,
  TimeLogReference,
  TreatmentZone,
} from "./task.js";
export type { ExternalFile, TaskData, TaskDataVersion, TaskReference } from "./task-data.js";
export type {
  TaskDevice,
  TaskDeviceElement,
  TaskDeviceProperty,
  TaskObjectReference,
  TaskProcessData,
  TaskValuePresentation,
} from "./task-device.js";
export type { TaskElement, TaskExtra, TaskOther } from "./task-element.js";
export type {
  TaskDataOrigin,
  TaskElementType,
  TaskExtension,
  TaskLineStringType,
  TaskPatternKind,
  TaskPivotOption,
  TaskPointType,
  TaskPolygonType,
  TaskPositionStatus,
  TaskPropagation,
  TaskStatus,
  TaskTimeType,
  WordOrNumber,
} from "./task-words.js";
export { type TaskDataInput, writeTaskData, type WriteTaskDataOptions } from "./write-task-data.js";
