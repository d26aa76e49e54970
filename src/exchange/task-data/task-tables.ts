import {
  COLOUR,
  COUNT,
  DDI,
  DESIGNATOR,
  type ElementTable,
  FILE,
  ID,
  LATITUDE,
  LONGITUDE,
  OBJECT,
  RAW_VALUE,
  refer,
  SIGNED_LENGTH,
  table,
  TEXT,
  TIME,
  whole,
} from "./element-table.js";
import { PARTFIELD_TABLE, POLYGON_TABLE } from "./partfield-tables.js";
import type { ExternalFile, TaskData, TaskReference } from "./task-data.js";
import type {
  TaskDevice,
  TaskDeviceElement,
  TaskDeviceProperty,
  TaskObjectReference,
  TaskProcessData,
  TaskValuePresentation,
} from "./task-device.js";
import type {
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
import { ELEMENT_TYPES, ORIGINS, POSITION_STATUSES, STATUSES, TIME_TYPES } from "./task-words.js";

const DILUTION = { as: "number", min: 0, max: 6553.4, scale: 1, decimals: 9 } as const;

const PTN: ElementTable = /* @__PURE__ */ table<TaskPosition>("PTN", [
  ["A", "latitude", LATITUDE, "required"],
  ["B", "longitude", LONGITUDE, "required"],
  ["C", "altitude", SIGNED_LENGTH],
  ["D", "status", { as: "word", words: POSITION_STATUSES }],
  ["E", "pdop", DILUTION],
  ["F", "hdop", DILUTION],
  ["G", "satellites", whole(0, 254)],
  ["H", "utcTimeOfDay", { as: "number", min: 0, max: 86_400.999, scale: 1000, decimals: 0 }],
  ["I", "utcDay", whole(0, 65_534)],
]);

const DLV: ElementTable = /* @__PURE__ */ table<TaskLogValue>("DLV", [
  ["A", "ddi", DDI, "required"],
  ["B", "value", RAW_VALUE, "required"],
  ["C", "deviceElement", refer("DET"), "required"],
]);

const STAMP = [
  ["A", "start", TIME, "required"],
  ["B", "stop", TIME],
  ["C", "duration", COUNT],
  ["D", "type", { as: "word", words: TIME_TYPES }, "required"],
] as const;

const TIM: ElementTable = /* @__PURE__ */ table<TaskTime>("TIM", STAMP, [
  ["positions", PTN],
  ["values", DLV],
]);

const ASP: ElementTable = /* @__PURE__ */ table<TaskStamp>("ASP", STAMP, [["positions", PTN]]);

const GST: ElementTable = /* @__PURE__ */ table<GuidanceShiftData>(
  "GST",
  [
    ["A", "group", refer("GGP")],
    ["B", "pattern", refer("GPN")],
    ["C", "east", SIGNED_LENGTH],
    ["D", "north", SIGNED_LENGTH],
    ["E", "propagationOffset", SIGNED_LENGTH],
  ],
  [["stamps", ASP]],
);

const GAN: ElementTable = /* @__PURE__ */ table<GuidanceAllocation>(
  "GAN",
  [["A", "group", refer("GGP"), "required"]],
  [
    ["stamps", ASP],
    ["shifts", GST],
  ],
);

const DAN: ElementTable = /* @__PURE__ */ table<DeviceAllocation>(
  "DAN",
  [
    ["A", "name", { as: "hexadecimal", digits: 16 }, "required"],
    ["B", "mask", { as: "hexadecimal", digits: 16 }],
    ["C", "device", refer("DVC")],
  ],
  [["stamps", ASP]],
);

const TLG: ElementTable = /* @__PURE__ */ table<TimeLogReference>("TLG", [
  ["A", "file", FILE, "required"],
  ["B", "length", COUNT],
  ["C", "type", whole(0, 255), "required"],
]);

const DLT: ElementTable = /* @__PURE__ */ table<DataLogTrigger>("DLT", [
  ["A", "ddi", DDI, "required"],
  ["B", "method", whole(0, 255), "required"],
  ["H", "deviceElement", refer("DET")],
]);

const TZN: ElementTable = /* @__PURE__ */ table<TreatmentZone>(
  "TZN",
  [
    ["A", "code", whole(0, 254), "required"],
    ["B", "designator", DESIGNATOR],
    ["C", "colour", COLOUR],
  ],
  [["polygons", POLYGON_TABLE]],
);

const TSK: ElementTable = /* @__PURE__ */ table<Task>(
  "TSK",
  [
    ["A", "id", ID, "required"],
    ["B", "designator", DESIGNATOR],
    ["C", "customer", refer("CTR")],
    ["D", "farm", refer("FRM")],
    ["E", "partfield", refer("PFD")],
    ["F", "worker", refer("WKR")],
    ["G", "status", { as: "word", words: STATUSES }, "required"],
    ["H", "defaultZone", whole(0, 254)],
    ["I", "positionLostZone", whole(0, 254)],
    ["J", "outOfFieldZone", whole(0, 254)],
  ],
  [
    ["treatmentZones", TZN],
    ["times", TIM],
    ["deviceAllocations", DAN],
    ["guidanceAllocations", GAN],
    ["dataLogTriggers", DLT],
    ["timeLogs", TLG],
  ],
  "task",
);

const DOR: ElementTable = /* @__PURE__ */ table<TaskObjectReference>("DOR", [["A", "object", OBJECT, "required"]]);

const DET: ElementTable = /* @__PURE__ */ table<TaskDeviceElement>(
  "DET",
  [
    ["A", "id", ID, "required"],
    ["B", "objectId", OBJECT, "required"],
    ["C", "type", { as: "word", words: ELEMENT_TYPES }, "required"],
    ["D", "designator", DESIGNATOR],
    ["E", "number", whole(0, 4095), "required"],
    ["F", "parent", whole(0, 65_534), "required"],
  ],
  [["objects", DOR]],
);

const DPD: ElementTable = /* @__PURE__ */ table<TaskProcessData>("DPD", [
  ["A", "objectId", OBJECT, "required"],
  ["B", "ddi", DDI, "required"],
  ["C", "properties", whole(0, 255), "required"],
  ["D", "triggers", whole(0, 255), "required"],
  ["E", "designator", DESIGNATOR],
  ["F", "presentation", OBJECT],
]);

const DPT: ElementTable = /* @__PURE__ */ table<TaskDeviceProperty>("DPT", [
  ["A", "objectId", OBJECT, "required"],
  ["B", "ddi", DDI, "required"],
  ["C", "value", RAW_VALUE, "required"],
  ["D", "designator", DESIGNATOR],
  ["E", "presentation", OBJECT],
]);

const DVP: ElementTable = /* @__PURE__ */ table<TaskValuePresentation>("DVP", [
  ["A", "objectId", OBJECT, "required"],
  ["B", "offset", RAW_VALUE, "required"],
  ["C", "scale", { as: "number", min: 0, max: 1e9, scale: 1, decimals: 9 }, "required"],
  ["D", "decimals", whole(0, 255), "required"],
  ["E", "unit", TEXT],
]);

const DVC: ElementTable = /* @__PURE__ */ table<TaskDevice>(
  "DVC",
  [
    ["A", "id", ID, "required"],
    ["B", "designator", DESIGNATOR],
    ["C", "softwareVersion", TEXT],
    ["D", "name", { as: "hexadecimal", digits: 16 }, "required"],
    ["E", "serialNumber", TEXT],
    ["F", "structureLabel", { as: "hexadecimal", digits: 78 }, "required"],
    ["G", "localizationLabel", { as: "hexadecimal", digits: 14 }, "required"],
  ],
  [
    ["elements", DET],
    ["processData", DPD],
    ["properties", DPT],
    ["presentations", DVP],
  ],
  "device",
);

const named = (element: string): ElementTable =>
  table<TaskReference>(element, [
    ["A", "id", ID, "required"],
    ["B", "designator", DESIGNATOR, "required"],
  ]);

const XFR: ElementTable = /* @__PURE__ */ table<ExternalFile>("XFR", [
  ["A", "file", FILE, "required"],
  ["B", "type", whole(0, 255), "required"],
]);

/** What the root holds, in the order in which it is written; what is referred to comes first. */
export const ROOT_TABLE: ElementTable = /* @__PURE__ */ table<
  TaskData & { versionMajor: number; versionMinor: number }
>(
  "ISO11783_TaskData",
  [
    ["VersionMajor", "versionMajor", whole(0, 99), "required"],
    ["VersionMinor", "versionMinor", whole(0, 99), "required"],
    ["ManagementSoftwareManufacturer", "managementSoftwareManufacturer", TEXT],
    ["ManagementSoftwareVersion", "managementSoftwareVersion", TEXT],
    ["TaskControllerManufacturer", "taskControllerManufacturer", TEXT],
    ["TaskControllerVersion", "taskControllerVersion", TEXT],
    ["DataTransferOrigin", "origin", { as: "word", words: ORIGINS }, "required"],
  ],
  [
    ["customers", named("CTR")],
    ["farms", named("FRM")],
    ["workers", named("WKR")],
    ["products", named("PDT")],
    ["cropTypes", named("CTP")],
    ["partfields", PARTFIELD_TABLE],
    ["devices", DVC],
    ["tasks", TSK],
    ["externalFiles", XFR],
  ],
);
