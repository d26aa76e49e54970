import type { Point } from "../geometry/index.js";
import { AveragedPath } from "./drivable-line-average.js";
import type { Corners } from "./drivable-line-radii.js";
import { CURVATURE_SLACK, type Drawn, direction } from "./drivable-line-drawn.js";

/** How far, in windows, the shift at the end of a line that ends in a bend takes to grow: curvature then changes by 1/256. */
const FADE = 8;
/** Rate above the asked one that passes for sampling. */
const RATE_SLACK = 1.02;

/**
 * Neighbouring corners without room between them, and what joins them: a straight, an end of the line, or each other.
 *
 * @internal
 */
export interface Run {
  readonly first: number;
  readonly count: number;
  readonly start: "straight" | "end" | "loop";
  readonly end: "straight" | "end" | "loop";
}

/**
 * Settings of a run, metres.
 *
 * @internal
 */
export interface RunSettings {
  /** of the arcs to be averaged */
  readonly radius: number;
  readonly window: number;
  /** smallest radius asked for */
  readonly asked: number;
  /** of a transition asked for */
  readonly length: number;
  readonly tolerance: number;
}

/** start, direction, curvature (left positive), length */
type Element = readonly [x: number, y: number, dx: number, dy: number, curvature: number, length: number];

/**
 * Draw a run of corners as the average of its arcs and straights.
 *
 * @internal
 */
export function drawRun(drawn: Drawn, corners: Corners, run: Run, settings: RunSettings): void {
  const { window } = settings;
  const h = window / 2;
  const { elements, arcs } = elementsOf(corners, run, h);
  const total = elements.reduce((sum, e) => sum + e[5], 0);
  const before = lead(elements, run.start, h, true);
  const path = new AveragedPath(-before.reduce((sum, e) => sum + e[5], 0));
  for (const e of before) path.add(...e);
  for (const e of elements) path.add(...e);
  for (const e of lead(elements, run.end, h, false)) path.add(...e);

  const base = drawn.xy.length / 2;
  const m = corners.points.length;
  const { stations, fastest, sharpest } = sample(drawn.xy, path, elements, total, run, settings);
  drawn.curvature = Math.max(drawn.curvature, sharpest.value);
  drawn.rate = Math.max(drawn.rate, fastest.value);
  const cornerAt = (station: number): number => {
    let k = 0;
    while (k + 1 < run.count && arcs[2 * k + 2]! <= station) k++;
    return (run.first + k) % m;
  };
  if (fastest.value > RATE_SLACK / (settings.asked * settings.length)) {
    drawn.fast.push({ corner: cornerAt(fastest.station), at: fastest.at, rate: fastest.value });
  }
  if (sharpest.value > (1 + CURVATURE_SLACK) / settings.asked) {
    let crowded = false;
    for (let k = 0; k < run.count; k++) if (corners.tight[(run.first + k) % m] === 1) crowded = true;
    const end = run.start === "end" || run.end === "end";
    const corner = cornerAt(sharpest.station);
    if (!crowded) drawn.sharp.push({ corner, at: sharpest.at, radius: 1 / sharpest.value, end });
  }
  const indexAt = (station: number): number => {
    let low = 0;
    let high = stations.length - 1;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (stations[middle]! < station) low = middle + 1;
      else high = middle;
    }
    return base + low;
  };
  for (let k = 0; k < run.count; k++) {
    const i = (run.first + k) % m;
    drawn.first[i] = k === 0 ? base : indexAt(arcs[2 * k]! - h);
    drawn.last[i] = k === run.count - 1 ? base + stations.length - 1 : indexAt(arcs[2 * k + 1]! + h);
  }
}

// straights and arcs of the run, and the path stations at which each corner's arc starts and ends
function elementsOf(corners: Corners, run: Run, h: number): { elements: Element[]; arcs: number[] } {
  const { points, tangents, radii } = corners;
  const m = points.length;
  const elements: Element[] = [];
  const arcs: number[] = [];
  let station = 0;
  const push = (x: number, y: number, d: readonly [number, number], curvature: number, length: number): void => {
    if (!(length > 0)) return;
    elements.push([x, y, d[0], d[1], curvature, length]);
    station += length;
  };
  const reachAt = (i: number): number => (radii[i]! > 0 ? radii[i]! * Math.abs(tangents[i]!) : 0);
  for (let k = 0; k < run.count; k++) {
    const i = (run.first + k) % m;
    const p = points[i]!;
    const previous = points[(i + m - 1) % m]!;
    const next = points[(i + 1) % m]!;
    const u = direction(previous, p);
    const reach = reachAt(i);
    if (k === 0 && run.start === "straight") push(p[0] - (reach + h) * u[0], p[1] - (reach + h) * u[1], u, 0, h);
    if (k === 0 && run.start === "end") {
      push(previous[0], previous[1], u, 0, Math.hypot(p[0] - previous[0], p[1] - previous[1]) - reach);
    }
    arcs.push(station);
    const angle = 2 * Math.atan(Math.abs(tangents[i]!));
    if (reach > 0) {
      push(p[0] - reach * u[0], p[1] - reach * u[1], u, Math.sign(tangents[i]!) / radii[i]!, angle * radii[i]!);
    }
    arcs.push(station);
    const v = direction(p, next);
    const x = p[0] + reach * v[0];
    const y = p[1] + reach * v[1];
    const length = Math.hypot(next[0] - p[0], next[1] - p[1]) - reach;
    if (k + 1 < run.count || run.end === "loop") push(x, y, v, 0, length - reachAt((i + 1) % m));
    else push(x, y, v, 0, run.end === "straight" ? h : length);
  }
  return { elements, arcs };
}

// what lies beyond an end of the run, for half a window: the straight, the other end of a loop, or its own mirror image
function lead(elements: readonly Element[], kind: Run["start"], h: number, atStart: boolean): Element[] {
  const out: Element[] = [];
  const n = elements.length;
  const edge = atStart ? elements[0]! : endOf(elements[n - 1]!);
  const add = (e: Element): void => {
    if (atStart) out.unshift(e);
    else out.push(e);
  };
  const [ex, ey, ux, uy] = edge;
  if (kind === "straight") {
    const back = atStart ? 1.01 * h : 0;
    return [[ex - back * ux, ey - back * uy, ux, uy, 0, 1.01 * h]];
  }
  let covered = 0;
  for (let k = 0; covered <= h && k < 1000; k++) {
    if (kind === "loop") {
      const e = atStart ? elements[n - 1 - (k % n)]! : elements[k % n]!;
      add(e);
      covered += e[5];
      continue;
    }
    // mirrored about the normal at the end, and so with the same curvature as driven on; straight where the line is too short
    const e = k < n ? (atStart ? elements[k]! : elements[n - 1 - k]!) : undefined;
    if (e === undefined) break;
    const [x, y, dx, dy] = endOf(e);
    const along = 2 * ((x - ex) * ux + (y - ey) * uy);
    const turned = 2 * (dx * ux + dy * uy);
    add([x - along * ux, y - along * uy, turned * ux - dx, turned * uy - dy, e[4], e[5]]);
    covered += e[5];
  }
  if (covered <= h) {
    const last = atStart ? out[0]! : endOf(out[out.length - 1]!);
    const back = atStart ? 2 * h : 0;
    add([last[0] - back * last[2], last[1] - back * last[3], last[2], last[3], 0, 2 * h]);
  }
  return out;
}

// place and direction at the end of an element
function endOf(e: Element): Element {
  const [x, y, dx, dy, curvature, length] = e;
  if (curvature === 0) return [x + length * dx, y + length * dy, dx, dy, 0, 0];
  const turn = curvature * length;
  const along = Math.sin(turn) / curvature;
  const across = (1 - Math.cos(turn)) / curvature;
  const c = Math.cos(turn);
  const s = Math.sin(turn);
  return [x + along * dx - across * dy, y + along * dy + across * dx, dx * c - dy * s, dy * c + dx * s, 0, 0];
}

/** The largest of a quantity along a run, and where. */
interface Extreme {
  value: number;
  at: Point;
  station: number;
}

function sample(
  xy: number[],
  path: AveragedPath,
  elements: readonly Element[],
  total: number,
  run: Run,
  settings: RunSettings,
): { stations: number[]; fastest: Extreme; sharpest: Extreme } {
  const { radius, window, tolerance } = settings;
  const h = window / 2;
  const step = Math.min(Math.sqrt(8 * tolerance * radius), h / 4);
  const fade = Math.min(FADE * window, total / 2);
  // at an end in a bend the average lies beside the end: carried back to it, fading out
  const last = endOf(elements[elements.length - 1]!);
  path.take(total, window);
  const endX = run.end === "end" ? last[0] - path.x : 0;
  const endY = run.end === "end" ? last[1] - path.y : 0;
  path.take(0, window);
  const startX = run.start === "end" ? elements[0]![0] - path.x : 0;
  const startY = run.start === "end" ? elements[0]![1] - path.y : 0;
  const startFades = Math.hypot(startX, startY) > 1e-9;
  const endFades = Math.hypot(endX, endY) > 1e-9;

  const stations: number[] = [];
  let checkedStation = 0;
  let checkedCurvature = 0;
  let way = 0;
  let lastSpeed = 0;
  let lastStation = 0;
  const fastest: Extreme = { value: 0, at: [0, 0], station: 0 };
  const sharpest: Extreme = { value: 0, at: [0, 0], station: 0 };
  for (let s = 0; ; ) {
    path.take(s, window);
    let { x, y, dx, dy, ddx, ddy } = path;
    const fromStart = s / fade;
    const fromEnd = (total - s) / fade;
    if (startFades && fromStart < 1) {
      const f = 1 - fromStart * fromStart * (3 - 2 * fromStart);
      const f1 = (-6 * fromStart * (1 - fromStart)) / fade;
      const f2 = (12 * fromStart - 6) / (fade * fade);
      x += f * startX;
      y += f * startY;
      dx += f1 * startX;
      dy += f1 * startY;
      ddx += f2 * startX;
      ddy += f2 * startY;
    }
    if (endFades && fromEnd < 1) {
      const f = 1 - fromEnd * fromEnd * (3 - 2 * fromEnd);
      const f1 = (6 * fromEnd * (1 - fromEnd)) / fade;
      const f2 = (12 * fromEnd - 6) / (fade * fade);
      x += f * endX;
      y += f * endY;
      dx += f1 * endX;
      dy += f1 * endY;
      ddx += f2 * endX;
      ddy += f2 * endY;
    }
    xy.push(x, y);
    stations.push(s);
    const speed = Math.hypot(dx, dy);
    const curvature = (dx * ddy - dy * ddx) / (speed * speed * speed);
    if (Math.abs(curvature) > sharpest.value) {
      sharpest.value = Math.abs(curvature);
      sharpest.at = [x, y];
      sharpest.station = s;
    }
    way += ((speed + lastSpeed) / 2) * (s - lastStation);
    lastSpeed = speed;
    lastStation = s;
    // over a sixteenth of the window, so that vertices of a sampled curve, each an arc of its own, do not count as jerks
    if (s === 0 || s - checkedStation >= window / 16) {
      const rate = s === 0 ? 0 : Math.abs(curvature - checkedCurvature) / way;
      if (rate > fastest.value) {
        fastest.value = rate;
        fastest.at = [x, y];
        fastest.station = s;
      }
      checkedStation = s;
      checkedCurvature = curvature;
      way = 0;
    }
    if (s >= total) break;
    let next = s + step;
    const straight = path.straightEnd();
    const fading = (startFades && fromStart < 1) || (endFades && fromEnd < 1);
    if (straight >= 0 && !fading) next = Math.max(next, straight - h);
    if (endFades && fromEnd > 1) next = Math.min(next, Math.max(s + step, total - fade));
    s = Math.min(next, total);
  }
  return { stations, fastest, sharpest };
}
