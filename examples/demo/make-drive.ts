/**
 * Makes the demo's invented field and drive: `npx tsx examples/demo/make-drive.ts` writes field.geojson and drive.nmea
 * beside this file, byte for byte the same on every run. README.md tells what is in them.
 *
 * The drive is first a path in the field's own axes (u along the passes, v across them to the right), then a speed
 * along it, then a fix every tenth of a second, and last what a receiver would have said of each.
 */
import { writeFileSync } from "node:fs";
import { localFrame } from "../../src/frames/index.js";
import { RADIANS, wrapHeading } from "../../src/geometry/index.js";

// ---- the field, machine and day: all invented ----------------------------------------------------------------------

const ORIGIN = { latitude: 47.25, longitude: 20.75, altitude: 128.9 }; // a plain; chosen for its round numbers
const FRAME = localFrame(ORIGIN);
const ROW_HEADING = 11; // degrees, direction of u
const FIELD_WIDTH = 304; // m across the passes: twelve passes of 24 m and a narrow one
const LENGTH_LEFT = 358; // m along the left side; the far end slants from here ...
const LENGTH_RIGHT = 442; // ... to here
const POND = { u: 192, v: 144, alongRows: 17, acrossRows: 13.5 };
const SWATH = 24; // m
const PASSES = 13;
const ANTENNA_AHEAD = 1.2; // m ahead of the reference point (middle of the rear axle)
const ANTENNA_UP = 3; // m above the ground

const GROUND = 82.6; // m above mean sea level at the origin
const GEOID = 43.3; // m, geoid above the ellipsoid
const START = Date.UTC(2025, 3, 16, 8, 15, 0); // ms
const RATE = 10; // fixes a second
const EPOCHS = 1500 * RATE;

const WORK_SPEED = 4.48; // m/s
const SIDEWAYS = 0.8; // m/s2, the most the driver takes in a turn
const SPEEDING_UP = 0.55; // m/s2
const SLOWING_DOWN = 0.65; // m/s2
const STEP = 0.1; // m between the points of the path

const STANDSTILL = { pass: 3, u: 236, seconds: 60 };
const DROPOUT = { pass: 8, u: 205, seconds: 4 };
const WORSE = { pass: 10, u: 120, seconds: 20 };

type Pair = [number, number];

// ---- chance with a fixed seed --------------------------------------------------------------------------------------

/** Uniform numbers in 0..1 from a 32-bit state: a Weyl sequence with a mixing function over it. */
function uniform(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x9e3779b9) >>> 0;
    let x = state;
    x = Math.imul(x ^ (x >>> 16), 0x85ebca6b);
    x = Math.imul(x ^ (x >>> 13), 0xc2b2ae35);
    return ((x ^ (x >>> 16)) >>> 0) / 4294967296;
  };
}

/** Nearly normal numbers of mean 0 and deviation 1: twelve uniform ones, so no function whose last digit may differ. */
function normal(seed: number): () => number {
  const next = uniform(seed);
  return () => {
    let sum = -6;
    for (let i = 0; i < 12; i++) sum += next();
    return sum;
  };
}

/** A slow drift: first-order Gauss-Markov, one value an epoch. */
function drift(seed: number, deviation: number, seconds: number): () => number {
  const next = normal(seed);
  const keep = 1 - 1 / (seconds * RATE);
  const add = deviation * Math.sqrt(1 - keep * keep);
  let value = deviation * next();
  return () => {
    value = keep * value + add * next();
    return value;
  };
}

/** Smooth wandering along the path: waves of 28 to 170 m, deviation in metres. */
function wander(seed: number, deviation: number): (station: number) => number {
  const next = uniform(seed);
  const waves = Array.from({ length: 9 }, (_, i) => ({
    number: (2 * Math.PI) / (28 * 1.25 ** i * (0.95 + 0.1 * next())),
    phase: 2 * Math.PI * next(),
  }));
  const size = deviation * Math.sqrt(2 / waves.length);
  return (station) => waves.reduce((sum, wave) => sum + size * Math.sin(wave.number * station + wave.phase), 0);
}

// ---- the field -----------------------------------------------------------------------------------------------------

const SIN = Math.sin(ROW_HEADING * RADIANS);
const COS = Math.cos(ROW_HEADING * RADIANS);

/** Field axes to metres east and north of the origin. */
function toLocal(u: number, v: number): Pair {
  return [u * SIN + v * COS, u * COS - v * SIN];
}

/** Length of the field along the rows at a distance from its left side. */
function fieldLength(v: number): number {
  return LENGTH_LEFT + ((LENGTH_RIGHT - LENGTH_LEFT) * v) / FIELD_WIDTH;
}

function pondRing(): Pair[] {
  const next = uniform(11);
  return Array.from({ length: 18 }, (_, i) => {
    const angle = (2 * Math.PI * i) / 18;
    const size = 0.93 + 0.14 * next();
    return [POND.u + POND.alongRows * size * Math.cos(angle), POND.v + POND.acrossRows * size * Math.sin(angle)];
  });
}

const BOUNDARY: Pair[] = [
  [0, 0],
  [0, FIELD_WIDTH],
  [LENGTH_RIGHT, FIELD_WIDTH],
  [LENGTH_LEFT, 0],
];

// ---- the path ------------------------------------------------------------------------------------------------------

/** From 0 to 1 over t = 0..1, with no jump in slope or bend at either end. */
function ramp(t: number): number {
  const x = Math.min(1, Math.max(0, t));
  return x * x * x * (10 - 15 * x + 6 * x * x);
}

/** How far the driver steers off a pass to get round the pond, metres to the right looking along u. */
function detour(pass: number, u: number): number {
  const aside = pass === 5 ? -6.2 : pass === 6 ? 6.2 : 0;
  return aside * ramp((u - (POND.u - 54)) / 40) * ramp((POND.u + 54 - u) / 40);
}

/** A half turn to the next pass, from its start: along, across and heading in radians, bend eased in and out. */
function halfTurn(): { along: number; across: number }[] {
  // bend: rises over a length, stays, falls; in units where the stay is 1, then scaled to land one swath aside
  const easing = 0.75;
  const top = Math.PI / (1 + easing);
  const points: { along: number; across: number }[] = [{ along: 0, across: 0 }];
  const n = 4000;
  const ds = (1 + 2 * easing) / n;
  let along = 0;
  let across = 0;
  let angle = 0;
  for (let i = 0; i < n; i++) {
    const s = (i + 0.5) * ds;
    const bend = top * Math.min(1, s / easing, (1 + 2 * easing - s) / easing);
    const middle = angle + (bend * ds) / 2;
    along += Math.cos(middle) * ds;
    across += Math.sin(middle) * ds;
    angle += bend * ds;
    points.push({ along, across });
  }
  const scale = SWATH / across;
  return points.map((p) => ({ along: p.along * scale, across: p.across * scale }));
}

interface Mark {
  readonly pass: number;
  readonly u: number;
}

/** The whole way of the reference point, and where each mark lies in the list. */
function way(marks: readonly Mark[]): { points: Pair[]; marked: number[] } {
  const next = uniform(21);
  const turn = halfTurn();
  const rough: Pair[] = [];
  const marked = marks.map(() => 0);
  let from = -24;
  for (let pass = 0; pass < PASSES; pass++) {
    const v = SWATH / 2 + SWATH * pass;
    const up = pass % 2 === 0;
    const last = pass === PASSES - 1;
    const far = fieldLength(v + SWATH * 1.5) + 5 + 3 * next();
    const to = last ? fieldLength(v) + 26 : up ? far : -(8 + 3 * next());
    const n = Math.round(Math.abs(to - from) / 0.02);
    for (let i = 0; i < n; i++) {
      const u = from + ((to - from) * i) / n;
      for (let m = 0; m < marks.length; m++) {
        const mark = marks[m]!;
        if (mark.pass === pass && (up ? u <= mark.u : u >= mark.u)) marked[m] = rough.length;
      }
      rough.push([u, v + detour(pass, u)]);
    }
    if (last) rough.push([to, v]);
    else
      for (let i = 0; i + 1 < turn.length; i++) rough.push([to + (up ? 1 : -1) * turn[i]!.along, v + turn[i]!.across]);
    from = to;
  }
  return even(rough, marked);
}

/** The same chain with points STEP apart; indexes into it are carried over. */
function even(rough: readonly Pair[], marked: readonly number[]): { points: Pair[]; marked: number[] } {
  const points: Pair[] = [rough[0]!];
  const carried = marked.map(() => 0);
  let walked = 0;
  for (let i = 1; i < rough.length; i++) {
    const [au, av] = rough[i - 1]!;
    const [bu, bv] = rough[i]!;
    const length = Math.hypot(bu - au, bv - av);
    while (points.length * STEP <= walked + length) {
      const t = (points.length * STEP - walked) / length;
      points.push([au + t * (bu - au), av + t * (bv - av)]);
    }
    walked += length;
    marked.forEach((mark, m) => {
      if (mark === i) carried[m] = points.length - 1;
    });
  }
  return { points, marked: carried };
}

/** Unit vector along the path at an index, over half a metre to both sides. */
function direction(points: readonly Pair[], index: number): Pair {
  const [au, av] = points[Math.max(0, index - 5)]!;
  const [bu, bv] = points[Math.min(points.length - 1, index + 5)]!;
  const length = Math.hypot(bu - au, bv - av);
  return [(bu - au) / length, (bv - av) / length];
}

/** The path as steered: a few centimetres off to the side, wandering. */
function steered(points: readonly Pair[]): Pair[] {
  const aside = wander(31, 0.03);
  return points.map(([u, v], i) => {
    const [du, dv] = direction(points, i);
    const w = aside(i * STEP);
    return [u - w * dv, v + w * du];
  });
}

// ---- the speed -----------------------------------------------------------------------------------------------------

/** Speed at every point of the path, m/s: slower in bends, nothing at a stop. */
function speeds(points: readonly Pair[], stops: readonly number[]): Float64Array {
  const n = points.length;
  const speed = new Float64Array(n);
  const mood = wander(41, 0.05);
  for (let i = 0; i < n; i++) {
    const [au, av] = direction(points, Math.max(0, i - 10));
    const [bu, bv] = direction(points, Math.min(n - 1, i + 10));
    const bend = Math.abs(Math.atan2(au * bv - av * bu, au * bu + av * bv)) / (20 * STEP);
    speed[i] = Math.min(WORK_SPEED + mood(i * STEP), Math.sqrt(SIDEWAYS / Math.max(bend, 1e-6)));
  }
  for (const stop of stops) speed[stop] = 0;
  for (let i = 1; i < n; i++) speed[i] = Math.min(speed[i]!, Math.sqrt(speed[i - 1]! ** 2 + 2 * SPEEDING_UP * STEP));
  for (let i = n - 2; i >= 0; i--) {
    speed[i] = Math.min(speed[i]!, Math.sqrt(speed[i + 1]! ** 2 + 2 * SLOWING_DOWN * STEP));
  }
  return speed;
}

/** Place on the path at every epoch, as a number of steps; waits where the speed is nothing. */
function timetable(speed: Float64Array, waits: ReadonlyMap<number, number>): Float64Array {
  const time = new Float64Array(speed.length * 2); // arrival and departure at each point
  let now = 0;
  for (let i = 0; i < speed.length; i++) {
    if (i > 0) now += (2 * STEP) / (speed[i - 1]! + speed[i]!);
    time[2 * i] = now;
    now += waits.get(i) ?? 0;
    time[2 * i + 1] = now;
  }
  if (now > EPOCHS / RATE) throw new Error(`the drive takes ${now} s, more than ${EPOCHS / RATE} s`);
  const place = new Float64Array(EPOCHS);
  let i = 0;
  for (let k = 0; k < EPOCHS; k++) {
    const t = k / RATE;
    while (i + 1 < speed.length && time[2 * i + 2]! <= t) i++;
    const left = time[2 * i + 1]!;
    place[k] = t <= left || i + 1 === speed.length ? i : i + (t - left) / (time[2 * i + 2]! - left);
  }
  return smooth(place);
}

/** Rounds the corners of a motion: a raised-cosine mean over 1.6 s. Standing still stays exactly still. */
function smooth(place: Float64Array): Float64Array {
  const half = 8;
  const out = new Float64Array(place.length);
  let total = 0;
  const weights = Array.from({ length: 2 * half + 1 }, (_, j) => 1 + Math.cos((Math.PI * (j - half)) / (half + 1)));
  for (const weight of weights) total += weight;
  for (let k = 0; k < place.length; k++) {
    let sum = 0;
    // as differences to the value itself, so that equal values give it back to the last bit
    for (let j = -half; j <= half; j++) {
      sum += weights[j + half]! * (place[Math.min(place.length - 1, Math.max(0, k + j))]! - place[k]!);
    }
    out[k] = place[k]! + sum / total;
  }
  return out;
}

// ---- the receiver --------------------------------------------------------------------------------------------------

function sentence(body: string): string {
  let sum = 0;
  for (let i = 0; i < body.length; i++) sum ^= body.charCodeAt(i);
  const text = `$${body}*${sum.toString(16).toUpperCase().padStart(2, "0")}\r\n`;
  if (text.length > 82) throw new Error(`sentence of ${text.length} characters: ${text}`);
  return text;
}

/** Degrees and minutes as NMEA 0183 writes them, minutes with seven decimals (0.2 mm). */
function degreesMinutes(degrees: number, digits: number): string {
  const units = Math.round(Math.abs(degrees) * 60e7);
  const whole = Math.floor(units / 60e7);
  return String(whole).padStart(digits, "0") + ((units - whole * 60e7) / 1e7).toFixed(7).padStart(10, "0");
}

function main(): void {
  const { points: plain, marked } = way([STANDSTILL, DROPOUT, WORSE]);
  const points = steered(plain);
  const [stop, outAt, worseAt] = marked as [number, number, number];
  const end = points.length - 1;
  const speed = speeds(points, [0, stop, end]);
  const place = timetable(
    speed,
    new Map([
      [0, 6],
      [stop, STANDSTILL.seconds],
    ]),
  );

  const antenna = Array.from(place, (at): Pair => {
    const i = Math.min(end - 1, Math.floor(at));
    const t = at - i;
    const [au, av] = points[i]!;
    const [bu, bv] = points[i + 1]!;
    const [cu, cv] = direction(points, i);
    const [du, dv] = direction(points, i + 1);
    return toLocal(
      au + t * (bu - au) + ANTENNA_AHEAD * (cu + t * (du - cu)),
      av + t * (bv - av) + ANTENNA_AHEAD * (cv + t * (dv - cv)),
    );
  });

  const outFrom = place.findIndex((at) => at >= outAt);
  const worseFrom = place.findIndex((at) => at >= worseAt);
  const worseTo = worseFrom + WORSE.seconds * RATE;

  const white = normal(51);
  const slow = [drift(52, 0.008, 90), drift(53, 0.008, 90), drift(54, 0.015, 90)] as const;
  const rough = [drift(55, 0.28, 15), drift(56, 0.28, 15), drift(57, 0.5, 15)] as const;
  const whiteSpeed = normal(58);
  const lines: string[] = [];

  for (let k = 0; k < EPOCHS; k++) {
    const worse = k >= worseFrom && k < worseTo;
    const [x, y] = antenna[k]!;
    const [x0, y0] = antenna[Math.max(0, k - 1)]!;
    const [x1, y1] = antenna[Math.min(EPOCHS - 1, k + 1)]!;
    // every source of chance is drawn at every epoch, so that one event moves nothing else
    const noise = slow.map((next, i) => next() + (i === 2 ? 0.012 : 0.006) * white());
    const coarse = rough.map((next, i) => next() + (i === 2 ? 0.09 : 0.05) * white());
    const off = worse ? coarse : noise;
    // what a receiver gives as velocity is much quieter than differences of its positions
    const ve = ((x1 - x0) * RATE) / 2 + 0.012 * whiteSpeed();
    const vn = ((y1 - y0) * RATE) / 2 + 0.012 * whiteSpeed();
    if (k >= outFrom && k < outFrom + DROPOUT.seconds * RATE) continue;

    const when = new Date(START + (k * 1000) / RATE);
    const iso = when.toISOString();
    const time = iso.slice(11, 21).replaceAll(":", "");
    const full = k % RATE === 0;
    const where = FRAME.toGeodetic([x + off[0]!, y + off[1]!]);
    const height = GROUND + 0.0021 * x - 0.0013 * y + ANTENNA_UP + off[2]!;
    const satellites = 17 + Math.round(1.6 * Math.sin(k / 2900) - 0.7 * Math.cos(k / 1270));
    const hdop = (0.62 + 0.06 * Math.sin(k / 3100)).toFixed(1);
    // the corrections stop arriving some seconds before the receiver gives up its fixed solution
    const lost = worseFrom - 9 * RATE;
    const age = k >= lost && k < worseTo ? 1 + (k - lost) / RATE : 1 + (k % RATE) / RATE;

    if (full) lines.push(sentence(`GNZDA,${time},${iso.slice(8, 10)},${iso.slice(5, 7)},${iso.slice(0, 4)},00,00`));
    lines.push(
      sentence(
        `GNGGA,${time},${degreesMinutes(where.latitude, 2)},N,${degreesMinutes(where.longitude, 3)},E,` +
          `${worse ? 5 : 4},${satellites},${hdop},${height.toFixed(2)},M,${GEOID.toFixed(1)},M,${age.toFixed(1)},`,
      ),
    );
    const metresPerSecond = Math.hypot(ve, vn);
    const course = FRAME.headingToTrue(wrapHeading(Math.atan2(ve, vn) / RADIANS), where);
    const moving = metresPerSecond >= 0.15;
    lines.push(
      sentence(
        `GNVTG,${moving ? `${wrapHeading(Number(course.toFixed(2))).toFixed(2)},T` : ",T"},,M,${((metresPerSecond * 3600) / 1852).toFixed(3)},N,` +
          `${(metresPerSecond * 3.6).toFixed(3)},K,D`,
      ),
    );
    if (full) {
      const [east, north, up] = worse ? [0.29, 0.31, 0.52] : [0.01, 0.011, 0.019];
      lines.push(sentence(`GNGST,${time},,,,,${north.toFixed(3)},${east.toFixed(3)},${up.toFixed(3)}`));
    }
  }
  writeFileSync(new URL("drive.nmea", import.meta.url), lines.join(""));
  writeFileSync(new URL("field.geojson", import.meta.url), fieldText());
}

/** The field as RFC 7946 text, coordinates to 1 mm. */
function fieldText(): string {
  // both lists run the way round that RFC 7946 asks for: the outer one counter-clockwise, the pond clockwise
  const ring = (corners: readonly Pair[]): string => {
    const positions = [...corners, corners[0]!].map(([u, v]) => {
      const { latitude, longitude } = FRAME.toGeodetic(toLocal(u, v));
      return `            [${longitude.toFixed(8)}, ${latitude.toFixed(8)}]`;
    });
    return `          [\n${positions.join(",\n")}\n          ]`;
  };
  return `{
  "type": "FeatureCollection",
  "features": [
    {
      "type": "Feature",
      "properties": {
        "name": "Pond Piece",
        "farm": "Ambermoor",
        "crop": "Winter wheat",
        "operation": "Liquid fertiliser, first dressing",
        "notes": "Invented field. Pond with a reed rim in the middle: drive round it. Turn on the grass strips."
      },
      "geometry": {
        "type": "Polygon",
        "coordinates": [
${[ring(BOUNDARY), ring(pondRing())].join(",\n")}
        ]
      }
    }
  ]
}
`;
}

main();
