import { HeadingEstimator, TowedImplement } from "../src/machine/index.js";
import { compare, consume } from "./harness.js";

// half an hour of a field at 20 Hz: straight, turn, straight back
const calls = 36_000;
const poses = new Float64Array(5 * calls);
{
  let x = 0;
  let y = 0;
  let heading = 0;
  for (let i = 0; i < calls; i++) {
    const rate = i % 2000 > 1600 ? 9 : 0;
    heading = (heading + rate / 20) % 360;
    x += 0.125 * Math.sin((heading * Math.PI) / 180);
    y += 0.125 * Math.cos((heading * Math.PI) / 180);
    poses.set([x, y, heading, 2.5, rate], 5 * i);
  }
}

let clock = 0;
const implement = new TowedImplement({ hitch: -1, drawbar: 6 });
const ahead = new Float64Array(3);
const start = { theta: 0 };

/** Runge and Kutta's fourth order in four steps a fix: the plain way, held as tightly. */
function stepped(i: number, parts: number): number {
  const L = 6;
  const c = 1;
  const R = Math.PI / 180;
  const v = poses[5 * i + 3]!;
  const omega = poses[5 * i + 4]! * R;
  const h = 1 / 20 / parts;
  let psi = poses[5 * i + 2]! * R - omega / 20;
  let theta = start.theta;
  for (let k = 0; k < parts; k++) {
    const f = (p: number, t: number) => (v * Math.sin(p - t) - c * omega * Math.cos(p - t)) / L;
    const a = f(psi, theta);
    const b = f(psi + (omega * h) / 2, theta + (a * h) / 2);
    const d = f(psi + (omega * h) / 2, theta + (b * h) / 2);
    const e = f(psi + omega * h, theta + d * h);
    theta += (h / 6) * (a + 2 * b + 2 * d + e);
    psi += omega * h;
  }
  start.theta = theta;
  return theta;
}

function drive(): number {
  let sum = 0;
  const shift = clock;
  clock += 1e4;
  for (let i = 0; i < calls; i++) {
    const k = 5 * i;
    const state = implement.update(
      shift + i / 20,
      poses[k]!,
      poses[k + 1]!,
      poses[k + 2]!,
      poses[k + 3]!,
      poses[k + 4]!,
      true,
    );
    sum += state.x;
  }
  return sum;
}

function foretell(): number {
  let sum = 0;
  for (let i = 0; i < calls; i++) {
    implement.poseAhead(0.6 + i * 1e-6, ahead);
    sum += ahead[0]!;
  }
  return sum;
}

const input = { time: 0, x: 0, y: 0, speed: 2.5, course: 0 };
compare("a towed implement, one fix", [
  { name: "TowedImplement.update", calls, run: drive },
  { name: "TowedImplement.poseAhead", calls, run: foretell },
  {
    name: "Runge and Kutta, 4 steps, heading alone",
    calls,
    run() {
      let sum = 0;
      for (let i = 0; i < calls; i++) sum += stepped(i, 4);
      return sum;
    },
  },
  {
    name: "HeadingEstimator.update",
    calls,
    run() {
      const estimator = new HeadingEstimator();
      let sum = 0;
      for (let i = 0; i < calls; i++) {
        input.time = i / 20;
        input.x = poses[5 * i]!;
        input.y = poses[5 * i + 1]!;
        input.course = poses[5 * i + 2]!;
        sum += estimator.update(input).speed;
      }
      return sum;
    },
  },
]);

// garbage: what the heap grows by between collections
const collect = (globalThis as { gc?: () => void }).gc;
if (collect !== undefined) {
  for (let n = 0; n < 10; n++) drive();
  const rounds = 20;
  collect();
  const before = process.memoryUsage().heapUsed;
  for (let n = 0; n < rounds; n++) {
    drive();
    foretell();
  }
  const grown = process.memoryUsage().heapUsed - before;
  console.log(`\ngarbage of TowedImplement.update and poseAhead together`);
  console.log(`  ${(grown / (rounds * calls)).toFixed(2)} bytes a fix`);
}
if (consume() === 0.5) console.log(clock);
