import type { Point } from "../../../src/geometry/index.js";
import { wander } from "./chance.js";
import { STEP } from "./way.js";

const WORK_SPEED = 4.48; // m/s
const SIDEWAYS = 0.8; // m/s2, the most the driver takes in a turn
const SPEEDING_UP = 0.55; // m/s2
const SLOWING_DOWN = 0.65; // m/s2

/** Unit vector along a way at an index, over half a metre to both sides. */
export function direction(points: readonly Point[], index: number): Point {
  const [ax, ay] = points[Math.max(0, index - 5)]!;
  const [bx, by] = points[Math.min(points.length - 1, index + 5)]!;
  const length = Math.hypot(bx - ax, by - ay);
  return [(bx - ax) / length, (by - ay) / length];
}

/** The way as steered: a few centimetres off to the side, wandering. */
export function steered(points: readonly Point[]): Point[] {
  const aside = wander(31, 0.03);
  return points.map(([x, y], i) => {
    const [dx, dy] = direction(points, i);
    const w = aside(i * STEP);
    return [x - w * dy, y + w * dx];
  });
}

/** Speed at every point of the way, m/s: slower in bends, nothing at a stop. */
export function speeds(points: readonly Point[], stops: readonly number[]): Float64Array {
  const n = points.length;
  const speed = new Float64Array(n);
  const mood = wander(41, 0.05);
  for (let i = 0; i < n; i++) {
    const [ax, ay] = direction(points, Math.max(0, i - 10));
    const [bx, by] = direction(points, Math.min(n - 1, i + 10));
    const bend = Math.abs(Math.atan2(ax * by - ay * bx, ax * bx + ay * by)) / (20 * STEP);
    speed[i] = Math.min(WORK_SPEED + mood(i * STEP), Math.sqrt(SIDEWAYS / Math.max(bend, 1e-6)));
  }
  for (const stop of stops) speed[stop] = 0;
  for (let i = 1; i < n; i++) speed[i] = Math.min(speed[i]!, Math.sqrt(speed[i - 1]! ** 2 + 2 * SPEEDING_UP * STEP));
  for (let i = n - 2; i >= 0; i--) {
    speed[i] = Math.min(speed[i]!, Math.sqrt(speed[i + 1]! ** 2 + 2 * SLOWING_DOWN * STEP));
  }
  return speed;
}

/** Place on the way at every epoch, as a number of steps; waits where the speed is nothing. */
export function timetable(
  speed: Float64Array,
  waits: ReadonlyMap<number, number>,
  epochs: number,
  rate: number,
): Float64Array {
  const time = new Float64Array(speed.length * 2); // arrival and departure at each point
  let now = 0;
  for (let i = 0; i < speed.length; i++) {
    if (i > 0) now += (2 * STEP) / (speed[i - 1]! + speed[i]!);
    time[2 * i] = now;
    now += waits.get(i) ?? 0;
    time[2 * i + 1] = now;
  }
  if (now > epochs / rate) throw new Error(`the drive takes ${now} s, more than ${epochs / rate} s`);
  const place = new Float64Array(epochs);
  let i = 0;
  for (let k = 0; k < epochs; k++) {
    const t = k / rate;
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
