import {
  ACCURACY,
  AREA,
  COLOUR,
  COUNT,
  DESIGNATOR,
  type ElementTable,
  FILE,
  HEADING,
  ID,
  LATITUDE,
  LENGTH,
  LONGITUDE,
  refer,
  SIGNED_LENGTH,
  table,
  TEXT,
  whole,
} from "./element-table.js";
import type { GuidanceGroupData, GuidancePatternData } from "./guidance-data.js";
import type { Partfield } from "./partfield.js";
import type { TaskLineString, TaskPoint, TaskPolygon } from "./task-shapes.js";
import {
  EXTENSIONS,
  LINE_TYPES,
  PATTERN_KINDS,
  PIVOT_OPTIONS,
  POINT_TYPES,
  POLYGON_TYPES,
  PROPAGATIONS,
} from "./task-words.js";

/** Most swaths to a side: no field has more, and a double holds them exactly. */
const MOST_SWATHS = 4_294_967_295;

const PNT: ElementTable = /* @__PURE__ */ table<TaskPoint>("PNT", [
  ["A", "type", { as: "word", words: POINT_TYPES }, "required"],
  ["B", "designator", DESIGNATOR],
  ["C", "latitude", LATITUDE, "required"],
  ["D", "longitude", LONGITUDE, "required"],
  ["E", "altitude", SIGNED_LENGTH],
  ["F", "colour", COLOUR],
  ["G", "id", ID],
  ["H", "horizontalAccuracy", ACCURACY],
  ["I", "verticalAccuracy", ACCURACY],
  ["J", "file", FILE],
  ["K", "fileLength", COUNT],
]);

const LSG: ElementTable = /* @__PURE__ */ table<TaskLineString>(
  "LSG",
  [
    ["A", "type", { as: "word", words: LINE_TYPES }, "required"],
    ["B", "designator", DESIGNATOR],
    ["C", "width", LENGTH],
    ["D", "length", LENGTH],
    ["E", "colour", COLOUR],
    ["F", "id", ID],
  ],
  [["points", PNT]],
);

/** PLN, whose LSG become exterior and interiors. */
export const POLYGON_TABLE: ElementTable = /* @__PURE__ */ table<TaskPolygon>(
  "PLN",
  [
    ["A", "type", { as: "word", words: POLYGON_TYPES }, "required"],
    ["B", "designator", DESIGNATOR],
    ["C", "area", AREA],
    ["D", "colour", COLOUR],
    ["E", "id", ID],
  ],
  [["lineStrings", LSG]],
  "polygon",
);

const GPN: ElementTable = /* @__PURE__ */ table<GuidancePatternData>(
  "GPN",
  [
    ["A", "id", ID, "required"],
    ["B", "designator", DESIGNATOR],
    ["C", "kind", { as: "word", words: PATTERN_KINDS }, "required"],
    ["D", "options", { as: "word", words: PIVOT_OPTIONS }],
    ["E", "propagation", { as: "word", words: PROPAGATIONS }],
    ["F", "extension", { as: "word", words: EXTENSIONS }],
    ["G", "heading", HEADING],
    ["H", "radius", LENGTH],
    ["I", "method", whole(0, 255)],
    ["J", "horizontalAccuracy", ACCURACY],
    ["K", "verticalAccuracy", ACCURACY],
    ["L", "baseStation", refer("BSN")],
    ["M", "originalSrid", TEXT],
    ["N", "swathsLeft", whole(0, MOST_SWATHS)],
    ["O", "swathsRight", whole(0, MOST_SWATHS)],
  ],
  [
    ["lineStrings", LSG],
    ["boundaries", POLYGON_TABLE],
  ],
  "pattern",
);

const GGP: ElementTable = /* @__PURE__ */ table<GuidanceGroupData>(
  "GGP",
  [
    ["A", "id", ID, "required"],
    ["B", "designator", DESIGNATOR],
  ],
  [
    ["patterns", GPN],
    ["boundaries", POLYGON_TABLE],
  ],
);

/** PFD with all that is inside of it. */
export const PARTFIELD_TABLE: ElementTable = /* @__PURE__ */ table<Partfield>(
  "PFD",
  [
    ["A", "id", ID, "required"],
    ["B", "code", TEXT],
    ["C", "designator", DESIGNATOR, "required"],
    ["D", "area", AREA, "required"],
    ["E", "customer", refer("CTR")],
    ["F", "farm", refer("FRM")],
    ["G", "cropType", refer("CTP")],
    ["H", "cropVariety", refer("CVT")],
    ["I", "parent", refer("PFD")],
  ],
  [
    ["polygons", POLYGON_TABLE],
    ["lineStrings", LSG],
    ["points", PNT],
    ["guidanceGroups", GGP],
  ],
);
