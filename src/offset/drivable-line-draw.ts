import type { Point } from "../geometry/index.js";
import { type Bend, bendFor, drawBend } from "./drivable-line-clothoid.js";
import { type Drawn, direction } from "./drivable-line-drawn.js";
import type { Corners } from "./drivable-line-radii.js";
import { drawRun, type Run, type RunSettings } from "./drivable-line-run.js";

/** Straight between two arcs, in windows, above which the averages of both end on it: a window, and a little for rounding. */
const APART = 1.001;
/** Tangent of half a turn below which a corner is straight. */
const STRAIGHT = 1e-9;

/**
 * Draw every corner as an arc.
 *
 * @internal
 */
export function drawArcs(corners: Corners, closed: boolean, tolerance: number): Drawn {
  const { points, tangents, radii } = corners;
  const m = points.length;
  const drawn = emptyDrawn(corners);
  for (let i = 0; i < m; i++) {
    const half = Math.abs(tangents[i]!);
    const radius = radii[i]!;
    drawn.first[i] = drawn.xy.length / 2;
    if (half > STRAIGHT) {
      drawn.curvature = Math.max(drawn.curvature, 1 / radius);
      drawn.rate = Number.POSITIVE_INFINITY;
    }
    // a corner that is within the tolerance of its arc stands for it
    if (!(half > STRAIGHT) || radius === 0 || (radius * half * half) / 2 <= tolerance) {
      drawn.xy.push(points[i]![0], points[i]![1]);
      drawn.bends[i] = bendFor(half > STRAIGHT && radius > 0 ? half : 0, radius, 0);
    } else {
      const bend = bendFor(half, radius, 0);
      drawn.bends[i] = bend;
      bendAt(drawn.xy, corners, i, bend, tolerance);
    }
    drawn.last[i] = drawn.xy.length / 2 - 1;
    drawn.joined[i] = corners.edges[i]! < 0 ? 1 : 0;
  }
  if (!closed) drawn.joined[m - 1] = 0;
  return drawn;
}

/**
 * Draw corners with straights beside them as clothoid, arc and clothoid, all others as averages of their arcs.
 *
 * @param corners - with room for arcs of the radius to be averaged
 * @param settings - as asked
 * @param averaged - radius and window of the average
 * @internal
 */
export function drawTransitions(
  corners: Corners,
  settings: { readonly radius: number; readonly length: number; readonly tolerance: number; readonly closed: boolean },
  averaged: { readonly radius: number; readonly window: number },
): Drawn {
  const { points, tangents, radii, tight } = corners;
  const { closed, tolerance, radius, length } = settings;
  const m = points.length;
  const drawn = emptyDrawn(corners);
  const bends = Array.from(tangents, (t) => bendFor(Math.abs(t), radius, length));
  const need = (i: number): number =>
    tight[i] === 1
      ? Number.POSITIVE_INFINITY
      : Math.abs(tangents[i]!) <= STRAIGHT
        ? 0
        : Math.max(bends[i]!.reach, averaged.radius * Math.abs(tangents[i]!) + averaged.window / 2);
  const edges = closed ? m : m - 1;
  const parted = new Uint8Array(m);
  for (let i = 0; i < edges; i++) {
    const j = (i + 1) % m;
    const a = points[i]!;
    const b = points[j]!;
    const straight = Math.hypot(b[0] - a[0], b[1] - a[1]);
    parted[i] = need(i) + need(j) <= straight ? 1 : 0;
    const reach = radii[i]! * Math.abs(tangents[i]!) + radii[j]! * Math.abs(tangents[j]!);
    drawn.joined[i] = corners.edges[i]! < 0 || (parted[i] === 0 && straight - reach < APART * averaged.window) ? 1 : 0;
  }
  const run: RunSettings = { ...averaged, asked: radius, length, tolerance };
  if (!closed) pushPoint(drawn.xy, points[0]!);
  const start = closed ? (parted.indexOf(1) + 1) % m : 1;
  if (closed && parted.indexOf(1) < 0) {
    drawRun(drawn, corners, { first: 0, count: m, start: "loop", end: "loop" }, run);
  } else {
    const count = closed ? m : m - 2;
    for (let k = 0; k < count; ) {
      const i = (start + k) % m;
      let size = 1;
      while (k + size < count && parted[(i + size - 1) % m] === 0) size++;
      const before = parted[(i + m - 1) % m] === 1;
      const after = parted[(i + size - 1) % m] === 1;
      k += size;
      if (size === 1 && before && after) {
        drawn.bends[i] = bends[i]!;
        drawn.first[i] = drawn.xy.length / 2;
        if (Math.abs(tangents[i]!) <= STRAIGHT) pushPoint(drawn.xy, points[i]!);
        else {
          bendAt(drawn.xy, corners, i, bends[i]!, tolerance);
          drawn.curvature = Math.max(drawn.curvature, 1 / bends[i]!.radius);
          drawn.rate = Math.max(drawn.rate, 1 / (radius * length));
        }
        drawn.last[i] = drawn.xy.length / 2 - 1;
        continue;
      }
      const range: Run = { first: i, count: size, start: before ? "straight" : "end", end: after ? "straight" : "end" };
      drawRun(drawn, corners, range, run);
    }
  }
  if (!closed) pushPoint(drawn.xy, points[m - 1]!);
  return drawn;
}

function emptyDrawn(corners: Corners): Drawn {
  const m = corners.points.length;
  return {
    xy: [],
    first: new Int32Array(m),
    last: new Int32Array(m),
    joined: new Uint8Array(m),
    bends: new Array<Bend | undefined>(m).fill(undefined),
    curvature: 0,
    rate: 0,
    fast: [],
    sharp: [],
  };
}

function pushPoint(xy: number[], p: Point): void {
  xy.push(p[0], p[1]);
}

function bendAt(xy: number[], corners: Corners, i: number, bend: Bend, tolerance: number): void {
  const { points, tangents } = corners;
  const m = points.length;
  const before = direction(points[(i + m - 1) % m]!, points[i]!);
  const after = direction(points[i]!, points[(i + 1) % m]!);
  drawBend(xy, points[i]!, before, after, tangents[i]!, bend, tolerance);
}
