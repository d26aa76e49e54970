import { gpx as gpxByPeer, kml as kmlByPeer } from "@tmcw/togeojson";
import { DOMParser } from "@xmldom/xmldom";
import { SaxesParser } from "saxes";
import { readCsv, readTrackCsv, trackColumns, writeCsv } from "../src/exchange/csv/index.js";
import { readGeoJson, writeGeoJson } from "../src/exchange/geojson/index.js";
import { readGpx, writeGpx } from "../src/exchange/gpx/index.js";
import { readKml, writeKml } from "../src/exchange/kml/index.js";
import { readTaskData, writeTaskData } from "../src/exchange/task-data/index.js";
import { type TimeLogHeader, TimeLogReader, TimeLogRecord, TimeLogWriter } from "../src/exchange/time-log/index.js";
import type { GeographicPosition } from "../src/frames/index.js";
import { compareReaders, type Reader } from "./harness.js";
import { inventedFields } from "./invented-fields.js";

// texts are ASCII: as many bytes as characters. Each reader against what its parser alone takes, or a general-purpose peer

/** What every reader of XML pays: the parser with namespaces and places, its elements and texts counted. */
const parserAlone = (text: string): Reader => ({
  name: "saxes alone",
  bytes: text.length,
  run() {
    let n = 0;
    const parser = new SaxesParser({ xmlns: true, position: true });
    parser.on("opentag", () => n++);
    parser.on("text", (part) => (n += part.length));
    parser.write(text).close();
    return n;
  },
});
/** The converter's types want a browser's document; it takes this one as well. */
const documentOf = (text: string): Parameters<typeof kmlByPeer>[0] =>
  new DOMParser().parseFromString(text, "text/xml") as never;

const fields = inventedFields(2000, 50, 1);
for (const [count, times] of [
  [100, 20],
  [2000, 1],
] as const) {
  const geojson = writeGeoJson({ fields: fields.slice(0, count) });
  const often = (read: () => number): number => {
    let sum = 0;
    for (let i = 0; i < times; i++) sum += read();
    return sum;
  };
  await compareReaders(`GeoJSON: ${count} fields of 50 corners with a hole`, [
    {
      name: "feering readGeoJson",
      bytes: times * geojson.length,
      run: () => often(() => readGeoJson(geojson).fields.length),
    },
    {
      name: "JSON.parse",
      bytes: times * geojson.length,
      run: () => often(() => (JSON.parse(geojson) as { features: unknown[] }).features.length),
    },
  ]);
}

const kml = writeKml({ fields: fields.slice(0, 1000) });
await compareReaders("KML: 1 000 fields of 50 corners with a hole", [
  { name: "feering readKml", bytes: kml.length, run: () => readKml(kml).fields.length },
  parserAlone(kml),
  {
    name: "@xmldom/xmldom, @tmcw/togeojson kml",
    bytes: kml.length,
    run: () => kmlByPeer(documentOf(kml)).features.length,
  },
]);

const start = 1714550400;
const drives = Array.from({ length: 10 }, (_, k) => ({
  positions: Array.from({ length: 1500 }, (__, i) => ({
    latitude: 52 + k / 1000 + i / 1e5,
    longitude: 5 + (i % 7) / 1e6,
    altitude: 12 + i / 1000,
  })),
  properties: { name: `drive ${k}`, times: Array.from({ length: 1500 }, (__, i) => start + 3600 * k + i) },
}));
const gpx = writeGpx({ lines: drives });
await compareReaders("GPX: 10 tracks of 1 500 points with heights and times", [
  { name: "feering readGpx", bytes: gpx.length, run: () => readGpx(gpx).lines.length },
  parserAlone(gpx),
  {
    name: "@xmldom/xmldom, @tmcw/togeojson gpx",
    bytes: gpx.length,
    run: () => gpxByPeer(documentOf(gpx)).features.length,
  },
]);

const csv = writeCsv(
  Array.from({ length: 40_000 }, (_, i) => ({
    time: start + i / 10,
    latitude: 52 + i / 1e6,
    longitude: 5 + (i % 7) / 1e6,
    altitude: 12.3,
    quality: 4,
    speed: 2.5,
    heading: (i / 100) % 360,
    crossTrackError: 0.01,
    pass: 3,
    sections: Array.from({ length: 8 }, (__, k) => (i >> k) % 2 === 0),
  })),
  trackColumns(8),
);
await compareReaders("CSV: 40 000 rows of 17 cells", [
  { name: "feering readCsv", bytes: csv.length, run: () => readCsv(csv).rows.length },
  {
    name: "split at line ends and commas, no quotes",
    bytes: csv.length,
    run: () => csv.split("\r\n").map((line) => line.split(",")).length,
  },
  { name: "feering readTrackCsv, its numbers too", bytes: csv.length, run: () => readTrackCsv(csv).length },
]);

const header: TimeLogHeader = {
  start: "record",
  type: 4,
  position: { latitude: "record", longitude: "record", status: "record" },
  channels: Array.from({ length: 6 }, (_, i) => ({ ddi: 161 + i, element: `DET-${i}`, value: "record" as const })),
};
const pages: Uint8Array[] = [];
const writer = new TimeLogWriter(header, (page) => pages.push(page));
const record = new TimeLogRecord();
for (let i = 0; i < 300_000; i++) {
  record.clear();
  record.setTime(start + i / 5, 7200);
  record.latitude = 52 + i / 1e7;
  record.longitude = 5;
  record.status = 4;
  for (let k = 0; k < i % 7; k++) record.add(k, i * k);
  writer.write(record);
}
writer.end();
const log = new Uint8Array(Buffer.concat(pages));
await compareReaders("time log: 300 000 records of 3 values", [
  {
    name: "feering TimeLogReader",
    bytes: log.length,
    run() {
      let sum = 0;
      const reader = new TimeLogReader(header);
      reader.push(log, (read) => {
        sum += read.latitude;
        for (let i = 0; i < read.count; i++) sum += read.values[i]!;
      });
      return sum + reader.end().records;
    },
  },
  {
    name: "a loop with a DataView, nothing checked",
    bytes: log.length,
    run() {
      let sum = 0;
      const view = new DataView(log.buffer, log.byteOffset, log.length);
      for (let at = 0; at < log.length; ) {
        sum += view.getUint32(at, true) / 1000 + view.getUint16(at + 4, true);
        sum += view.getInt32(at + 6, true) / 1e7 + view.getInt32(at + 10, true) / 1e7 + view.getUint8(at + 14);
        const count = view.getUint8(at + 15);
        at += 16;
        for (let i = 0; i < count; i++, at += 5) sum += view.getUint8(at) + view.getInt32(at + 1, true);
      }
      return sum;
    },
  },
  {
    name: "feering TimeLogWriter",
    bytes: log.length,
    run() {
      let sum = 0;
      const again = new TimeLogWriter(header, (page) => (sum += page.length));
      new TimeLogReader(header).push(log, (read) => again.write(read));
      again.end();
      return sum;
    },
  },
]);

const ringOf = (type: "exterior" | "interior", positions: readonly GeographicPosition[]) => ({
  type,
  points: positions.slice(1).map(({ latitude, longitude }) => ({ type: "other" as const, latitude, longitude })),
});
const taskData = writeTaskData({
  origin: "management",
  partfields: fields.slice(0, 500).map(({ polygons, properties }) => ({
    designator: String(properties["name"]),
    area: 120_000,
    polygons: polygons.map(({ exterior, holes }) => ({
      type: "partfield-boundary",
      exterior: ringOf("exterior", exterior),
      interiors: holes.map((hole) => ringOf("interior", hole)),
    })),
    lineStrings: [],
    points: [],
    guidanceGroups: [],
  })),
});
await compareReaders("task data: 500 fields of 50 corners with a hole", [
  { name: "feering readTaskData", bytes: taskData.length, run: () => readTaskData(taskData).partfields.length },
  parserAlone(taskData),
]);
