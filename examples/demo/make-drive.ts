/**
 * Makes the demo's invented field and drive: `npx tsx examples/demo/make-drive.ts` writes field.geojson, line.geojson,
 * drive.nmea and taps.json beside this file, byte for byte the same on every run. README.md tells what is in them.
 *
 * The drive is first a way on the ground (making/way.ts: rounds and passes by the plan, turns between them), then a simulation: a machine that is steered
 * along it by what its receiver says, with that receiver's errors.
 */
import { writeFileSync } from "node:fs";
import { type Scenario, simulate } from "../../src/simulation/index.js";
import { readField } from "./field-file.js";
import { drivesAlong } from "./making/drives.js";
import { fieldText, lineText } from "./making/ground.js";
import { layWay, STEP } from "./making/way.js";
import { jobDefinition, layOut } from "./plan.js";

const START = Date.UTC(2025, 3, 16, 8, 15, 0) / 1000;
const RATE = 10; // fixes a second

// metres from where the turn on to a pass begins
const STANDSTILL = { pass: 1, along: 150, seconds: 60 };
const DROPOUT = { pass: 3, along: 90, seconds: 4 };
const WORSE = { pass: 7, along: 130, seconds: 20 };

const texts = { field: fieldText(), line: lineText() };
const plan = layOut(readField("field.geojson", Buffer.from(texts.field)), texts.line);
const way = layWay(plan);
const place = ({ pass, along }: { readonly pass: number; readonly along: number }): number =>
  way.passes.get(pass)! + Math.round(along / STEP);

const { pattern: _, ...job } = jobDefinition(plan);
const scenario: Scenario = {
  drives: drivesAlong(
    way.points,
    new Map([
      [0, 6],
      [place(STANDSTILL), STANDSTILL.seconds],
    ]),
  ),
  job,
  vehicle: { model: "bicycle", wheelbase: 2.8, maximumAngle: 38, maximumRate: 28, delay: 0.1 },
  controller: { law: "pure-pursuit", time: 1.2 },
  acceleration: 0.6,
  // the driver drives on without the receiver, on the way that he sees
  coastTime: 30,
  startTime: START,
  seed: 51,
};
const gnss = { noise: 0.006, drift: 0.008, driftTime: 90, speedNoise: 0.012, rate: RATE };

// when the machine is where, once without what befalls the receiver
const { drive } = simulate({ ...scenario, gnss });
const timeAt = passingTimes();
const driven = simulate(
  {
    ...scenario,
    gnss: {
      ...gnss,
      changes: [
        { from: timeAt(place(DROPOUT)), seconds: DROPOUT.seconds, quality: 0 },
        { from: timeAt(place(WORSE)), seconds: WORSE.seconds, quality: 5, factor: 12 },
      ],
    },
  },
  { nmea: ["GGA", "RMC"], recordEvery: 0 },
);
if (driven.status !== "finished") throw new Error(`the drive is ${driven.status}`);
// without a position this receiver says nothing at all
const sentences = driven.nmea.match(/[^\n]*\n[^\n]*\n/g)!.filter((pair) => pair.split(",")[6] !== "0");
const taps = way.taps.map(({ at, ...tap }) => ({
  time: new Date(Math.round((START + timeAt(at)) * RATE) * (1000 / RATE)).toISOString(),
  ...tap,
}));

const write = (name: string, text: string): void => writeFileSync(new URL(name, import.meta.url), text);
write("field.geojson", texts.field);
write("line.geojson", texts.line);
write("drive.nmea", sentences.join(""));
write("taps.json", `${JSON.stringify(taps, null, 2)}\n`);
console.log(
  `${driven.time.toFixed(0)} s of way, ${(way.points.length * STEP).toFixed(0)} m, ${sentences.length} fixes`,
);

/** Time, s since the start, at which the machine is nearest to a point of the way; both go forward only. */
function passingTimes(): (point: number) => number {
  const times = new Float64Array(way.points.length);
  let row = 0;
  way.points.forEach(([x, y], i) => {
    const far = (k: number): number => Math.hypot(drive.x[k]! - x, drive.y[k]! - y);
    while (row + 1 < drive.time.length && (far(row + 1) < far(row) || drive.speed[row + 1] === 0)) row++;
    times[i] = drive.time[row]!;
  });
  return (point) => (point === 0 ? 0 : times[point]!);
}
