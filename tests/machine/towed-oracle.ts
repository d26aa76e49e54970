/** Motion of a machine's reference point: m/s and radians/s at a time. */
export interface Drive {
  readonly speed: (t: number) => number;
  readonly turning: (t: number) => number;
}

/** Machine and implements: x, y, heading of the machine, then the headings of the implements behind each other; radians. */
export type Towage = number[];

const TINY = 1e-3;

/** Rates of the plain kinematic equations: one machine, any number of drawbars `[c, L]` behind each other, c behind the axle before. */
function rates(state: Towage, bars: readonly (readonly [number, number])[], v: number, omega: number): number[] {
  const out = [v * Math.sin(state[2]!), v * Math.cos(state[2]!), omega];
  let ahead = state[2]!;
  let speed = v;
  let rate = omega;
  for (let i = 0; i < bars.length; i++) {
    const [c, length] = bars[i]!;
    const theta = state[3 + i]!;
    // th_dot = [v sin(psi - th) - c omega cos(psi - th)] / L, and the speed of the axle
    const next = (speed * Math.sin(ahead - theta) - c * rate * Math.cos(ahead - theta)) / length;
    speed = speed * Math.cos(ahead - theta) + c * rate * Math.sin(ahead - theta);
    rate = next;
    ahead = theta;
    out.push(next);
  }
  return out;
}

/** Runge and Kutta's fourth order in steps of about 1 ms: slow and plain. */
export function rungeKutta(
  state: Towage,
  bars: readonly (readonly [number, number])[],
  drive: Drive,
  from: number,
  to: number,
): Towage {
  const steps = Math.max(1, Math.round((to - from) / TINY));
  const h = (to - from) / steps;
  let s = state;
  for (let i = 0; i < steps; i++) {
    const t = from + i * h;
    const at = (time: number, y: Towage) => rates(y, bars, drive.speed(time), drive.turning(time));
    const step = (k: number[], f: number) => s.map((value, j) => value + f * k[j]!);
    const a = at(t, s);
    const b = at(t + h / 2, step(a, h / 2));
    const c = at(t + h / 2, step(b, h / 2));
    const d = at(t + h, step(c, h));
    const now = s;
    s = now.map((value, j) => value + (h / 6) * (a[j]! + 2 * b[j]! + 2 * c[j]! + d[j]!));
  }
  return s;
}

/** Place of the axle of implement i. */
export function axle(state: Towage, bars: readonly (readonly [number, number])[], i: number): [number, number] {
  let x = state[0]!;
  let y = state[1]!;
  let ahead = state[2]!;
  for (let k = 0; k <= i; k++) {
    const [c, length] = bars[k]!;
    const theta = state[3 + k]!;
    x += -c * Math.sin(ahead) - length * Math.sin(theta);
    y += -c * Math.cos(ahead) - length * Math.cos(theta);
    ahead = theta;
  }
  return [x, y];
}
