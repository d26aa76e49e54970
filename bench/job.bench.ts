// The whole way of a fix: bytes, fix, pose, guidance, 48 sections, coverage; against a loop of constant work in the same run.
import { localFrame } from "../src/frames/index.js";
import { guidancePattern, straightLine } from "../src/guidance/index.js";
import { FieldJob } from "../src/job/index.js";
import { NmeaReader } from "../src/receiver/index.js";
import { evenSections } from "../src/sections/index.js";
import { constantWork } from "./constant-work.js";
import { median } from "./harness.js";

const RATE = 20;
const SPEED = 4;
const origin = { latitude: 52.1, longitude: 5.3, altitude: 20 };
const frame = localFrame(origin);

/** One hour of serpentine passes of 400 m by 24 m, as NMEA 0183 bytes, tick by tick; the hour decides where on the ground. */
function* hourOfTicks(hour: number): Generator<Uint8Array> {
  const encoder = new TextEncoder();
  for (let i = 0; i < 3600 * RATE; i++) {
    const way = (i / RATE) * SPEED;
    const row = Math.floor(way / 430);
    const along = Math.min(400, way - row * 430);
    const north = row % 2 === 0 ? along : 400 - along;
    const east = hour * 900 + row * 24 + Math.max(0, way - row * 430 - 400) * 0.8;
    const { latitude, longitude } = frame.toGeodetic([east, north]);
    const time = hour * 3600 + i / RATE;
    const stamp = `${two(Math.floor(time / 3600))}${two(Math.floor(time / 60) % 60)}${(time % 60).toFixed(2).padStart(5, "0")}`;
    const course = row % 2 === 0 ? 0 : 180;
    const gga = `GPGGA,${stamp},${minutes(latitude, 2)},N,${minutes(longitude, 3)},E,4,14,0.7,20.0,M,0.0,M,1.0,`;
    const vtg = `GPVTG,${course.toFixed(1)},T,,M,${(SPEED / 0.514444).toFixed(3)},N,,K,R`;
    yield encoder.encode(`$${gga}*${sum(gga)}\r\n$${vtg}*${sum(vtg)}\r\n`);
  }
}

function two(n: number): string {
  return String(n).padStart(2, "0");
}
function minutes(value: number, digits: number): string {
  const whole = Math.floor(value);
  return `${String(whole).padStart(digits, "0")}${((value - whole) * 60).toFixed(8).padStart(11, "0")}`;
}
function sum(body: string): string {
  let x = 0;
  for (let i = 0; i < body.length; i++) x ^= body.charCodeAt(i);
  return x.toString(16).toUpperCase().padStart(2, "0");
}

const job = new FieldJob({
  origin,
  machine: { antenna: { x: 1.2, y: 0, z: -3 } },
  boom: { sections: evenSections(24, 48), x: -3, turnOnTime: 0.4, turnOffTime: 0.25 },
  pattern: guidancePattern(straightLine([0, 0], [0, 400]), { swathWidth: 24 }),
  field: [
    {
      exterior: [
        [-20, 0],
        [9500, 0],
        [9500, 400],
        [-20, 400],
      ],
      holes: [],
    },
  ],
  sections: { overlapTolerance: 0.5 },
});
const reader = new NmeaReader();
let sink = 0;
const hours: number[] = [];
const ratios: number[] = [];
let garbage = 0;
console.log("\na whole tick: 2 sentences, fix, pose, guidance, 48 sections, coverage");
for (let hour = 0; hour < 10; hour++) {
  const ticks = [...hourOfTicks(hour)];
  const chunk: number[] = [];
  const base: number[] = [];
  (globalThis as { gc?: () => void }).gc?.();
  const heap = process.memoryUsage().heapUsed;
  const buffers = process.memoryUsage().arrayBuffers;
  for (let i = 0; i < ticks.length; i += 500) {
    const start = process.hrtime.bigint();
    for (let k = i; k < Math.min(i + 500, ticks.length); k++) {
      reader.pushEach(ticks[k]!, (fix) => {
        sink += job.update(fix).guidance.crossTrackError;
      });
    }
    const middle = process.hrtime.bigint();
    for (let k = 0; k < 500; k++) sink += constantWork();
    const end = process.hrtime.bigint();
    chunk.push(Number(middle - start) / 500);
    base.push(Number(end - middle) / 500);
  }
  if (hour === 9)
    garbage = (process.memoryUsage().heapUsed - heap + process.memoryUsage().arrayBuffers - buffers) / ticks.length;
  hours.push(median(chunk));
  ratios.push(median(chunk) / median(base));
  if (hour % 3 === 0)
    console.log(
      `  hour ${hour + 1}: ${(hours[hour]! / 1000).toFixed(2)} µs a tick, ${ratios[hour]!.toFixed(2)} of the constant work`,
    );
}
console.log(
  `  hour 10 to hour 2: ${(ratios[9]! / ratios[1]!).toFixed(3)} by ratio, ${(hours[9]! / hours[1]!).toFixed(3)} by time`,
);
console.log(
  `  record ${(job.coverage.byteLength / 1e6).toFixed(2)} MB, memory a tick in hour 10 ${garbage.toFixed(0)} bytes (uncollected)`,
);
if (!Number.isFinite(sink)) console.log(sink);
