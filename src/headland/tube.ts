import { cleanLine, type Line, type Point, type Polygon, ringCrossings } from "../geometry/index.js";

/**
 * Half the width of the thin tubes that stand for lines, metres. Twice of it is above the width below which folds count as
 * spikes, so that the tube is a polygon like others.
 */
export const TUBE = 1e-4;

/** a piece of line turns by less than this at each vertex, so that its tube's corners stay near, radians */
const SHARPEST = (100 * Math.PI) / 180;

/**
 * Thin polygons that hold a line: each point of them lies within 0.16 mm of it. A line that meets itself or turns back
 * is divided.
 *
 * @internal
 */
export function tubesOf(line: Line): Polygon[] {
  const points = cleanLine(line);
  const tubes: Polygon[] = [];
  let start = 0;
  for (let i = 1; i < points.length; i++) {
    if (i < points.length - 1 && Math.abs(turnAt(points, i)) < SHARPEST) continue;
    divide(points.slice(start, i + 1), tubes);
    start = i;
  }
  return tubes;
}

function divide(points: readonly Point[], out: Polygon[]): void {
  const ring = tube(points);
  if (points.length === 2 || ringCrossings(ring).length === 0) {
    out.push({ exterior: ring, holes: [] });
    return;
  }
  const middle = points.length >> 1;
  divide(points.slice(0, middle + 1), out);
  divide(points.slice(middle), out);
}

function turnAt(points: readonly Point[], i: number): number {
  const [ax, ay] = points[i - 1]!;
  const [bx, by] = points[i]!;
  const [cx, cy] = points[i + 1]!;
  return Math.atan2((bx - ax) * (cy - by) - (by - ay) * (cx - bx), (bx - ax) * (cx - bx) + (by - ay) * (cy - by));
}

// both sides of the line, mitred, its ends run on by as much as its sides are apart
function tube(points: readonly Point[]): Point[] {
  const left: Point[] = [];
  const right: Point[] = [];
  const n = points.length;
  for (let i = 0; i < n; i++) {
    const p = points[i]!;
    const a = points[Math.max(0, i - 1)]!;
    const b = points[Math.min(n - 1, i + 1)]!;
    const u = i === 0 ? direction(p, b) : direction(a, p);
    const v = i === n - 1 ? u : direction(p, b);
    const grow = TUBE / (1 + u[0] * v[0] + u[1] * v[1]);
    const mx = -(u[1] + v[1]) * grow;
    const my = (u[0] + v[0]) * grow;
    const run = i === 0 ? -TUBE : i === n - 1 ? TUBE : 0;
    left.push([p[0] + run * u[0] + mx, p[1] + run * u[1] + my]);
    right.push([p[0] + run * u[0] - mx, p[1] + run * u[1] - my]);
  }
  return [...right, ...left.reverse()];
}

function direction(a: Point, b: Point): Point {
  const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
  return [(b[0] - a[0]) / length, (b[1] - a[1]) / length];
}
