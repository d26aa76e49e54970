// The main job on the two files beside this one, through the public API alone: npm run demo
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { drawField } from "../../src/drawing/index.js";
import {
  readGeoJson,
  toGeographicLine,
  toGeographicPolygon,
  toLocalPolygon,
  writeCsv,
  writeGeoJson,
} from "../../src/exchange/index.js";
import { localFrame } from "../../src/frames/index.js";
import type { Point, Polygon } from "../../src/geometry/index.js";
import { simplifyLine, simplifyRing } from "../../src/geometry/index.js";
import { guidancePattern, passesOfField, passLine, straightLine } from "../../src/guidance/index.js";
import { FieldJob, type JobReport, type SwitchEvent } from "../../src/job/index.js";
import { NmeaReader } from "../../src/receiver/index.js";
import { evenSections } from "../../src/sections/index.js";
import { measurePolygon } from "../../src/survey/index.js";
import { hectares, hectaresPerHour } from "../../src/units/index.js";

const here = new URL(".", import.meta.url);
const out = new URL("../../out/", import.meta.url);
const started = process.hrtime.bigint();

// the field
const { fields } = readGeoJson(readFileSync(new URL("field.geojson", here), "utf8"));
const { polygons, properties } = fields[0]!;
const origin = { ...polygons[0]!.exterior[0]!, altitude: 128.95 };
const frame = localFrame(origin);
const field = polygons.map((polygon) => toLocalPolygon(frame, polygon));
const measured = measurePolygon(field[0]!, { frame });
const text = (name: string): string => String(properties[name]);

// the line: A and B as the operator marked them in another season
const a = frame.toLocal({ latitude: 47.24997941, longitude: 20.7501556 });
const b = frame.toLocal({ latitude: 47.25315796, longitude: 20.75106299 });
const pattern = guidancePattern(straightLine(a, b, { name: "west side" }), { swathWidth: 24 });

const job = new FieldJob({
  labels: {
    field: text("name"),
    farm: text("farm"),
    crop: text("crop"),
    operation: text("operation"),
    notes: text("notes"),
  },
  origin,
  field,
  machine: { name: "tractor with a mounted boom", antenna: { x: 1.2, y: 0, z: -3 } },
  boom: { sections: evenSections(24, 8), x: -2, turnOnTime: 0.4, turnOffTime: 0.25 },
  pattern,
  // this operation asks for RTK fixed: anything less is guided by, with sections off
  fixes: { qualities: [4] },
  // half a section either way is the least overlap and skip together; 10 % outside is the receiver's and the driver's share
  sections: { overlapTolerance: 0.5, outsideTolerance: 0.1, minimumSpeed: 0.5 },
});

const switchings: SwitchEvent[] = [];
job.onSwitch = (event) => switchings.push(event);

// the drive, in pieces as a serial port gives them
const bytes = readFileSync(new URL("drive.nmea", here));
const reader = new NmeaReader();
const track: Point[][] = [];
const gaps: Point[][] = [];
let trackTime = Number.NEGATIVE_INFINITY;
let lastGood: Point | null = null;
let lost = false;
let shown = 0;
console.log(
  `${text("name")}, ${text("farm")}: ${hectares(measured.area).toFixed(2)} ha, ${text("crop")}, ${text("operation")}`,
);
for (let at = 0; at < bytes.length; at += 512) {
  const end = at + 512 >= bytes.length;
  const fixes = reader.push(bytes.subarray(at, at + 512));
  for (const fix of end ? [...fixes, ...reader.flush()] : fixes) {
    const state = job.update(fix);
    const place: Point = [state.x, state.y];
    if (state.fix.usable) {
      if (lost && lastGood !== null) gaps.push([lastGood, place]);
      lastGood = place;
    }
    lost = !state.fix.usable;
    if (fix.time - trackTime >= 1) {
      if (fix.time - trackTime > 2) track.push([]);
      track[track.length - 1]!.push(place);
      trackTime = fix.time;
    }
  }
  const percent = Math.floor(((at + 512) / bytes.length) * 100);
  if (percent >= shown + 5) {
    shown = percent - (percent % 5);
    progress(Math.min(100, shown));
  }
}
if (process.stdout.isTTY) process.stdout.write("\n");

const report = job.report();
printPasses(report);
printTotals(report);
writeFiles(report);
const seconds = Number(process.hrtime.bigint() - started) / 1e9;
console.log(`\nwrote map.svg, record.json, coverage.geojson, sections.csv to out/ (${seconds.toFixed(1)} s)`);

function progress(percent: number): void {
  const { totals, guidance } = job.state;
  const line = `  ${"#".repeat(percent / 5).padEnd(20, ".")} ${String(percent).padStart(3)} %  pass ${String(guidance.pass).padStart(2)}  ${hectares(totals.workedArea).toFixed(2).padStart(5)} ha`;
  if (process.stdout.isTTY) process.stdout.write(`\r${line}`);
  else if (percent % 25 === 0) console.log(line);
}

function printPasses(record: JobReport): void {
  console.log("\npass  length   mean error  95 % error   worked   overlap  switchings");
  console.log("           m           cm          cm       ha        m²");
  for (const pass of record.passes) {
    const cells = [
      String(pass.pass).padStart(4),
      pass.length.toFixed(1).padStart(7),
      (pass.meanError * 100).toFixed(1).padStart(12),
      (pass.error95 * 100).toFixed(1).padStart(11),
      hectares(pass.workedArea).toFixed(4).padStart(8),
      pass.overlapArea.toFixed(1).padStart(9),
      String(pass.switches).padStart(11),
    ];
    console.log(cells.join(" "));
  }
}

function printTotals(record: JobReport): void {
  const { totals } = record;
  const ground = record.field!;
  const row = (name: string, value: string): void => console.log(`  ${name.padEnd(30)} ${value}`);
  console.log("\ntotals");
  row("field", `${hectares(measured.area).toFixed(4)} ha, perimeter ${measured.perimeter.toFixed(1)} m`);
  row(
    "worked in the field",
    `${hectares(ground.worked).toFixed(4)} ha, ${((100 * ground.worked) / ground.field).toFixed(2)} %`,
  );
  row(
    "missed in the field",
    `${hectares(ground.missed).toFixed(4)} ha, ${((100 * ground.missed) / ground.field).toFixed(2)} %`,
  );
  row("worked outside the field", `${hectares(ground.outside).toFixed(4)} ha`);
  row(
    "worked again (overlap)",
    `${hectares(totals.overlapArea).toFixed(4)} ha, ${((100 * totals.overlapArea) / totals.workedArea).toFixed(2)} %`,
  );
  row("distance, worked of it", `${totals.distance.toFixed(0)} m, ${totals.distanceWorked.toFixed(0)} m`);
  row("time, worked of it", `${clock(totals.time)}, ${clock(totals.timeWorked)}`);
  row("work rate while working", `${hectaresPerHour(totals.workRate).toFixed(1)} ha/h`);
  row("work rate over all", `${hectaresPerHour(totals.workedArea / totals.time).toFixed(1)} ha/h`);
  row("orders to sections", String(totals.switches));
  row("sentences read, refused", `${reader.counts.accepted}, ${reader.counts.sentences - reader.counts.accepted}`);
  const kinds = Object.entries(record.fixes).filter(([, count]) => count > 0);
  row("fixes", kinds.map(([status, count]) => `${count} ${status}`).join(", "));
}

function writeFiles(record: JobReport): void {
  mkdirSync(out, { recursive: true });
  const write = (name: string, content: string): void => writeFileSync(new URL(name, out), content);
  write("record.json", `${JSON.stringify(record, null, 2)}\n`);

  // staircases of cells, smoothed by less than their size for files and pictures
  const smooth = (polygon: Polygon): Polygon => ({
    exterior: simplifyRing(polygon.exterior, job.coverage.cellSize),
    holes: polygon.holes.map((hole) => simplifyRing(hole, job.coverage.cellSize)),
  });
  const worked = job.coverage.outline().map(smooth);
  const twice = job.coverage.outline({ of: "twice" }).map(smooth);
  const missed = job.coverage.missed(field).outline.map(smooth);
  const layer = (
    name: string,
    parts: readonly Polygon[],
    area: number,
  ): { polygons: ReturnType<typeof toGeographicPolygon>[]; properties: Record<string, unknown> } => ({
    polygons: parts.map((part) => toGeographicPolygon(frame, part)),
    properties: { name, area_m2: Math.round(area * 100) / 100 },
  });
  const layers = [
    layer("worked", worked, record.totals.workedArea),
    layer("worked twice", twice, record.workedTwiceArea),
    layer("missed", missed, record.field!.missed),
  ];
  const lines = [{ positions: toGeographicLine(frame, [a, b]), properties: { name: "reference line" } }];
  write("coverage.geojson", writeGeoJson({ fields: layers.filter((l) => l.polygons.length > 0), lines }));

  write(
    "sections.csv",
    writeCsv(switchings, [
      { header: "time_utc", value: (e) => new Date(e.time * 1000).toISOString() },
      { header: "section", value: (e) => e.section + 1 },
      { header: "order", value: (e) => (e.on ? "on" : "off") },
      { header: "reason", value: (e) => e.reason },
      { header: "pass", value: (e) => e.pass },
      { header: "east_m", value: (e) => e.x, decimals: 2 },
      { header: "north_m", value: (e) => e.y, decimals: 2 },
    ]),
  );

  const { first, last } = passesOfField(pattern, field);
  const passes = Array.from({ length: last - first + 1 }, (_, i) => ({
    pass: first + i,
    lines: passLine(pattern, first + i, { within: field }),
  }));
  const { totals } = record;
  write(
    "map.svg",
    drawField(
      {
        field,
        worked,
        overlap: twice,
        missed,
        passes,
        referenceLine: [a, b],
        track: track.map((piece) => simplifyLine(piece, 0.1)),
        gaps,
        switchings: switchings.map((e) => ({ at: [e.x, e.y] as const, on: e.on })),
      },
      {
        title: `${text("name")}, ${text("farm")}`,
        lines: [
          `${text("crop")}. ${text("operation")}. ${new Date(record.startTime * 1000).toISOString().slice(0, 10)}`,
          `Field ${hectares(measured.area).toFixed(2)} ha, worked ${hectares(totals.workedArea).toFixed(2)} ha, again ${hectares(totals.overlapArea).toFixed(2)} ha, missed ${hectares(record.field!.missed).toFixed(2)} ha`,
          `Boom 24 m of 8 sections, ${record.passes.length} passes, ${clock(totals.time)}`,
        ],
      },
    ),
  );
}

function clock(time: number): string {
  const whole = Math.round(time);
  return `${Math.floor(whole / 60)} min ${String(whole % 60).padStart(2, "0")} s`;
}
