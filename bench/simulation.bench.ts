// A day in closed loop: 24 h at 20 fixes a second, 48 sections; against a loop of constant work in the same run.
import type { Polygon } from "../src/geometry/index.js";
import { guidancePattern, straightLine } from "../src/guidance/index.js";
import { evenSections } from "../src/sections/index.js";
import { accuracyReport, drivesOfPasses, type Scenario, simulate, Simulation } from "../src/simulation/index.js";
import { constantWork } from "./constant-work.js";

const RATE = 20;
const WIDTH = 24;
const LENGTH = 1000;
const PASSES = 330;
const pattern = guidancePattern(straightLine([0, 0], [0, LENGTH]), { swathWidth: WIDTH });
const field: Polygon = {
  exterior: [
    [-WIDTH / 2, 0],
    [(PASSES - 0.5) * WIDTH, 0],
    [(PASSES - 0.5) * WIDTH, LENGTH],
    [-WIDTH / 2, LENGTH],
  ],
  holes: [],
};

function scenario(passes: number): Scenario {
  const numbers = Array.from({ length: passes }, (_, i) => i);
  return {
    drives: drivesOfPasses(pattern, numbers, { radius: 12, curvatureRate: 0.03, within: [field] }),
    speed: 4,
    turnSpeed: 3,
    vehicle: { model: "bicycle", wheelbase: 2.8, maximumAngle: 40, maximumRate: 25, delay: 0.1 },
    gnss: { noise: 0.008, drift: 0.01, speedNoise: 0.02, rate: RATE },
    job: {
      origin: { latitude: 52.1, longitude: 5.3, altitude: 20 },
      machine: { antenna: { x: 1.2, y: 0, z: -3 } },
      boom: { sections: evenSections(WIDTH, 48), x: -3, turnOnTime: 0.4, turnOffTime: 0.25 },
      field: [field],
      pattern,
      sections: { overlapTolerance: 0.5 },
    },
  };
}

/** Seconds of processor time that a run takes. */
function seconds(run: () => void): number {
  const start = process.cpuUsage();
  run();
  const { user, system } = process.cpuUsage(start);
  return (user + system) / 1e6;
}

let sink = 0;
const base = (): number =>
  seconds(() => {
    for (let i = 0; i < 100_000; i++) sink += constantWork();
  }) / 100_000;

sink += simulate(scenario(4), { recordEvery: 0 }).time;
const before = base();
const day = new Simulation(scenario(PASSES));
let fixes = 0;
let heapHigh = 0;
const taken = seconds(() => {
  while (day.state.time < 86_400 && day.step()) {
    fixes++;
    if (fixes % 100_000 === 0) heapHigh = Math.max(heapHigh, process.memoryUsage().heapUsed);
  }
});
const work = (before + base()) / 2;
const hours = day.state.time / 3600;
console.log(`\na day in closed loop: ${hours.toFixed(1)} h at ${RATE} Hz, 48 sections (${day.state.status})`);
console.log(
  `  ${taken.toFixed(1)} s of processor time, ${((taken / fixes) * 1e6).toFixed(2)} µs a fix, ${(taken / fixes / work).toFixed(2)} of the constant work (${(work * 1e6).toFixed(2)} µs)`,
);
console.log(
  `  heap at most ${(heapHigh / 1e6).toFixed(0)} MB, record ${(day.job.coverage.byteLength / 1e6).toFixed(1)} MB, ${(day.job.state.totals.workedArea / 1e4).toFixed(0)} ha worked`,
);

const hour = scenario(14);
let drive = simulate(hour).drive;
const kept = seconds(() => {
  drive = simulate(hour).drive;
});
const lines = hour.drives.filter(({ kind }) => kind === "swath").map(({ line }) => line);
const judged = seconds(() => {
  sink += accuracyReport(drive, lines, { compare: "neighbours" }).points;
});
const text = seconds(() => {
  sink += simulate(hour, { nmea: ["GGA", "VTG"] }).nmea.length;
});
console.log(
  `  an hour kept as columns ${((kept / drive.length) * 1e6).toFixed(2)} µs a fix, with its NMEA text ${((text / drive.length) * 1e6).toFixed(2)}; its accuracy report ${((judged / drive.length) * 1e6).toFixed(2)}`,
);
if (!Number.isFinite(sink)) console.log(sink);
