import type { Point } from "../../../src/geometry/index.js";
import type { Drive } from "../../../src/simulation/index.js";
import { direction } from "./polyline.js";
import { STEP } from "./way.js";

const WORK_SPEED = 4.48; // m/s
const SIDEWAYS = 0.8; // m/s2, the most the driver takes in a turn
const PIECE = 50; // points to a piece of one speed: 5 m

/** The way in pieces, each as fast as its bends allow; the machine stands at some points, s. */
export function drivesAlong(points: readonly Point[], waits: ReadonlyMap<number, number>): Drive[] {
  const cuts = new Set([points.length - 1, ...waits.keys()]);
  for (let i = 0; i < points.length; i += PIECE) cuts.add(i);
  const sorted = [...cuts].sort((a, b) => a - b);
  return sorted.slice(1).map((end, k) => {
    const from = sorted[k]!;
    return {
      line: points.slice(from, end + 1),
      speed: speedOf(points, from, end),
      wait: waits.get(from) ?? 0,
    };
  });
}

function speedOf(points: readonly Point[], from: number, end: number): number {
  let speed = WORK_SPEED;
  for (let i = from; i <= end; i++) {
    const [ax, ay] = direction(points, Math.max(0, i - 10));
    const [bx, by] = direction(points, Math.min(points.length - 1, i + 10));
    const bend = Math.abs(Math.atan2(ax * by - ay * bx, ax * bx + ay * by)) / (20 * STEP);
    speed = Math.min(speed, Math.sqrt(SIDEWAYS / Math.max(bend, 1e-6)));
  }
  return speed;
}
