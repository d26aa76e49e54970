import type { Point, Polygon } from "../src/geometry/index.js";
import { random } from "../tests/helpers/random.js";

/** Work for the offset bench, the same in every run; metres. */

/** Normal deviates from a given stream of numbers (Box and Muller 1958). */
function gauss(next: () => number): () => number {
  return () => {
    let u = 0;
    while (u === 0) u = next();
    return Math.sqrt(-2 * Math.log(u)) * Math.cos(2 * Math.PI * next());
  };
}

function inside(ring: readonly Point[], x: number, y: number): boolean {
  let odd = false;
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
    const a = ring[i]!;
    const b = ring[j]!;
    if (a[1] > y !== b[1] > y && x < ((b[0] - a[0]) * (y - a[1])) / (b[1] - a[1]) + a[0]) odd = !odd;
  }
  return odd;
}

/**
 * A field of about 50 ha: a wavy boundary with two deep bays, 1 cm of noise on each vertex from 2000 vertices on, and
 * elliptic obstacles of 3 to 12 m that stand clear of the boundary and of one another.
 */
export function wavyField(vertices: number, obstacles: number, seed = 1): Polygon {
  const next = random(seed * 7919 + vertices);
  const normal = gauss(next);
  const amplitudes: number[] = [];
  const phases: number[] = [];
  for (let k = 2; k < 8; k++) {
    amplitudes.push((0.22 / k) * (0.5 + next()));
    phases.push(2 * Math.PI * next());
  }
  const noise = vertices >= 2000 ? 0.01 : 0;
  const exterior: Point[] = [];
  for (let i = 0; i < vertices; i++) {
    const angle = (2 * Math.PI * i) / vertices;
    let share = 1;
    for (let k = 2; k < 8; k++) share += amplitudes[k - 2]! * Math.cos(k * angle + phases[k - 2]!);
    for (const bay of [1.1, 3.9]) {
      const off = Math.atan2(Math.sin(angle - bay), Math.cos(angle - bay));
      share -= 0.45 * Math.exp(-(off * off) / (2 * 0.09 * 0.09));
    }
    const radius = 400 * share;
    exterior.push([radius * Math.cos(angle) + noise * normal(), radius * Math.sin(angle) + noise * normal()]);
  }
  const placed: { x: number; y: number; radius: number }[] = [];
  const holes: Point[][] = [];
  const step = Math.max(1, Math.floor(vertices / 400));
  for (let tries = 0; holes.length < obstacles && tries <= 20_000; tries++) {
    const x = (next() * 2 - 1) * 380;
    const y = (next() * 2 - 1) * 380;
    const radius = 3 + 9 * next();
    if (!inside(exterior, x, y)) continue;
    let clear = placed.every((hole) => Math.hypot(hole.x - x, hole.y - y) >= hole.radius + radius + 6);
    for (let i = 0; i < vertices && clear; i += step) {
      clear = Math.hypot(exterior[i]![0] - x, exterior[i]![1] - y) >= radius + 8;
    }
    if (!clear) continue;
    const corners = 8 + Math.floor(next() * 16);
    const flatness = 0.6 + 0.4 * next();
    const turn = next() * 6.28;
    holes.push(
      Array.from({ length: corners }, (_, i): Point => {
        const angle = (-2 * Math.PI * i) / corners;
        const a = radius * Math.cos(angle);
        const b = radius * flatness * Math.sin(angle);
        return [x + a * Math.cos(turn) - b * Math.sin(turn), y + a * Math.sin(turn) + b * Math.cos(turn)];
      }),
    );
    placed.push({ x, y, radius });
  }
  return { exterior, holes };
}

/** A recorded curve: bends of 10 to 15 m radius on a long wave, a point each metre, 2 cm of noise. */
export function recordedCurve(points: number, seed = 2): Point[] {
  const normal = gauss(random(seed * 104_729 + points));
  const out: Point[] = [];
  let x = 0;
  let y = 0;
  let phase = 0;
  for (let i = 0; i < points; i++) {
    phase += (2 * Math.PI) / (95 + 20 * Math.sin(i / 613));
    const heading = (0.55 + 0.55 * Math.sin(i / 347)) * Math.sin(phase) + 0.25 * Math.sin(i / 997);
    out.push([x + 0.02 * normal(), y + 0.02 * normal()]);
    x += Math.cos(heading);
    y += Math.sin(heading);
  }
  return out;
}

const ROW_LENGTH = 500;
const ADVANCE = 0.5;
const HALF_WIDTH = 1.5;

/** Ground worked by a 3 m tool: a quad each half metre of a wavy drive to and fro, rows 2.8 m apart, so neighbours overlap. */
export function workedStrips(count: number): Polygon[] {
  const perRow = Math.round(ROW_LENGTH / ADVANCE);
  const at = (k: number): [x: number, y: number, ux: number, uy: number] => {
    const row = Math.floor(k / perRow);
    const way = row % 2 === 1 ? -1 : 1;
    const s = (k % perRow) * ADVANCE;
    const x = way > 0 ? s : ROW_LENGTH - s;
    const y = row * 2.8 + 0.35 * Math.sin(x / 17 + row) + 0.15 * Math.sin(x / 5.3);
    const slope = (0.35 / 17) * Math.cos(x / 17 + row) + (0.15 / 5.3) * Math.cos(x / 5.3);
    const l = Math.hypot(1, slope);
    return [x, y, way / l, (way * slope) / l];
  };
  return Array.from({ length: count }, (_, k) => {
    const a = at(k);
    const last = Math.floor((k + 1) / perRow) !== Math.floor(k / perRow);
    const b: typeof a = last ? [a[0] + a[2] * ADVANCE, a[1] + a[3] * ADVANCE, a[2], a[3]] : at(k + 1);
    const w = HALF_WIDTH;
    const ring: Point[] = [
      [a[0] + a[3] * w, a[1] - a[2] * w],
      [b[0] + b[3] * w, b[1] - b[2] * w],
      [b[0] - b[3] * w, b[1] + b[2] * w],
      [a[0] - a[3] * w, a[1] + a[2] * w],
    ];
    let twice = 0;
    ring.forEach((p, i) => {
      const q = ring[(i + 1) % 4]!;
      twice += p[0] * q[1] - p[1] * q[0];
    });
    if (twice < 0) ring.reverse();
    return { exterior: ring, holes: [] };
  });
}
