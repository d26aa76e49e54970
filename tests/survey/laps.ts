import { random } from "../helpers/random.js";
import type { Point } from "../../src/geometry/types.js";

/** A machine's drive along corners, as fixes: steps, noise, standstills, all from one seed. */
export interface Drive {
  /** metres between fixes; default 0.25 (2.5 m/s at 10 Hz) */
  readonly step?: number;
  /** standard deviation of each coordinate, metres; default 0 */
  readonly noise?: number;
  /** fixes at a standstill at each of these distances along the way, metres */
  readonly stops?: readonly number[];
  /** fixes of each standstill; default 6000 (10 minutes at 10 Hz) */
  readonly stopFixes?: number;
  readonly seed?: number;
}

/** Normally distributed numbers (Box and Muller 1958). */
export function gaussian(seed: number): () => number {
  const uniform = random(seed);
  return () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
}

/** Fixes along a line of corners; the corners are among them. */
export function drive(corners: readonly Point[], options: Drive = {}): Point[] {
  const { step = 0.25, noise = 0, stops = [], stopFixes = 6000, seed = 1 } = options;
  const normal = gaussian(seed);
  const track: Point[] = [];
  const fix = (x: number, y: number): void => {
    track.push(noise === 0 ? [x, y] : [x + noise * normal(), y + noise * normal()]);
  };
  let station = 0;
  const waiting = [...stops].sort((a, b) => a - b);
  const advance = (x: number, y: number): void => {
    fix(x, y);
    while (waiting.length > 0 && waiting[0]! <= station) {
      waiting.shift();
      for (let k = 0; k < stopFixes; k++) fix(x, y);
    }
  };
  advance(corners[0]![0], corners[0]![1]);
  for (let i = 1; i < corners.length; i++) {
    const [ax, ay] = corners[i - 1]!;
    const [bx, by] = corners[i]!;
    const length = Math.hypot(bx - ax, by - ay);
    const n = Math.max(1, Math.ceil(length / step));
    for (let k = 1; k <= n; k++) {
      station += length / n;
      advance(ax + ((bx - ax) * k) / n, ay + ((by - ay) * k) / n);
    }
  }
  return track;
}

/** Points turned by an angle in degrees about the origin, then moved. */
export function place(points: readonly Point[], degrees: number, east: number, north: number): Point[] {
  const c = Math.cos((degrees * Math.PI) / 180);
  const s = Math.sin((degrees * Math.PI) / 180);
  return points.map(([x, y]) => [east + x * c - y * s, north + x * s + y * c]);
}

/** Fields of known area: corners in order, m². */
export const FIELDS: readonly { readonly name: string; readonly corners: readonly Point[]; readonly area: number }[] = [
  {
    name: "rectangle",
    corners: [
      [0, 0],
      [200, 0],
      [200, 100],
      [0, 100],
    ],
    area: 20_000,
  },
  {
    name: "L",
    corners: [
      [0, 0],
      [200, 0],
      [200, 100],
      [100, 100],
      [100, 200],
      [0, 200],
    ],
    area: 30_000,
  },
  {
    name: "triangle",
    corners: [
      [0, 0],
      [400, 0],
      [0, 300],
    ],
    area: 60_000,
  },
  {
    name: "strip",
    corners: [
      [0, 0],
      [500, 0],
      [500, 20],
      [0, 20],
    ],
    area: 10_000,
  },
  {
    name: "circle",
    corners: Array.from({ length: 180 }, (_, i): Point => {
      const a = (i * Math.PI) / 90;
      return [80 * Math.cos(a), 80 * Math.sin(a)];
    }),
    area: 90 * 80 * 80 * Math.sin(Math.PI / 90),
  },
  { name: "comb", corners: comb(), area: 100 * 60 + 3 * 20 * 40 },
];

function comb(): Point[] {
  const corners: Point[] = [
    [0, 0],
    [100, 0],
    [100, 100],
    [80, 100],
    [80, 60],
    [60, 60],
    [60, 100],
    [40, 100],
    [40, 60],
  ];
  return [...corners, [20, 60], [20, 100], [0, 100]];
}

/** Corners walked round once from a place `share` along the first edge, in either direction, back to that place. */
export function lapOf(corners: readonly Point[], share: number, backwards: boolean): Point[] {
  const [ax, ay] = corners[0]!;
  const [bx, by] = corners[1]!;
  const start: Point = [ax + (bx - ax) * share, ay + (by - ay) * share];
  const lap: Point[] = [start, ...corners.slice(1), corners[0]!, start];
  return backwards ? lap.reverse() : lap;
}
