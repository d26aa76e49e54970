import { LineIndex } from "../src/geometry/index.js";
import {
  circleLine,
  closedLine,
  curvedLine,
  guidancePattern,
  LineMarker,
  PassFollower,
  passLine,
  straightLine,
} from "../src/guidance/index.js";
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

// curves: the same shape with 1e3, 1e4 and 1e5 points, driven along on pass 3 with noise
const curveOf = (points: number, spacing: number): Point[] =>
  Array.from({ length: points }, (_, i): Point => {
    const s = i * spacing;
    return [60 * Math.sin(s / 150) + 15 * Math.sin(s / 47), s];
  });
const CURVE_STEPS = 20_000;
const besides = [1e3, 1e4, 1e5].map((points) => {
  const curve = curveOf(points, 0.5);
  const line = curvedLine(curve);
  const follow = guidancePattern(line, { swathWidth: 12 });
  const px = new Float64Array(CURVE_STEPS);
  const py = new Float64Array(CURVE_STEPS);
  const ph = new Float64Array(CURVE_STEPS);
  const pass = passLine(follow, 3)[0]!;
  let at = 0;
  let along = 0;
  for (let i = 0; i < CURVE_STEPS; i++) {
    // 0.2 m a fix, from the start again at the end
    along += 0.2;
    let size = 0;
    for (;;) {
      const a = pass[at]!;
      const b = pass[at + 1]!;
      size = Math.hypot(b[0] - a[0], b[1] - a[1]);
      if (along <= size) break;
      along -= size;
      at = at + 2 < pass.length ? at + 1 : 0;
    }
    const a = pass[at]!;
    const b = pass[at + 1]!;
    px[i] = a[0] + ((b[0] - a[0]) * along) / size + (draw() - 0.5) * 0.1;
    py[i] = a[1] + ((b[1] - a[1]) * along) / size + (draw() - 0.5) * 0.1;
    ph[i] = (draw() - 0.5) * 20 + 360;
  }
  return { points, curve, follow, px, py, ph };
});
const run = (
  follower: PassFollower,
  at: { px: Float64Array; py: Float64Array; ph: Float64Array },
  steps: number,
): number => {
  let sum = 0;
  for (let i = 0; i < steps; i++) sum += follower.update(at.px[i]!, at.py[i]!, at.ph[i]!, false).crossTrackError;
  return sum;
};
const longest = besides[2]!;
const jumps = { px: new Float64Array(CURVE_STEPS), py: new Float64Array(CURVE_STEPS), ph: longest.ph };
for (let i = 0; i < CURVE_STEPS; i++) {
  const [x, y] = longest.curve[Math.floor(draw() * longest.points)]!;
  jumps.px[i] = x + 36 + (draw() - 0.5) * 10;
  jumps.py[i] = y;
}
const itself = { px: new Float64Array(CURVE_STEPS), py: new Float64Array(CURVE_STEPS), ph: longest.ph };
for (let i = 0; i < CURVE_STEPS; i++) {
  // 0.2 m a fix
  const s = i * 0.2;
  itself.px[i] = 60 * Math.sin(s / 150) + 15 * Math.sin(s / 47) + (draw() - 0.5) * 0.1;
  itself.py[i] = s;
}
const held = (follow: (typeof longest)["follow"], pass: number): PassFollower => {
  const follower = new PassFollower(follow);
  follower.hold(pass);
  return follower;
};
const [thousand, tenThousand, hundredThousand] = besides.map(({ follow }) => held(follow, 3));
const onLine = held(longest.follow, 0);
const jumping = held(longest.follow, 3);
const circle = new PassFollower(guidancePattern(circleLine([0, 25_000], 30_000), { swathWidth: 12 }));
const loop = new PassFollower(guidancePattern(closedLine(ring(400, 1000)), { swathWidth: 12 }));
const index = new LineIndex(longest.curve);

compare("guidance on curves, 20 000 fixes of a drive along pass 3", [
  {
    name: "PassFollower.update, 1e5 points",
    calls: CURVE_STEPS,
    run: () => run(hundredThousand!, longest, CURVE_STEPS),
  },
  {
    name: "PassFollower.update, 1e4 points",
    calls: CURVE_STEPS,
    run: () => run(tenThousand!, besides[1]!, CURVE_STEPS),
  },
  { name: "PassFollower.update, 1e3 points", calls: CURVE_STEPS, run: () => run(thousand!, besides[0]!, CURVE_STEPS) },
  { name: "1e5 points, driven on the line itself", calls: CURVE_STEPS, run: () => run(onLine, itself, CURVE_STEPS) },
  {
    name: "1e5 points, pass 3, look-ahead point read",
    calls: CURVE_STEPS,
    run: () => {
      let sum = 0;
      for (let i = 0; i < CURVE_STEPS; i++)
        sum += hundredThousand!.update(longest.px[i]!, longest.py[i]!, longest.ph[i]!, false).aheadX;
      return sum;
    },
  },
  { name: "the same at places anywhere along it", calls: CURVE_STEPS, run: () => run(jumping, jumps, CURVE_STEPS) },
  { name: "on a circle", calls: CURVE_STEPS, run: () => run(circle, longest, CURVE_STEPS) },
  { name: "on a closed line of 1000 points", calls: CURVE_STEPS, run: () => run(loop, longest, CURVE_STEPS) },
  {
    name: "LineIndex.nearest alone, 1e5 points",
    calls: CURVE_STEPS,
    run: () => {
      let sum = 0;
      for (let i = 0; i < CURVE_STEPS; i++) sum += index.nearest(longest.px[i]!, longest.py[i]!).signedDistance;
      return sum;
    },
  },
  {
    name: "every segment looked at, 1e5 points",
    calls: 3,
    run: () => {
      let sum = 0;
      for (let i = 0; i < 3; i++) sum += everySegment(longest.curve, longest.px[i]!, longest.py[i]!);
      return sum;
    },
  },
]);

// the unsigned distance by looking at every segment
function everySegment(line: readonly Point[], x: number, y: number): number {
  let least = Number.POSITIVE_INFINITY;
  for (let i = 1; i < line.length; i++) {
    const [ax, ay] = line[i - 1]!;
    const ex = line[i]![0] - ax;
    const ey = line[i]![1] - ay;
    const t = Math.max(0, Math.min(1, ((x - ax) * ex + (y - ay) * ey) / (ex * ex + ey * ey)));
    const dx = x - ax - t * ex;
    const dy = y - ay - t * ey;
    const gap = dx * dx + dy * dy;
    if (gap < least) least = gap;
  }
  return Math.sqrt(least);
}

// the error on a curve against every segment of it: a drive with noise and a jump now and then, along a curve that winds,
// comes back beside itself and crosses itself
{
  const CHECKS = 1_000_000;
  const tangled: Point[] = Array.from({ length: 1500 }, (_, i): Point => {
    const t = i / 1499;
    const a = 14 * Math.PI * t;
    const r = 200 * (1 - 0.8 * t) + 12 * Math.sin(9 * a);
    return [r * Math.sin(a) + 60 * t, r * Math.cos(a)];
  });
  const follower = new PassFollower(guidancePattern(curvedLine(tangled), { swathWidth: 6, extension: "none" }));
  follower.hold(0);
  let wrong = 0;
  let beyond = 0;
  let x = 0;
  let y = 200;
  for (let i = 0; i < CHECKS; i++) {
    if (draw() < 1e-3) {
      const size = 10 ** (4 * draw());
      x = (draw() - 0.5) * size;
      y = (draw() - 0.5) * size;
    } else {
      x += (draw() - 0.5) * 1.5;
      y += (draw() - 0.5) * 1.5;
    }
    const state = follower.update(x, y, 0);
    // past an end the distance is that from its direction
    if (state.lineStation < 0 || !state.onPass) beyond++;
    else if (Math.abs(Math.abs(state.crossTrackError) - everySegment(tangled, x, y)) > 1e-9) wrong++;
  }
  console.log(
    `\n  against every segment: ${wrong} of ${CHECKS} distances wrong by more than 1e-9 m (${beyond} past an end, left out)`,
  );
}

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
  measure("PassFollower.update on 1e5 points", () => run(hundredThousand!, longest, SHORT));
  measure("PassFollower.update on a circle", () => run(circle, longest, SHORT));
  measure("LineMarker.update", () => preview(SHORT));
  // what the measurement shows when there is garbage
  const kept: { x: number }[] = [{ x: 0 }];
  measure("for comparison, an object with a number a call", () => {
    for (let i = 0; i < SHORT; i++) kept[i & 7] = { x: xs[i]! };
    return kept[0]!.x;
  });
}
