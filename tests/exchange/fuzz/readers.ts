import { zipSync } from "fflate";
import {
  readCsv,
  readSwitchingCsv,
  readTrackCsv,
  switchingColumns,
  trackColumns,
  writeCsv,
} from "../../../src/exchange/csv/index.js";
import { readFieldFeatures } from "../../../src/exchange/features/index.js";
import type { GeoData } from "../../../src/exchange/geo-data.js";
import { readGeoJson, toGeoJson, writeGeoJson } from "../../../src/exchange/geojson/index.js";
import { readGpx, writeGpx } from "../../../src/exchange/gpx/index.js";
import { readKml, writeKml } from "../../../src/exchange/kml/index.js";
import { readShapefile, writeShapefile, writeShapefileZip } from "../../../src/exchange/shapefile/index.js";
import {
  coverageFromTimeLog,
  fromPartfield,
  fromTaskDevice,
  jobDevice,
  WorkLog,
} from "../../../src/exchange/task-content/index.js";
import { readTaskData, type TaskDataRead, writeTaskData } from "../../../src/exchange/task-data/index.js";
import {
  readTimeLogHeader,
  TimeLogReader,
  TimeLogRecord,
  TimeLogWriter,
  writeTimeLogHeader,
} from "../../../src/exchange/time-log/index.js";
import { boom, evenSections } from "../../../src/sections/index.js";
import { content, farm, frame } from "../pond-farm.js";
import { DOCUMENT } from "../task-data/pond-farm-task-data.js";
import { type Chance, mutateBytes, mutateValue, pick, whole } from "./mutations.js";

/** A reader under fuzz. */
export interface FuzzedReader {
  readonly name: string;
  /** an input by chance, ready to be read: making it is not a matter of the reader */
  make(chance: Chance): () => unknown;
}

const encoder = new TextEncoder();
const bytesOf = (text: string): Uint8Array => encoder.encode(text);
const tokensOf = (...texts: string[]): Uint8Array[] => texts.map(bytesOf);
const latin = new TextDecoder("latin1");

/** A damaged text, mostly in its values: else the parser refuses nearly all. */
const mutateText = (chance: Chance, text: Uint8Array, tokens: readonly Uint8Array[]): Uint8Array =>
  mutateBytes(chance, text, tokens, 0.7);

/** A text, or its bytes: readers take both. */
const either = (chance: Chance, bytes: Uint8Array): string | Uint8Array =>
  chance() < 0.5 ? bytes : latin.decode(bytes);

/** a field with a hole, a line, a point: short, so that many can be tried; the whole farm now and then */
const small: Pick<GeoData, "fields" | "lines" | "points"> = {
  fields: farm.fields.slice(0, 1),
  lines: [farm.lines[farm.lines.length - 1]!, farm.lines[0]!].map((line) => ({
    ...line,
    positions: line.positions.slice(0, 3),
    properties: {
      ...line.properties,
      ...("times" in line.properties ? { times: (line.properties["times"] as unknown[]).slice(0, 3) } : {}),
    },
  })),
  points: farm.points.slice(0, 1),
};
const overDateLine: Pick<GeoData, "fields"> = {
  fields: [
    {
      polygons: [
        {
          exterior: [
            { latitude: -17, longitude: 179.9 },
            { latitude: -17, longitude: -179.9 },
            { latitude: -16.9, longitude: 180 },
            { latitude: -17, longitude: 179.9 },
          ],
          holes: [],
        },
      ],
      properties: { name: "over the line", tags: ["a", { b: null }], area: 12.5 },
      id: 7,
    },
  ],
};
const corpus = <T>(write: (data: typeof small) => T): T[] => [
  write(small),
  write({ fields: [], lines: small.lines, points: small.points }),
  write({ ...overDateLine, lines: [], points: [] }),
  write({ fields: small.fields, lines: [], points: [] }),
];
const whenRare = <T>(chance: Chance, few: readonly T[], large: T): T => (chance() < 0.03 ? large : pick(chance, few));

const XML = tokensOf(
  ...[
    "<",
    ">",
    "/",
    "&",
    "=",
    '"',
    "-",
    "9",
    "1e309",
    "NaN",
    "&#x10ffff;",
    "&#0;",
    "&lt;",
    "<![CDATA[",
    "]]>",
    "<!--",
    "-->",
    "<?",
    "?>",
  ],
  ...[
    "<!DOCTYPE a [<!ENTITY b 'c'>]>",
    ' xmlns="urn:x"',
    ' xmlns:a="urn:a"',
    "\u0000",
    "\ufeff",
    "ä",
    "\u{1f69c}",
    " a:b='c'",
    "<a>".repeat(70),
  ],
  ...["<b/>", 'encoding="UTF-16"', 'encoding="iso-8859-1"', "2024-02-30T25:61:61Z", "2024-05-01T08:00:00Z"],
);

const GEOJSON = tokensOf(
  ...[
    "{",
    "}",
    "[",
    "]",
    ",",
    ":",
    '"',
    "null",
    "1e309",
    "-",
    "NaN",
    '"type"',
    "[[",
    "]]",
    "0",
    "91",
    "\\u0000",
    "\\ud800",
    "true",
  ],
  ...[
    '"Point"',
    '"Polygon"',
    '"MultiPolygon"',
    '"GeometryCollection"',
    '"geometries":[',
    '"__proto__":{"polluted":1},',
    '"crs":{},',
    '"coordinates":',
  ],
  ...[
    "[".repeat(70),
    "[".repeat(3000),
    '{"a":'.repeat(70),
    "180",
    "-180",
    "[180,0],",
    '"bbox":[],',
    "1e-400",
    "\ufeff",
    "ä",
  ],
);

const geojson = ((): FuzzedReader => {
  const texts = corpus((data) => bytesOf(writeGeoJson(data)));
  const objects = corpus(toGeoJson);
  const large = bytesOf(writeGeoJson(farm));
  return {
    name: "geojson",
    make(chance) {
      if (chance() < 0.3) {
        const document = mutateValue(chance, pick(chance, objects));
        return () => readGeoJson(document as string);
      }
      const input = either(chance, mutateText(chance, whenRare(chance, texts, large), GEOJSON));
      return () => readGeoJson(input);
    },
  };
})();

const features = ((): FuzzedReader => {
  const large: GeoData = { ...farm, withoutGeometry: 0 };
  // one feature of each kind alone, that the change is not lost among the others
  const single = [
    ...farm.fields.map((field) => ({ fields: [field], lines: [], points: [], withoutGeometry: 0 })),
    ...farm.lines.map((line) => ({ fields: [], lines: [line], points: [], withoutGeometry: 0 })),
    ...farm.points.map((point) => ({ fields: [], lines: [], points: [point], withoutGeometry: 0 })),
  ];
  const texts = single.map((data) => bytesOf(writeGeoJson(data)));
  return {
    name: "field features",
    make(chance) {
      if (chance() < 0.3) {
        const text = mutateText(chance, pick(chance, texts), GEOJSON);
        return () => readFieldFeatures(frame, readGeoJson(text));
      }
      const data = mutateValue(chance, whenRare<unknown>(chance, single, large));
      return () => readFieldFeatures(frame, data as GeoData);
    },
  };
})();

const kmlTexts = corpus((data) => bytesOf(writeKml(data)));
const largeKml = bytesOf(writeKml(farm));
const kmlTokens = [
  ...XML,
  ...tokensOf(
    ...[
      "<coordinates>",
      "</coordinates>",
      "<Placemark>",
      "</Placemark>",
      "<MultiGeometry>",
      "<Folder><name>f</name>",
      "<gx:Track>",
      "<Track>",
      "<gx:coord>1 2 3</gx:coord>",
    ],
    ...[
      "<when>2024</when>",
      "<innerBoundaryIs>",
      "<LinearRing>",
      "<TimeSpan><begin>2024</begin></TimeSpan>",
      '<ExtendedData><Data name="__proto__"><value>1</value></Data></ExtendedData>',
    ],
    ...[
      "<altitudeMode>absolute</altitudeMode>",
      "<Point><coordinates>1,2</coordinates></Point>",
      " 5,47 ",
      ",,",
      " 180,0 -180,0 ",
    ],
  ),
];
const kml: FuzzedReader = {
  name: "kml",
  make(chance) {
    const input = either(chance, mutateText(chance, whenRare(chance, kmlTexts, largeKml), kmlTokens));
    return () => readKml(input);
  },
};

const ZIP = tokensOf("PK\u0003\u0004", "PK\u0001\u0002", "PK\u0005\u0006", "doc.kml", "../", "\u0000\u0000", "a.shp");
const kmz = ((): FuzzedReader => {
  const archives = kmlTexts.flatMap((text) => [
    zipSync({ "doc.kml": text }, { level: 6 }),
    zipSync({ "a/b.kml": text, "c.png": bytesOf("x") }, { level: 0 }),
  ]);
  return {
    name: "kmz",
    make(chance) {
      // an archive that is damaged, or one that is well made of a damaged document
      const input =
        chance() < 0.6
          ? mutateBytes(chance, pick(chance, archives), ZIP)
          : zipSync({ "doc.kml": mutateText(chance, pick(chance, kmlTexts), kmlTokens) }, { level: 0 });
      return () => readKml(input);
    },
  };
})();

const gpx = ((): FuzzedReader => {
  const texts = corpus((data) => bytesOf(writeGpx(data)));
  const large = bytesOf(writeGpx(farm));
  const tokens = [
    ...XML,
    ...tokensOf(
      ...[
        "<trkpt>",
        "</trk>",
        '<wpt lat="1" lon="2">',
        "<trkseg>",
        "</trkseg>",
        "<rte>",
        '<rtept lat="1" lon="181"/>',
        "<ele>1e999</ele>",
        "<time>",
        'lat="',
        'lon="',
      ],
      ...[
        "<extensions>",
        '<link href="a">',
        "<name>__proto__</name>",
        'version="1.0"',
        "http://www.topografix.com/GPX/1/0",
      ],
    ),
  ];
  return {
    name: "gpx",
    make(chance) {
      const input = either(chance, mutateText(chance, whenRare(chance, texts, large), tokens));
      return () => readGpx(input);
    },
  };
})();

const csv = ((): FuzzedReader => {
  const track = bytesOf(
    writeCsv(
      Array.from({ length: 5 }, (_, i) => ({
        ...{
          time: 1714550400 + i / 4,
          latitude: 47.25,
          longitude: 20.75 + i / 1e5,
          altitude: i === 2 ? Number.NaN : 88,
        },
        ...{ quality: 4, speed: 2.5, heading: 90, crossTrackError: -0.02, pass: -1, sections: [true, false, true] },
      })),
      trackColumns(3),
    ),
  );
  const orders = bytesOf(writeCsv(content.switchings ?? [], switchingColumns(frame)));
  const words = bytesOf(
    writeCsv(
      ["=1+1", 'say "so"', "a,b;c", "line\r\nend", "", "ä", "-1,5"],
      [
        { header: "text", value: (text) => text },
        { header: "length", value: (text) => text.length },
      ],
    ),
  );
  const tokens = tokensOf(
    ...[
      '"',
      '""',
      ",",
      ";",
      "\t",
      "\r\n",
      "\n",
      "\r",
      '"a""b"',
      "'=1",
      "-1,5",
      "1e5",
      "1e999",
      "NaN",
      "true",
      "\u0000",
      "\ufeff",
      "ä",
    ],
    ...[
      "latitude_deg",
      "time_s",
      "section_255",
      "section_4",
      "__proto__",
      "1,5e+",
      ",".repeat(300),
      "worked-already",
      " ",
    ],
  );
  return {
    name: "csv",
    make(chance) {
      const input = either(chance, mutateText(chance, pick(chance, [track, orders, words]), tokens));
      const options = {
        separator: pick(chance, [",", ",", ",", ";", "\t"] as const),
        decimal: pick(chance, [".", ".", ","] as const),
        formulas: pick(chance, ["keep", "unmark"] as const),
      };
      return pick(chance, [
        () => readCsv(input, options),
        () => readTrackCsv(input, options),
        () => readSwitchingCsv(input, frame, options),
      ]);
    },
  };
})();

const kinds = [
  { fields: small.fields, lines: [], points: [] },
  {
    fields: [
      ...small.fields,
      { ...overDateLine.fields[0]!, properties: { name: "over the line", area: 12.5, wet: true } },
    ],
    lines: [],
    points: [],
  },
  {
    fields: [],
    lines: [{ positions: small.lines[0]!.positions, properties: { name: "drive", year: 2026 } }],
    points: [],
  },
  { fields: [], lines: small.lines.slice(1), points: [] },
  { fields: [], lines: [], points: farm.points.slice(0, 3) },
];
const grid = bytesOf(
  'PROJCS["E",GEOGCS["G",DATUM["D_ETRS_1989",SPHEROID["GRS_1980",6378137.0,298.257222101]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]],PROJECTION["Transverse_Mercator"],PARAMETER["False_Easting",500000.0],PARAMETER["Central_Meridian",9.0],UNIT["Meter",1.0]]',
);
const written = kinds.map((data) => writeShapefile(data));
const TABLE = tokensOf(
  "N",
  "C",
  "D",
  "F",
  "L",
  "M",
  "\u001a",
  "\r",
  "*",
  " ",
  "20240230",
  "1e9",
  "-",
  "T",
  "?",
  "\u0000\u0000\u0000\u0001",
);
const CRS = tokensOf(
  ...[
    "[",
    "]",
    ",",
    '"',
    'PARAMETER["x",1]',
    "PROJCS[",
    "UNIT[",
    '"Degree"',
    "1e309",
    "-1",
    "0",
    "Lambert_Conformal_Conic",
    "Mercator",
    "GEOGCS[",
  ],
  ...[
    "TOWGS84[1,2,3,4,5,6,7]",
    "[".repeat(70),
    "utf-8",
    "1252",
    "ISO88591",
    "65001",
    "GRS_1980",
    "D_WGS_1984",
    "298.25",
    'PRIMEM["Paris",2.3]',
  ],
);
/** one of the files of a shapefile damaged */
function damagedParts(chance: Chance): { shp: Uint8Array; dbf: Uint8Array; prj: Uint8Array; cpg: Uint8Array } {
  const { shp, dbf, prj, cpg } = pick(chance, written);
  const parts = {
    shp,
    dbf,
    prj: bytesOf(latin.decode(prj)),
    cpg: bytesOf(latin.decode(cpg)),
  };
  const which = chance();
  if (which < 0.45) parts.shp = mutateBytes(chance, shp, TABLE);
  else if (which < 0.8) parts.dbf = mutateBytes(chance, dbf, TABLE);
  else if (which < 0.95) parts.prj = mutateBytes(chance, chance() < 0.5 ? parts.prj : grid, CRS);
  else parts.cpg = mutateBytes(chance, parts.cpg, CRS);
  return parts;
}
const shapefile: FuzzedReader = {
  name: "shapefile",
  make(chance) {
    const parts = damagedParts(chance);
    return () => readShapefile(parts);
  },
};

const zip = ((): FuzzedReader => {
  const archives = kinds.map((data) => writeShapefileZip(data));
  return {
    name: "zip of a shapefile",
    make(chance) {
      if (chance() < 0.6) {
        const input = mutateBytes(chance, pick(chance, archives), ZIP);
        return () => readShapefile(input);
      }
      const { shp, dbf, prj, cpg } = damagedParts(chance);
      const input = zipSync({ "a.shp": shp, "a.dbf": dbf, "a.prj": prj, "a.cpg": cpg }, { level: 0 });
      return () => readShapefile(input);
    },
  };
})();

const timeLogHeader = {
  start: "record",
  type: 4,
  position: { latitude: "record", longitude: "record", altitude: 88, status: "record", utcDay: "record" },
  channels: [
    { ddi: 161, element: "DET-1", value: "record" },
    { ddi: 67, element: "DET-2", value: 24_000 },
  ],
  ignored: ["XYZ"],
} as const;
const headers = [
  writeTimeLogHeader(timeLogHeader),
  writeTimeLogHeader({ ...timeLogHeader, start: "2024-05-01T10:00:00+02:00", position: null }),
];
const headerTokens = [
  ...XML,
  ...tokensOf(
    "<PTN",
    "<DLV",
    ' A=""',
    ' B=""',
    ' C="DET1"',
    ' D="4"',
    ' H="86400000"',
    ' I="16192"',
    '<DLV A="00A1" B="" C="D"/>',
    "FFFF",
    "-1",
  ),
];
const logHeader: FuzzedReader = {
  name: "time log header",
  make(chance) {
    const input = either(chance, mutateText(chance, bytesOf(pick(chance, headers)), headerTokens));
    return () => readTimeLogHeader(input);
  },
};
const timeLog = ((): FuzzedReader => {
  const pages: Uint8Array[] = [];
  const writer = new TimeLogWriter(timeLogHeader, (page) => pages.push(page));
  const record = new TimeLogRecord();
  for (let i = 0; i < 20; i++) {
    record.clear();
    record.setTime(1714550400 + i, 7200);
    record.latitude = 47.25 + i / 1e5;
    record.longitude = i === 7 ? Number.NaN : 20.75;
    record.status = 4;
    for (let k = 0; k < i % 4; k++) record.add(k % 2, i * k - 5);
    writer.write(record);
  }
  writer.end();
  const log = pages[0]!;
  const tokens = tokensOf("\u0000", "\u007f").concat([Uint8Array.of(255), Uint8Array.of(255, 255, 255, 255)]);
  return {
    name: "time log",
    make(chance) {
      const bytes = mutateBytes(chance, log, tokens);
      const cuts = [whole(chance, bytes.length + 1), whole(chance, bytes.length + 1)].sort((a, b) => a - b);
      const damage = pick(chance, ["keep", "refuse"] as const);
      const header = chance() < 0.1 ? (mutateValue(chance, timeLogHeader) as typeof timeLogHeader) : timeLogHeader;
      return () => {
        const reader = new TimeLogReader(header, { damage });
        let sum = 0;
        for (const [i, to] of [...cuts, bytes.length].entries()) {
          reader.push(bytes.subarray(i === 0 ? 0 : cuts[i - 1], to), (read) => (sum += read.count));
        }
        return [sum, reader.end()];
      };
    },
  };
})();

const [taskData, taskContent] = ((): FuzzedReader[] => {
  const whole4 = readTaskData(DOCUMENT);
  const { origin, other, partfields, devices, tasks } = whole4;
  // what the root keeps declares prefixes that its parts have
  const root = { origin, ...(other === undefined ? {} : { other }) };
  // by their parts, so that many can be tried
  const texts = [
    { ...root, partfields: partfields.map((p) => ({ ...p, guidanceGroups: [] })) },
    { ...root, partfields: partfields.map((p) => ({ ...p, polygons: [], lines: [], points: [] })) },
    { ...root, devices },
    { ...root, tasks },
  ].map((data) => bytesOf(writeTaskData(data)));
  const version3 = texts.map((text) => bytesOf(latin.decode(text).replace('VersionMajor="4"', 'VersionMajor="3"')));
  const large = bytesOf(DOCUMENT);
  const tokens = [
    ...XML,
    ...tokensOf(
      ...[
        ' A="',
        ' B=""',
        ' C="1"',
        ' D="91"',
        '<PNT A="2" C="47" D="20"/>',
        '<LSG A="1">',
        "</LSG>",
        '<PLN A="1">',
        "</PLN>",
        "<PFD",
        '<XFR A="PFD00001" B="1"/>',
        "0x10",
      ],
      ...[
        "TSK1",
        "-1",
        "VersionMajor",
        '"3"',
        "DET1",
        "00A1",
        '<TIM A="2024-05-01T10:00:00" D="4"/>',
        ' P094_x="y"',
        "<o:x/>",
        'B="__proto__"',
        "99999999999999999999",
      ],
    ),
  ];
  const external = bytesOf('<XFC><CTR A="CTR7" B="Reed"/></XFC>');
  const make = (chance: Chance): (() => TaskDataRead) => {
    const of = whenRare(chance, chance() < 0.7 ? texts : version3, large);
    const input = either(chance, mutateText(chance, of, tokens));
    const file = chance() < 0.2 ? mutateText(chance, external, tokens) : external;
    return () => readTaskData(input, { files: new Map([["PFD00001.XML", file]]) });
  };
  return [
    { name: "task data", make },
    {
      // what a document that can be read says of fields and machines
      name: "task content",
      make(chance) {
        const read = make(chance);
        return () => {
          const data = read();
          const fields = data.partfields.map((partfield) => fromPartfield(frame, partfield));
          return [...fields, ...data.devices.map(fromTaskDevice)];
        };
      },
    },
  ];
})();

const workLog = ((): FuzzedReader => {
  const sprayer = boom({ sections: evenSections(12, 6), x: -2 });
  const { booms } = jobDevice({ origin: frame.origin, machine: { antenna: { x: 0, y: 0, z: -3 } }, boom: sprayer });
  const { header } = new WorkLog(frame, { element: "DET-2", sections: 6 }, () => undefined);
  const pages: Uint8Array[] = [];
  const writer = new TimeLogWriter(header, (page) => pages.push(page));
  const record = new TimeLogRecord();
  for (let i = 0; i < 20; i++) {
    record.clear();
    record.setTime(1714550400 + i / 10, 7200);
    record.latitude = 47.25 + i * 4e-6;
    record.longitude = 20.75;
    // yaw, the boom's own state, those of its sections, on in turn
    record.add(0, i * 100);
    if (i === 0) record.add(1, 1);
    if (i % 5 === 0) record.add(2, -0xfab + i);
    writer.write(record);
  }
  writer.end();
  const log = pages[0]!;
  return {
    name: "work log",
    make(chance) {
      const bytes = mutateBytes(chance, log, [Uint8Array.of(255), Uint8Array.of(0, 0, 0, 128)]);
      const damage = pick(chance, ["keep", "refuse"] as const);
      return () => coverageFromTimeLog(frame, header, [bytes], booms, { damage });
    },
  };
})();

/** All readers of `feering/exchange`. */
export const READERS: readonly FuzzedReader[] = [
  geojson,
  features,
  csv,
  kml,
  kmz,
  gpx,
  shapefile,
  zip,
  logHeader,
  timeLog,
  taskData!,
  taskContent!,
  workLog,
];
