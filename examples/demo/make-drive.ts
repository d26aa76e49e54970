/**
 * Makes the demo's invented field and drive: `npx tsx examples/demo/make-drive.ts` writes field.geojson, line.geojson,
 * drive.nmea and taps.json beside this file, byte for byte the same on every run. README.md tells what is in them.
 *
 * The drive is first a way on the ground (making/way.ts: rounds and passes by the plan, turns between them), then a speed
 * along it, then a fix every tenth of a second, and last what a receiver would have said of each.
 */
import { writeFileSync } from "node:fs";
import type { Point } from "../../src/geometry/index.js";
import { fieldText, lineText } from "./making/ground.js";
import { direction, speeds, steered, timetable } from "./making/motion.js";
import { sentences } from "./making/receiver.js";
import { layWay, STEP } from "./making/way.js";
import { readField } from "./field-file.js";
import { layOut } from "./plan.js";

const START = Date.UTC(2025, 3, 16, 8, 15, 0); // ms
const RATE = 10; // fixes a second
const EPOCHS = 27 * 60 * RATE;
const ANTENNA_AHEAD = 1.2; // m ahead of the reference point (middle of the rear axle)

// metres from where the turn on to a pass begins
const STANDSTILL = { pass: 1, along: 150, seconds: 60 };
const DROPOUT = { pass: 3, along: 90, seconds: 4 };
const WORSE = { pass: 7, along: 130, seconds: 20 };

const texts = { field: fieldText(), line: lineText() };
const plan = layOut(readField("field.geojson", Buffer.from(texts.field)), texts.line);
const way = layWay(plan);
const points = steered(way.points);
const place = ({ pass, along }: { readonly pass: number; readonly along: number }): number =>
  way.passes.get(pass)! + Math.round(along / STEP);
const stop = place(STANDSTILL);
const end = points.length - 1;
const waits = new Map([
  [0, 6],
  [stop, STANDSTILL.seconds],
]);
const places = timetable(speeds(points, [0, stop, end]), waits, EPOCHS, RATE);

const antenna = Array.from(places, (at): Point => {
  const i = Math.min(end - 1, Math.floor(at));
  const t = at - i;
  const [ax, ay] = points[i]!;
  const [bx, by] = points[i + 1]!;
  const [cx, cy] = direction(points, i);
  const [dx, dy] = direction(points, i + 1);
  return [
    ax + t * (bx - ax) + ANTENNA_AHEAD * (cx + t * (dx - cx)),
    ay + t * (by - ay) + ANTENNA_AHEAD * (cy + t * (dy - cy)),
  ];
});

const epochAt = (point: number): number => places.findIndex((at) => at >= point);
const nmea = sentences(antenna, plan.frame, {
  rate: RATE,
  start: START,
  silence: { from: epochAt(place(DROPOUT)), epochs: DROPOUT.seconds * RATE },
  worse: { from: epochAt(place(WORSE)), epochs: WORSE.seconds * RATE },
});
const taps = way.taps.map(({ at, ...tap }) => ({
  time: new Date(START + (epochAt(at) * 1000) / RATE).toISOString(),
  ...tap,
}));

const write = (name: string, text: string): void => writeFileSync(new URL(name, import.meta.url), text);
write("field.geojson", texts.field);
write("line.geojson", texts.line);
write("drive.nmea", nmea);
write("taps.json", `${JSON.stringify(taps, null, 2)}\n`);
console.log(`${(places.findIndex((at) => at >= end - 1) / RATE).toFixed(0)} s of way, ${points.length / 10} m`);
