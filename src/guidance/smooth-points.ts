import type { Line, Point } from "../geometry/types.js";

/**
 * Move every point onto a parabola fitted to its neighbours, but no farther than a tolerance; the ends stay.
 *
 * Points and the straight pieces between them move together, so no place of the line departs by more than the tolerance.
 * A parabola in the arc length follows a circle to the fourth order of window over radius, so bends are not drawn tight.
 *
 * @see W. S. Cleveland, Robust locally weighted regression and smoothing scatterplots, J. Am. Stat. Assoc. 74, 1979
 */
export function smoothPoints(points: Line, window: number, tolerance: number): Point[] {
  const n = points.length;
  const station = new Float64Array(n);
  for (let i = 1; i < n; i++) {
    station[i] = station[i - 1]! + Math.hypot(points[i]![0] - points[i - 1]![0], points[i]![1] - points[i - 1]![1]);
  }
  const out: Point[] = [points[0]!];
  let first = 0;
  let last = 0;
  for (let i = 1; i < n - 1; i++) {
    const at = station[i]!;
    // the same reach to both sides, so that nothing is drawn towards the longer one
    const reach = Math.min(window, at, station[n - 1]! - at);
    while (first > 0 && at - station[first - 1]! <= reach) first--;
    while (at - station[first]! > reach) first++;
    last = Math.max(last, i);
    while (last < n - 1 && station[last + 1]! - at <= reach) last++;
    while (station[last]! - at > reach) last--;
    out.push(limited(points[i]!, fitted(points, station, first, last, i, reach), tolerance));
  }
  if (n > 1) out.push(points[n - 1]!);
  return out;
}

// weighted least squares of 1, t, t² with t the distance along the line; the value at t = 0
function fitted(points: Line, station: Float64Array, first: number, last: number, i: number, reach: number): Point {
  const [x0, y0] = points[i]!;
  if (last - first < 3) return [x0, y0];
  let s0 = 0;
  let s1 = 0;
  let s2 = 0;
  let s3 = 0;
  let s4 = 0;
  let x1 = 0;
  let xt = 0;
  let xtt = 0;
  let y1 = 0;
  let yt = 0;
  let ytt = 0;
  for (let j = first; j <= last; j++) {
    const t = (station[j]! - station[i]!) / reach;
    const a = 1 - Math.abs(t) ** 3;
    // each point stands for the length of line about it
    const length = station[Math.min(j + 1, station.length - 1)]! - station[Math.max(j - 1, 0)]!;
    const w = (a > 0 ? a * a * a : 0) * length + 1e-9 * length;
    const x = points[j]![0] - x0;
    const y = points[j]![1] - y0;
    s0 += w;
    s1 += w * t;
    s2 += w * t * t;
    s3 += w * t * t * t;
    s4 += w * t * t * t * t;
    x1 += w * x;
    xt += w * x * t;
    xtt += w * x * t * t;
    y1 += w * y;
    yt += w * y * t;
    ytt += w * y * t * t;
  }
  // cramer's rule for the constant term
  const c0 = s2 * s4 - s3 * s3;
  const c1 = s2 * s3 - s1 * s4;
  const c2 = s1 * s3 - s2 * s2;
  const determinant = s0 * c0 + s1 * c1 + s2 * c2;
  if (!(determinant > 1e-12 * s0 * s2 * s4)) return [x0, y0];
  return [x0 + (x1 * c0 + xt * c1 + xtt * c2) / determinant, y0 + (y1 * c0 + yt * c1 + ytt * c2) / determinant];
}

function limited(from: Point, to: Point, tolerance: number): Point {
  const dx = to[0] - from[0];
  const dy = to[1] - from[1];
  const moved = Math.hypot(dx, dy);
  // a hair inside, so that rounding at far coordinates does not break the promise
  const most = tolerance * (1 - 1e-9) - 4e-16 * (Math.abs(from[0]) + Math.abs(from[1]));
  if (moved <= most) return to;
  if (!(most > 0)) return from;
  return [from[0] + (dx * most) / moved, from[1] + (dy * most) / moved];
}
