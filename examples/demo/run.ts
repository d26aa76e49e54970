// The main job on the files beside this one, through the public API alone: npm run demo
// npm run demo -- --towed       the same drive with the boom on an implement behind a drawbar
// npm run demo -- --field FILE  the field from task data (TASKDATA.XML), a shapefile (.zip), KML or GeoJSON; one that the drive is not in is planned and simulated
// npm run demo -- --plan        plan the field and drive the plan in simulation
// npm run demo -- --power-cut   the power goes half way; the job is opened again from its record, and ends with the same totals
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { drawField } from "../../src/drawing/index.js";
import { toGeographicLine, toGeographicPolygon, writeCsv, writeGeoJson } from "../../src/exchange/index.js";
import { type Point, type Polygon, difference, simplifyLine, simplifyRing } from "../../src/geometry/index.js";
import { passesOfField, passLine } from "../../src/guidance/index.js";
import { FieldJob, type JobReport, type SwitchEvent } from "../../src/job/index.js";
import { planAndDrive } from "./planned.js";
import { checkSame, PowerCut } from "./power-cut.js";
import { NmeaReader } from "../../src/receiver/index.js";
import { measurePolygon } from "../../src/survey/index.js";
import { hectares, hectaresPerHour } from "../../src/units/index.js";
import { readField } from "./field-file.js";
import { holds, jobDefinition, layOut, layOutField, Taps, titleOf, towedDefinition, workOf } from "./plan.js";
import { StandardFiles } from "./standard-files.js";

const here = new URL(".", import.meta.url);
const out = new URL("../../out/", import.meta.url);
const started = process.hrtime.bigint();
const read = (name: string): string => readFileSync(new URL(name, here), "utf8");

// the field, its headland, and the passes beside the line recorded in another season
const at = process.argv.indexOf("--field");
const file = at < 0 ? fileURLToPath(new URL("field.geojson", here)) : process.argv[at + 1]!;
const source = readField(file, readFileSync(file));
const line = read("line.geojson");
if (process.argv.includes("--plan") || !holds(source, line)) {
  planAndDrive(layOutField(source), out);
  process.exit();
}
const plan = layOut(source, line);
const { frame, field, labels, made } = plan;
const measured = measurePolygon(field[0]!, { frame });

const towed = process.argv.includes("--towed");
const definition = towed ? towedDefinition(plan) : jobDefinition(plan);
const powerCut = process.argv.includes("--power-cut") ? new PowerCut(definition) : null;
const job = powerCut ?? new FieldJob(definition);
const uninterrupted = powerCut === null ? null : new FieldJob(definition);
const taps = new Taps(read("taps.json"), plan);
const otherTaps = new Taps(read("taps.json"), plan);
const switchings: (SwitchEvent & { line: string })[] = [];
const files = new StandardFiles(job, definition);
job.onSwitch = (event) => switchings.push({ ...event, line: taps.line });

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
  `${titleOf(labels)}: ${hectares(measured.area).toFixed(2)} ha${workOf(labels)
    .map((part) => `, ${part}`)
    .join("")}`,
);
for (let at = 0; at < bytes.length; at += 512) {
  const end = at + 512 >= bytes.length;
  const fixes = reader.push(bytes.subarray(at, at + 512));
  for (const fix of end ? [...fixes, ...reader.flush()] : fixes) {
    if (uninterrupted !== null) {
      otherTaps.upTo(fix.time, uninterrupted);
      uninterrupted.update(fix);
    }
    if (powerCut?.isOff(fix.time) === true) continue;
    taps.upTo(fix.time, job);
    files.fix = fix;
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
files.write(plan, out);
if (uninterrupted !== null) checkSame(report, uninterrupted.report());
const seconds = Number(process.hrtime.bigint() - started) / 1e9;
console.log(
  `\nwrote map.svg, record.json, coverage.geojson, sections.csv, field.zip and TASKDATA to out/ (${seconds.toFixed(1)} s)`,
);

function progress(percent: number): void {
  const { totals, guidance } = job.state;
  const line = `  ${"#".repeat(percent / 5).padEnd(20, ".")} ${String(percent).padStart(3)} %  ${taps.line.padEnd(19)} pass ${guidance.pass}  ${hectares(totals.workedArea).toFixed(2).padStart(5)} ha`;
  if (process.stdout.isTTY) process.stdout.write(`\r${line}`);
  else if (percent % 25 === 0) console.log(line);
}

function printPasses(record: JobReport): void {
  console.log("\nline                 pass  length   mean error  95 % error   worked   overlap  switchings");
  console.log("                                m           cm          cm       ha        m²");
  for (const pass of record.passes) {
    const cells = [
      (pass.line.name ?? "").padEnd(19),
      String(pass.pass).padStart(5),
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
    "headland, mainfield",
    `${hectares(made.areas.headland).toFixed(4)} ha, ${hectares(made.areas.mainfield).toFixed(4)} ha`,
  );
  row(
    "worked in the field",
    `${hectares(ground.worked).toFixed(4)} ha, ${((100 * ground.worked) / ground.field).toFixed(2)} %`,
  );
  row(
    "missed in the field",
    `${hectares(ground.missed).toFixed(4)} ha, ${((100 * ground.missed) / ground.field).toFixed(2)} %`,
  );
  row("  of it in the buffer zone", `${hectares(ground.missed - missedOutside().area).toFixed(4)} ha`);
  row("  of it in the rounds' corners", `${hectares(made.areas.uncovered).toFixed(4)} ha by the plan`);
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

/** ground that was to be worked and was not */
function missedOutside(): { area: number; outline: Polygon[] } {
  return job.coverage.missed(difference(field, plan.closed));
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
  const missed = missedOutside();
  const missedOutline = missed.outline.map(smooth);
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
    layer("missed", missedOutline, missed.area),
    layer("headland", made.headland, made.areas.headland),
    layer("mainfield", made.mainfield, made.areas.mainfield),
    layer(
      "buffer zone",
      plan.closed,
      plan.closed.reduce((sum, part) => sum + measurePolygon(part).area, 0),
    ),
  ];
  const curve = plan.passes.line.points;
  const lines = [
    { positions: toGeographicLine(frame, curve), properties: { name: plan.passes.line.name } },
    ...made.rounds.map((round, i) => ({
      positions: toGeographicLine(frame, round.line),
      properties: { name: plan.rounds[i]!.line.name, length_m: Math.round(round.length * 100) / 100 },
    })),
  ];
  write("coverage.geojson", writeGeoJson({ fields: layers.filter((l) => l.polygons.length > 0), lines }));

  write(
    "sections.csv",
    writeCsv(switchings, [
      { header: "time_utc", value: (e) => new Date(e.time * 1000).toISOString() },
      { header: "section", value: (e) => e.section + 1 },
      { header: "order", value: (e) => (e.on ? "on" : "off") },
      { header: "reason", value: (e) => e.reason },
      { header: "line", value: (e) => e.line },
      { header: "pass", value: (e) => e.pass },
      { header: "east_m", value: (e) => e.x, decimals: 2 },
      { header: "north_m", value: (e) => e.y, decimals: 2 },
    ]),
  );

  const { first, last } = passesOfField(plan.passes, made.mainfield);
  const passes = Array.from({ length: last - first + 1 }, (_, i) => ({
    pass: first + i,
    lines: passLine(plan.passes, first + i, { within: made.mainfield }),
  }));
  const { totals } = record;
  write(
    "map.svg",
    drawField(
      {
        field,
        mainfield: made.mainfield,
        closed: plan.closed,
        worked,
        overlap: twice,
        missed: missedOutline,
        passes,
        rounds: made.rounds.map((round) => ({ round: round.number, line: round.line })),
        referenceLine: curve,
        track: track.map((piece) => simplifyLine(piece, 0.1)),
        gaps,
        switchings: switchings.map((e) => ({ at: [e.x, e.y] as const, on: e.on })),
      },
      {
        title: `${titleOf(labels)}`,
        lines: [
          [...workOf(labels), new Date(record.startTime * 1000).toISOString().slice(0, 10)].join(". "),
          `Field ${hectares(measured.area).toFixed(2)} ha, mainfield ${hectares(made.areas.mainfield).toFixed(2)} ha`,
          `Worked ${hectares(totals.workedArea).toFixed(2)} ha, again ${hectares(totals.overlapArea).toFixed(2)} ha, missed ${hectares(missed.area).toFixed(2)} ha`,
          `${towed ? "Towed boom" : "Boom"} 24 m of 8 sections, ${made.rounds.length} rounds, ${passes.length} passes, ${clock(totals.time)}`,
        ],
      },
    ),
  );
}

function clock(time: number): string {
  const whole = Math.round(time);
  return `${Math.floor(whole / 60)} min ${String(whole % 60).padStart(2, "0")} s`;
}
