// a full tick of 48 sections (mark, decide) against a loop of constant work, and the tenth hour against the first
import { CoverageRecord } from "../src/coverage/index.js";
import type { Polygon } from "../src/geometry/index.js";
import { HeadingEstimator } from "../src/machine/index.js";
import { boom, evenSections, SectionControl } from "../src/sections/index.js";
import { type Candidate, compare, median } from "./harness.js";
import { random } from "../tests/helpers/random.js";

const RATE = 20;
const SPEED = 3;
const WIDTH = 24;
const LENGTH = 500;
const RADIUS = WIDTH / 2;

/** A field of about 50 ha with a wavy boundary of 400 points. */
function wavyField(): Polygon {
  const exterior: [number, number][] = [];
  const next = random(5);
  const sides: [number, number, number, number][] = [
    [0, 0, 1000, 0],
    [1000, 0, 1000, LENGTH],
    [1000, LENGTH, 0, LENGTH],
    [0, LENGTH, 0, 0],
  ];
  for (const [x0, y0, x1, y1] of sides) {
    for (let k = 0; k < 100; k++) {
      exterior.push([x0 + ((x1 - x0) * k) / 100 + next(), y0 + ((y1 - y0) * k) / 100 + next()]);
    }
  }
  return { exterior, holes: [] };
}

/** An endless drive in passes up and down with half-circle turns, at 20 Hz, with a little noise. */
class Drive {
  readonly input = { time: 0, x: 0, y: 0, heading: 0, speed: SPEED, yawRate: 0, usable: true, connected: true };
  private readonly noise = random(9);
  private pass = 0;
  private along = 0;

  step(): void {
    const round = LENGTH + Math.PI * RADIUS;
    this.along += SPEED / RATE;
    if (this.along >= round) {
      this.along -= round;
      this.pass = (this.pass + 1) % 40;
    }
    const up = this.pass % 2 === 0;
    const x = WIDTH * (this.pass + 0.5);
    const input = this.input;
    input.time += 1 / RATE;
    if (this.along < LENGTH) {
      input.x = x;
      input.y = up ? this.along : LENGTH - this.along;
      input.heading = up ? 0 : 180;
      input.yawRate = 0;
    } else {
      const angle = (this.along - LENGTH) / RADIUS;
      input.x = x + RADIUS - RADIUS * Math.cos(angle);
      input.y = up ? LENGTH + RADIUS * Math.sin(angle) : -RADIUS * Math.sin(angle);
      input.heading = up ? (angle * 180) / Math.PI : 180 - (angle * 180) / Math.PI;
      input.yawRate = ((up ? 1 : -1) * SPEED * 180) / Math.PI / RADIUS;
    }
    input.x += 0.01 * this.noise();
    input.y += 0.01 * this.noise();
  }
}

function sections(count: number): { control: SectionControl; drive: Drive; tick: () => number } {
  const control = new SectionControl({
    boom: boom({ sections: evenSections(WIDTH, count), x: -3, turnOnTime: 0.6, turnOffTime: 0.3 }),
    field: [wavyField()],
    coverage: new CoverageRecord(),
    settings: { overlapTolerance: 0.5 },
  });
  const drive = new Drive();
  const tick = () => {
    drive.step();
    const states = control.update(drive.input);
    return states.workedArea + (states.ordered[count - 1] ? 1 : 0);
  };
  return { control, drive, tick };
}

const TICKS = 4000;

function ticking(name: string, count: number): Candidate {
  const { tick } = sections(count);
  return {
    name,
    calls: TICKS,
    run: () => {
      let sum = 0;
      for (let k = 0; k < TICKS; k++) sum += tick();
      return sum;
    },
  };
}

/** Work that never changes: 2000 multiplications and additions. */
const constant: Candidate = {
  name: "constant work, 2000 multiply-adds",
  calls: TICKS,
  run: () => {
    let a = 1.000001;
    for (let k = 0; k < TICKS; k++) for (let j = 0; j < 2000; j++) a = a * 0.9999999 + 1e-7;
    return a;
  },
};

compare("Section control, one tick: mark and decide (passes and turns, 20 Hz, 0.1 m cells)", [
  ticking("48 sections", 48),
  ticking("8 sections", 8),
  ticking("1 section", 1),
  constant,
]);

const estimator = new HeadingEstimator();
const drive = new Drive();
compare("Heading estimator, one fix", [
  {
    name: "from positions alone",
    calls: TICKS,
    run: () => {
      let sum = 0;
      for (let k = 0; k < TICKS; k++) {
        drive.step();
        const { time, x, y } = drive.input;
        sum += estimator.update({ time, x, y }).heading;
      }
      return sum;
    },
  },
]);

// ten hours at 20 Hz; each minute timed, medians of an hour compared
const { tick } = sections(48);
const hours: number[] = [];
let kept = 0;
(globalThis as { gc?: () => void }).gc?.();
const heap = process.memoryUsage().heapUsed;
for (let hour = 0; hour < 10; hour++) {
  const minutes: number[] = [];
  for (let minute = 0; minute < 60; minute++) {
    const start = process.hrtime.bigint();
    for (let k = 0; k < 60 * RATE; k++) kept += tick();
    minutes.push(Number(process.hrtime.bigint() - start) / (60 * RATE));
  }
  hours.push(median(minutes));
}
(globalThis as { gc?: () => void }).gc?.();
const grown = process.memoryUsage().heapUsed - heap;
console.log("\n48 sections, ten hours at 20 Hz, median of a minute");
console.log(`  hour 1 ${(hours[0]! / 1e3).toFixed(2)} µs a tick, hour 10 ${(hours[9]! / 1e3).toFixed(2)} µs`);
console.log(
  `  hour 10 / hour 1 ${(hours[9]! / hours[0]!).toFixed(3)}, hour 10 / hour 2 ${(hours[9]! / hours[1]!).toFixed(3)}`,
);
console.log(`  heap grown by ${(grown / 1024).toFixed(0)} kB (sum ${kept.toFixed(0)})`);
