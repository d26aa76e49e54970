import type { SectionControl, SectionInput, SectionReason } from "../../src/sections/index.js";

const R = Math.PI / 180;

/** A constant-curvature drive: where the reference point is at any time. */
export interface Path {
  x: number;
  y: number;
  heading: number;
  speed: number;
  yawRate: number;
}

/** Pose of the reference point at time t, exact on the arc. */
export function poseAt(path: Path, t: number): { x: number; y: number; heading: number } {
  const turn = path.yawRate * t;
  const half = (turn * R) / 2;
  const chord = path.speed * t * (half === 0 ? 1 : Math.sin(half) / half);
  const along = (path.heading + turn / 2) * R;
  return { x: path.x + chord * Math.sin(along), y: path.y + chord * Math.cos(along), heading: path.heading + turn };
}

/** Place on the tool at time t: offset right of the middle line, metres; toolX ahead of the reference point. */
export function toolAt(path: Path, t: number, toolX: number, offset: number): [number, number] {
  const p = poseAt(path, t);
  const s = Math.sin(p.heading * R);
  const c = Math.cos(p.heading * R);
  return [p.x + toolX * s + offset * c, p.y + toolX * c - offset * s];
}

/** What went on: every order of every section, with the fix it was given at. */
export interface Order {
  time: number;
  section: number;
  on: boolean;
  reason: SectionReason;
}

/** Drive and note the orders. Time runs from `from` to `to` at `rate` fixes a second. */
export function run(
  control: SectionControl,
  path: Path,
  from: number,
  to: number,
  rate: number,
  change: (input: SectionInput, k: number) => SectionInput = (input) => input,
): Order[] {
  const orders: Order[] = [];
  const count = control.boom.sections.length;
  const last: boolean[] = Array.from({ length: count }, () => false);
  const n = Math.round((to - from) * rate);
  for (let k = 0; k <= n; k++) {
    const time = from + k / rate;
    const { x, y, heading } = poseAt(path, time);
    const h = ((heading % 360) + 360) % 360;
    const input = { time, x, y, heading: h, speed: path.speed, yawRate: path.yawRate, usable: true };
    const states = control.update(change(input, k));
    for (let i = 0; i < count; i++) {
      if (states.ordered[i] !== last[i]) {
        orders.push({ time, section: i, on: states.ordered[i]!, reason: states.reasons[i]! });
        last[i] = states.ordered[i]!;
      }
    }
  }
  return orders;
}

export { normal } from "../helpers/random.js";
