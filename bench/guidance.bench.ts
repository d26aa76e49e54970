import { guidancePattern, LineMarker, PassFollower, passLine, straightLine } from "../src/guidance/index.js";
import type { Point, Polygon } from "../src/geometry/index.js";
import { compare, median } from "./harness.js";
import { random } from "../tests/helpers/random.js";

const STEPS = 200_000;
const SHORT = 10_000;
const draw = random(7);
const xs = new Float64Array(STEPS);
const ys = new Float64Array(STEPS);
const headings = new Float64Array(STEPS);
// up and down a field of 600 x 600 m at 24 m, with noise, a step of 0.2 m a fix
for (let i = 0; i < STEPS; i++) {
  const along = (i * 0.2) % 1200;
  const pass = Math.floor((i * 0.2) / 600) % 25;
  xs[i] = pass * 24 + (draw() - 0.5) * 0.1;
  ys[i] = along < 600 ? along : 1200 - along;
  headings[i] = (along < 600 ? 0 : 180) + (draw() - 0.5) * 4 + 360;
}
headings.forEach((h, i) => (headings[i] = h % 360));

// a round field of 1000 corners with an obstacle
const ring = (radius: number, corners: number): Point[] =>
  Array.from({ length: corners }, (_, i): Point => {
    const t = (2 * Math.PI * i) / corners;
    return [300 + radius * Math.cos(t), 300 + radius * Math.sin(t)];
  });
const field: Polygon[] = [{ exterior: ring(400, 1000), holes: [ring(30, 40)] }];

const pattern = guidancePattern(straightLine([0, 0], [3, 600]), { swathWidth: 24 });
const plain = new PassFollower(pattern);
const inField = new PassFollower(pattern, { field });

function drive(follower: PassFollower, steps: number): number {
  let sum = 0;
  for (let i = 0; i < steps; i++) sum += follower.update(xs[i]!, ys[i]!, headings[i]!, false).crossTrackError;
  return sum;
}

// the least that could be done: the unsigned distance to the nearest of the parallel lines, no hysteresis, no state
function distances(): number {
  const length = Math.hypot(3, 600);
  const ux = 3 / length;
  const uy = 600 / length;
  let sum = 0;
  for (let i = 0; i < STEPS; i++) {
    const d = xs[i]! * uy - ys[i]! * ux;
    sum += Math.abs(d - 24 * Math.round(d / 24));
  }
  return sum;
}

compare("guidance on straight passes, 200 000 fixes of a drive", [
  { name: "PassFollower.update", calls: STEPS, run: () => drive(plain, STEPS) },
  { name: "PassFollower.update in a field of 1040 corners", calls: STEPS, run: () => drive(inField, STEPS) },
  { name: "unsigned distance alone", calls: STEPS, run: distances },
]);

compare("a pass clipped to a field of 1040 corners", [
  {
    name: "passLine",
    calls: 25,
    run: () => {
      let n = 0;
      for (let pass = 0; pass < 25; pass++) n += passLine(pattern, pass, { within: field }).length;
      return n;
    },
  },
]);

const marker = new LineMarker();
marker.markA([0, 0]);
function preview(steps: number): number {
  let sum = 0;
  for (let i = 0; i < steps; i++) sum += marker.update(xs[i]!, ys[i]!).heading;
  return sum;
}

// garbage: bytes of heap taken by 10 000 calls, so few that no collection comes in between
const gc = (globalThis as { gc?: () => void }).gc;
if (gc === undefined) console.log("\n  garbage: start with --expose-gc to measure it");
else {
  console.log("\n  garbage, bytes a call (median of 9 times 10 000 calls)");
  const measure = (name: string, run: () => number): void => {
    for (let i = 0; i < 1000; i++) run();
    const bytes: number[] = [];
    // the first rounds still see the measuring itself settle
    for (let i = 0; i < 20; i++) {
      gc();
      const before = process.memoryUsage().heapUsed;
      run();
      bytes.push((process.memoryUsage().heapUsed - before) / SHORT);
    }
    console.log(`  ${name.padEnd(44)} ${median(bytes.slice(-9)).toFixed(3).padStart(12)}`);
  };
  measure("PassFollower.update", () => drive(plain, SHORT));
  measure("PassFollower.update in a field", () => drive(inField, SHORT));
  measure("LineMarker.update", () => preview(SHORT));
  // what the measurement shows when there is garbage
  const kept: { x: number }[] = [{ x: 0 }];
  measure("for comparison, an object with a number a call", () => {
    for (let i = 0; i < SHORT; i++) kept[i & 7] = { x: xs[i]! };
    return kept[0]!.x;
  });
}
