import { LineIndex, type Point, pathLength } from "../../../src/geometry/index.js";

/** A place and a direction, radians counter-clockwise from east. */
export interface Pose {
  readonly x: number;
  readonly y: number;
  readonly angle: number;
}

/** The part of a line between two stations, metres. */
export function stretch(line: readonly Point[], from: number, to: number): Point[] {
  const out: Point[] = [];
  let walked = 0;
  for (let i = 1; i < line.length; i++) {
    const [ax, ay] = line[i - 1]!;
    const [bx, by] = line[i]!;
    const length = Math.hypot(bx - ax, by - ay);
    if (length === 0) continue;
    const at = (station: number): Point => {
      const t = (station - walked) / length;
      return [ax + t * (bx - ax), ay + t * (by - ay)];
    };
    if (out.length === 0 && walked + length >= from) out.push(at(from));
    if (out.length > 0) {
      if (walked + length >= to) return [...out, at(to)];
      out.push([bx, by]);
    }
    walked += length;
  }
  return out;
}

/** The part of a loop from a station on, over a length that may be more than a lap. */
export function lap(loop: readonly Point[], from: number, length: number): Point[] {
  const once = pathLength(loop);
  const start = ((from % once) + once) % once;
  const laps = Math.ceil((start + length) / once);
  const line: Point[] = [loop[0]!];
  for (let i = 0; i < laps; i++) line.push(...loop.slice(1));
  return stretch(line, start, start + length);
}

/** Where a machine is that has come to the end of a line, or, at its start, stands at it. */
export function poseAt(line: readonly Point[], end: "start" | "end"): Pose {
  const points = end === "start" ? line : [...line].reverse();
  const [x, y] = points[0]!;
  const [ax, ay] = points.find(([bx, by]) => Math.hypot(bx - x, by - y) > 1e-3)!;
  return { x, y, angle: end === "start" ? Math.atan2(ay - y, ax - x) : Math.atan2(y - ay, x - ax) };
}

/** Station of the place on a line that is nearest to a point. */
export function stationNear(line: readonly Point[], [x, y]: Point): number {
  return new LineIndex(line).nearest(x, y).station;
}

/** The same chain with points a step apart, from its first point on. */
export function even(line: readonly Point[], step: number): Point[] {
  const out: Point[] = [line[0]!];
  let walked = 0;
  for (let i = 1; i < line.length; i++) {
    const [ax, ay] = line[i - 1]!;
    const [bx, by] = line[i]!;
    const length = Math.hypot(bx - ax, by - ay);
    while (out.length * step <= walked + length) {
      const t = (out.length * step - walked) / length;
      out.push([ax + t * (bx - ax), ay + t * (by - ay)]);
    }
    walked += length;
  }
  return out;
}

/**
 * A chain of evenly spaced points with its bends eased in and out: a raised-cosine mean over so many points on either side.
 * Straight parts stay where they are; both ends too.
 */
export function eased(points: readonly Point[], half: number): Point[] {
  const weights = Array.from({ length: 2 * half + 1 }, (_, j) => 1 + Math.cos((Math.PI * (j - half)) / (half + 1)));
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const last = points.length - 1;
  // beyond an end goes what lies before it, turned about it
  const at = (i: number): Point => {
    if (i >= 0 && i <= last) return points[i]!;
    const [ex, ey] = points[i < 0 ? 0 : last]!;
    const [x, y] = points[i < 0 ? -i : 2 * last - i]!;
    return [2 * ex - x, 2 * ey - y];
  };
  return points.map((_, i) => {
    let x = 0;
    let y = 0;
    for (let j = -half; j <= half; j++) {
      const [px, py] = at(i + j);
      x += weights[j + half]! * px;
      y += weights[j + half]! * py;
    }
    return [x / total, y / total];
  });
}

/** Unit vector along a way at an index, over half a metre to both sides. */
export function direction(points: readonly Point[], index: number): Point {
  const [ax, ay] = points[Math.max(0, index - 5)]!;
  const [bx, by] = points[Math.min(points.length - 1, index + 5)]!;
  const length = Math.hypot(bx - ax, by - ay);
  return [(bx - ax) / length, (by - ay) / length];
}
