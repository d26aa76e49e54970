/** A value of an enumeration: its word, or the number of the file where there is no word for it here. It is written back as it was. */
export type WordOrNumber<Word extends string> = Word | number;

/** What a polygon is (attribute A of PLN), 1 to 12 in this order; the last four are of version 4. */
export type TaskPolygonType =
  | "partfield-boundary"
  | "treatment-zone"
  | "water-surface"
  | "building"
  | "road"
  | "obstacle"
  | "flag"
  | "other"
  | "mainfield"
  | "headland"
  | "buffer-zone"
  | "windbreak";

/** What a line is (attribute A of LSG), 1 to 9 in this order. */
export type TaskLineStringType =
  | "exterior"
  | "interior"
  | "tramline"
  | "sampling-route"
  | "guidance-pattern"
  | "drainage"
  | "fence"
  | "flag"
  | "obstacle";

/** What a point is (attribute A of PNT), 1 to 11 in this order. */
export type TaskPointType =
  | "flag"
  | "other"
  | "field-access"
  | "storage"
  | "obstacle"
  | "guidance-reference-a"
  | "guidance-reference-b"
  | "guidance-reference-centre"
  | "guidance-point"
  | "partfield-reference"
  | "homebase";

/** Kind of a guidance pattern (attribute C of GPN), 1 to 5 in this order. */
export type TaskPatternKind = "ab" | "a-plus" | "curve" | "pivot" | "spiral";

/** How a pivot goes round (attribute D of GPN), 1 to 3 in this order. */
export type TaskPivotOption = "clockwise" | "counter-clockwise" | "full-circle";

/** To which sides of a pattern passes are made (attribute E of GPN), 1 to 4 in this order. */
export type TaskPropagation = "both" | "left" | "right" | "none";

/** At which ends passes run on (attribute F of GPN), 1 to 4 in this order. */
export type TaskExtension = "both" | "a" | "b" | "none";

/** How far a task has come (attribute G of TSK), 1 to 6 in this order. */
export type TaskStatus = "planned" | "running" | "paused" | "completed" | "template" | "cancelled";

/** What a time was (attribute D of TIM and ASP): 1, 2, and 4 to 8 in this order; 3 is deprecated and stays a number. */
export type TaskTimeType =
  | "planned"
  | "preliminary"
  | "effective"
  | "ineffective"
  | "repair"
  | "clearing"
  | "powered-down";

/** How a position came about (attribute D of PTN): 0 to 8 in this order as in NMEA 0183 GGA, then 14 and 15. */
export type TaskPositionStatus =
  | "none"
  | "gnss"
  | "differential"
  | "precise"
  | "rtk-fixed"
  | "rtk-float"
  | "dead-reckoning"
  | "manual"
  | "simulated"
  | "error"
  | "not-available";

/** What a device element is (attribute C of DET), 1 to 7 in this order. */
export type TaskElementType = "device" | "function" | "bin" | "section" | "unit" | "connector" | "navigation-reference";

/** Where a document comes from (DataTransferOrigin): 1 the office, 2 the cab. */
export type TaskDataOrigin = "management" | "task-controller";

/** Words of an enumeration, both ways. */
export interface Words {
  readonly byNumber: ReadonlyMap<number, string>;
  readonly byWord: ReadonlyMap<string, number>;
}

// a word left out or twice is an error of type
function words<Word extends string>(numbers: Readonly<Record<Word, number>>): Words {
  const entries = Object.entries<number>(numbers);
  return {
    byNumber: new Map(entries.map(([word, number]) => [number, word])),
    byWord: new Map(entries),
  };
}

/** Words of PLN A. */
export const POLYGON_TYPES: Words = /* @__PURE__ */ words<TaskPolygonType>({
  "partfield-boundary": 1,
  "treatment-zone": 2,
  "water-surface": 3,
  building: 4,
  road: 5,
  obstacle: 6,
  flag: 7,
  other: 8,
  mainfield: 9,
  headland: 10,
  "buffer-zone": 11,
  windbreak: 12,
});

/** Words of LSG A. */
export const LINE_TYPES: Words = /* @__PURE__ */ words<TaskLineStringType>({
  exterior: 1,
  interior: 2,
  tramline: 3,
  "sampling-route": 4,
  "guidance-pattern": 5,
  drainage: 6,
  fence: 7,
  flag: 8,
  obstacle: 9,
});

/** Words of PNT A. */
export const POINT_TYPES: Words = /* @__PURE__ */ words<TaskPointType>({
  flag: 1,
  other: 2,
  "field-access": 3,
  storage: 4,
  obstacle: 5,
  "guidance-reference-a": 6,
  "guidance-reference-b": 7,
  "guidance-reference-centre": 8,
  "guidance-point": 9,
  "partfield-reference": 10,
  homebase: 11,
});

/** Words of GPN C. */
export const PATTERN_KINDS: Words = /* @__PURE__ */ words<TaskPatternKind>({
  ab: 1,
  "a-plus": 2,
  curve: 3,
  pivot: 4,
  spiral: 5,
});

/** Words of GPN D. */
export const PIVOT_OPTIONS: Words = /* @__PURE__ */ words<TaskPivotOption>({
  clockwise: 1,
  "counter-clockwise": 2,
  "full-circle": 3,
});

/** Words of GPN E. */
export const PROPAGATIONS: Words = /* @__PURE__ */ words<TaskPropagation>({ both: 1, left: 2, right: 3, none: 4 });

/** Words of GPN F. */
export const EXTENSIONS: Words = /* @__PURE__ */ words<TaskExtension>({ both: 1, a: 2, b: 3, none: 4 });

/** Words of TSK G. */
export const STATUSES: Words = /* @__PURE__ */ words<TaskStatus>({
  planned: 1,
  running: 2,
  paused: 3,
  completed: 4,
  template: 5,
  cancelled: 6,
});

/** Words of TIM D and ASP D. */
export const TIME_TYPES: Words = /* @__PURE__ */ words<TaskTimeType>({
  planned: 1,
  preliminary: 2,
  effective: 4,
  ineffective: 5,
  repair: 6,
  clearing: 7,
  "powered-down": 8,
});

/** Words of PTN D. */
export const POSITION_STATUSES: Words = /* @__PURE__ */ words<TaskPositionStatus>({
  none: 0,
  gnss: 1,
  differential: 2,
  precise: 3,
  "rtk-fixed": 4,
  "rtk-float": 5,
  "dead-reckoning": 6,
  manual: 7,
  simulated: 8,
  error: 14,
  "not-available": 15,
});

/** Words of DET C. */
export const ELEMENT_TYPES: Words = /* @__PURE__ */ words<TaskElementType>({
  device: 1,
  function: 2,
  bin: 3,
  section: 4,
  unit: 5,
  connector: 6,
  "navigation-reference": 7,
});

/** Words of DataTransferOrigin. */
export const ORIGINS: Words = /* @__PURE__ */ words<TaskDataOrigin>({ management: 1, "task-controller": 2 });
