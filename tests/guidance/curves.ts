import { nearestOnLine, type Line, type Point } from "../../src/geometry/index.js";

/** Deterministic random numbers in 0..1. */
export function random(seed: number): () => number {
  let a = seed >>> 0;
  return () => {
    a = (a + 0x6d2b79f5) | 0;
    let t = Math.imul(a ^ (a >>> 15), 1 | a);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** A gently winding curve northwards. */
export function winding(count: number, spacing = 1, x0 = 0, y0 = 0): Point[] {
  return Array.from({ length: count }, (_, i): Point => {
    const s = i * spacing;
    return [x0 + 30 * Math.sin(s / 60) + 8 * Math.sin(s / 23), y0 + s];
  });
}

/** The line with straight extensions at both ends. */
export function extended(line: Line, by: number): Point[] {
  const on = (end: Point, inner: Point): Point => {
    const d = Math.hypot(end[0] - inner[0], end[1] - inner[1]);
    return [end[0] + ((end[0] - inner[0]) / d) * by, end[1] + ((end[1] - inner[1]) / d) * by];
  };
  const n = line.length;
  return [on(line[0]!, line[1]!), ...line, on(line[n - 1]!, line[n - 2]!)];
}

/** Signed distance by looking at every segment, the extensions as far as 20 km. */
export function oracle(line: Line, p: Point): number {
  return nearestOnLine(extended(line, 20_000), p).signedDistance;
}
