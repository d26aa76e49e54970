import type { Line, Point } from "../../src/geometry/index.js";

// independent of the code under test: plain walks and brute force

/** A line cut to points a given step apart, its ends included. */
export function walk(line: Line, step: number): Point[] {
  const out: Point[] = [];
  for (let i = 0; i + 1 < line.length; i++) {
    const a = line[i]!;
    const b = line[i + 1]!;
    const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
    const parts = Math.max(1, Math.ceil(length / step));
    for (let k = 0; k < parts; k++) out.push([a[0] + ((b[0] - a[0]) * k) / parts, a[1] + ((b[1] - a[1]) * k) / parts]);
  }
  out.push(line[line.length - 1]!);
  return out;
}

/** Points of a line at steady stations, metres along its chords; none left over at the end. */
export function steady(line: Line, step: number): Point[] {
  const out: Point[] = [];
  let along = 0;
  let wanted = 0;
  for (let i = 0; i + 1 < line.length; i++) {
    const a = line[i]!;
    const b = line[i + 1]!;
    const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
    for (; wanted <= along + length; wanted += step) {
      const t = length === 0 ? 0 : (wanted - along) / length;
      out.push([a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t]);
    }
    along += length;
  }
  return out;
}

/** Curvatures of circles through three points of a line, `window` apart; left positive, 1/m, one every `step`. */
export function curvatures(line: Line, window: number, step: number): number[] {
  const points = steady(line, step);
  const lag = Math.round(window / step);
  const out: number[] = [];
  for (let i = lag; i + lag < points.length; i++) {
    const [ax, ay] = points[i - lag]!;
    const [bx, by] = points[i]!;
    const [cx, cy] = points[i + lag]!;
    const cross = (bx - ax) * (cy - by) - (by - ay) * (cx - bx);
    out.push(
      (2 * cross) / (Math.hypot(bx - ax, by - ay) * Math.hypot(cx - bx, cy - by) * Math.hypot(cx - ax, cy - ay)),
    );
  }
  return out;
}

/** Largest distance from any point of one list to a line. */
export function farthest(from: readonly Point[], to: Line): number {
  let worst = 0;
  for (const distance of distances(from, to)) if (distance > worst) worst = distance;
  return worst;
}

/**
 * Largest distance from a line to another: at points a step apart, then at points a fiftieth of it apart between those
 * forty pairs that leave most room for a larger one.
 */
export function farthestAlong(from: Line, to: Line, step = 0.05): number {
  const points = walk(from, step);
  const found = distances(points, to);
  let worst = 0;
  for (const distance of found) if (distance > worst) worst = distance;
  const pairs: { room: number; i: number }[] = [];
  for (let i = 0; i + 1 < points.length; i++) {
    const length = Math.hypot(points[i + 1]![0] - points[i]![0], points[i + 1]![1] - points[i]![1]);
    const room = (found[i]! + found[i + 1]! + length) / 2;
    if (room > worst) pairs.push({ room, i });
  }
  pairs.sort((a, b) => b.room - a.room);
  for (const { i } of pairs.slice(0, 40)) {
    worst = Math.max(worst, farthest(walk([points[i]!, points[i + 1]!], step / 50), to));
  }
  return worst;
}

// every point against every segment, but for blocks of segments whose circle lies farther than what is found
const BLOCK = 32;

function distances(from: readonly Point[], to: Line): Float64Array {
  const out = new Float64Array(from.length);
  const circles: [x: number, y: number, radius: number][] = [];
  for (let i = 0; i + 1 < to.length; i += BLOCK) {
    const part = to.slice(i, i + BLOCK + 1);
    const middle = part[part.length >> 1]!;
    circles.push([...middle, Math.max(...part.map((p) => Math.hypot(p[0] - middle[0], p[1] - middle[1])))]);
  }
  let first = 0;
  for (let k = 0; k < from.length; k++) {
    const p = from[k]!;
    let best = Number.POSITIVE_INFINITY;
    const scan = (block: number): void => {
      for (let i = block * BLOCK; i < Math.min((block + 1) * BLOCK, to.length - 1); i++) {
        const a = to[i]!;
        const b = to[i + 1]!;
        const ex = b[0] - a[0];
        const ey = b[1] - a[1];
        const squared = ex * ex + ey * ey;
        const t = squared === 0 ? 0 : Math.min(1, Math.max(0, ((p[0] - a[0]) * ex + (p[1] - a[1]) * ey) / squared));
        const d = Math.hypot(p[0] - a[0] - t * ex, p[1] - a[1] - t * ey);
        if (d >= best) continue;
        best = d;
        first = block;
      }
    };
    const start = first;
    scan(start);
    for (let block = 0; block < circles.length; block++) {
      const [x, y, radius] = circles[block]!;
      if (block !== start && Math.hypot(p[0] - x, p[1] - y) - radius < best) scan(block);
    }
    out[k] = best;
  }
  return out;
}

/** Both edges of a swath along a line, with arcs on the outer side of its corners, as points `step` apart. */
export function swathEdges(line: Line, width: number, step: number): Point[] {
  const out: Point[] = [];
  const half = width / 2;
  for (let i = 0; i + 1 < line.length; i++) {
    const a = line[i]!;
    const b = line[i + 1]!;
    const heading = Math.atan2(b[1] - a[1], b[0] - a[0]);
    for (const p of walk([a, b], step)) {
      for (const side of [half, -half]) out.push([p[0] - side * Math.sin(heading), p[1] + side * Math.cos(heading)]);
    }
    const c = line[i + 2];
    if (c === undefined) continue;
    const turn = Math.atan2(
      Math.sin(Math.atan2(c[1] - b[1], c[0] - b[0]) - heading),
      Math.cos(Math.atan2(c[1] - b[1], c[0] - b[0]) - heading),
    );
    const parts = Math.ceil((Math.abs(turn) * half) / step);
    for (let k = 1; k < parts; k++) {
      const angle = heading + (turn * k) / parts - (Math.sign(turn) * Math.PI) / 2;
      out.push([b[0] + half * Math.cos(angle), b[1] + half * Math.sin(angle)]);
    }
  }
  return out;
}

/** A wave with noise from a fixed sequence (Park and Miller 1988), a point every `step` metres of x. */
export function wave(step: number, height: number, noise: number, length = 200): Point[] {
  let state = 20240501;
  const random = (): number => {
    state = (state * 16807) % 2147483647;
    return 2 * (state / 2147483647) - 1;
  };
  return Array.from({ length: Math.round(length / step) + 1 }, (_, i): Point => {
    const x = i * step;
    return [x, height * Math.sin(x / 12) + noise * random()];
  });
}
