import type { PolygonIndex } from "../geometry/polygon-index.js";
import type { Line, Point } from "../geometry/types.js";
import type { CurvePiece } from "./curve-pieces.js";
import { ON_PASS } from "./field-clip.js";

/** How closely a crossing is found, metres. */
const CLOSELY = 1e-10;

/** A stretch longer than this with its ends and middle on the edge runs along it, metres. */
const LONG = 1e-3;

/** The stretches of a piece inside polygons, in its direction; edges, within 1 µm, count as inside. */
export function clipLine(piece: CurvePiece, index: PolygonIndex): Line[] {
  const { points } = piece;
  const out: Point[][] = [];
  let open: Point[] | undefined;
  const take = (a: Point, b: Point): void => {
    if (open === undefined || !same(open[open.length - 1]!, a)) {
      open = [a];
      out.push(open);
    }
    if (!same(open[open.length - 1]!, b)) open.push(b);
  };
  for (let i = 1; i < points.length; i++) divide(points[i - 1]!, points[i]!, 0, 1, index, take);
  // a stretch that runs over a loop's first point is one
  const first = out[0];
  const last = out[out.length - 1];
  if (piece.closed && out.length > 1 && same(first![0]!, points[0]!) && same(last![last!.length - 1]!, points[0]!)) {
    out[0] = [...last!, ...first!.slice(1)];
    out.pop();
  }
  return out.filter((line) => lengthOf(line) > ON_PASS);
}

function divide(
  a: Point,
  b: Point,
  from: number,
  to: number,
  index: PolygonIndex,
  take: (a: Point, b: Point) => void,
): void {
  const p = between(a, b, from);
  const q = between(a, b, to);
  const share = index.insideShare(p[0], p[1], q[0], q[1]);
  if (share === 1) {
    take(p, q);
    return;
  }
  const length = Math.hypot(q[0] - p[0], q[1] - p[1]);
  const near = (x: Point): boolean => index.distanceToBoundary(x[0], x[1]) <= ON_PASS;
  if (length > LONG && near(p) && near(q) && near(between(p, q, 0.5))) {
    // along an edge, to rounding
    take(p, q);
    return;
  }
  if (share === 0 && !(near(p) || near(q))) return;
  const middle = (from + to) / 2;
  const m = between(a, b, middle);
  // far from the origin neighbouring doubles are farther apart than that
  if (length <= CLOSELY || equal(m, p) || equal(m, q)) {
    if (share > 0.5) take(p, q);
    return;
  }
  if (share === 0 && length <= 4 * ON_PASS) return;
  divide(a, b, from, middle, index, take);
  divide(a, b, middle, to, index, take);
}

function between(a: Point, b: Point, t: number): Point {
  if (t === 0) return a;
  if (t === 1) return b;
  return [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])];
}

function equal(a: Point, b: Point): boolean {
  return a[0] === b[0] && a[1] === b[1];
}

function same(a: Point, b: Point): boolean {
  return Math.abs(a[0] - b[0]) <= ON_PASS && Math.abs(a[1] - b[1]) <= ON_PASS;
}

function lengthOf(line: Line): number {
  let sum = 0;
  for (let i = 1; i < line.length; i++) sum += Math.hypot(line[i]![0] - line[i - 1]![0], line[i]![1] - line[i - 1]![1]);
  return sum;
}
