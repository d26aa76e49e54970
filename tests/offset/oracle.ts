import type { Line, Point, Polygon } from "../../src/geometry/types.js";
import { DistanceField } from "./distance-field.js";
import { aliveIntervals, deficit, lineSource, pointOf, polygonSource, type Source, turnAtEnd } from "./elements.js";
import { checkValidity } from "./validity.js";

/** One output line or ring; a closed one repeats its first point at the end. */
export interface Chain {
  readonly points: readonly Point[];
  readonly closed: boolean;
  readonly stations?: readonly number[];
}

export interface JudgeOptions {
  /** sagitta that the arcs were flattened with, metres */
  readonly tolerance?: number;
  /** distance of alive samples along the elements, metres */
  readonly spacing?: number;
  /** alive pieces shorter than this may be left out, metres */
  readonly ignoreShorterThan?: number;
  /** samples inside each output segment */
  readonly interior?: number;
  /**
   * whether the source stands exactly at a limit (a neck of twice the distance, rings that touch): then the output may
   * touch itself, and what is a tie may be there or not
   */
  readonly ties?: boolean;
  /** neighbours nearer than this count as one point repeated, metres; default 1e-9 */
  readonly shortest?: number;
  /** whether the stations must rise along each line: not asked where the source crosses itself */
  readonly monotone?: boolean;
  /** size of the coordinates that the result went through, where larger than the source's own, metres */
  readonly coordinates?: number;
  /** how often the bound on vertices may be exceeded: collinear vertices are not output's fault */
  readonly budget?: number;
}

/** Figures of one judgement, and in words whatever is wrong: an empty list is a pass. */
export interface Judgement {
  readonly defects: string[];
  /** largest shortfall and excess of an output vertex against the asked distance, metres */
  readonly vertexNear: number;
  readonly vertexFar: number;
  /** the same for samples inside output segments */
  readonly interiorNear: number;
  readonly interiorFar: number;
  /** longest alive piece that the output leaves out, metres */
  readonly missing: number;
  readonly length: number;
  readonly expectedLength: number;
  readonly vertices: number;
}

/** Deviation of an output vertex before flattening, metres. */
export const EXACT = 1e-9;

/** Coordinates of this size cannot be nearer to what was meant than this, metres. */
function coordinateNoise(largest: number): number {
  return 4 * largest * 2 ** -52;
}

/** Judge a line's offsets: right positive. */
export function judgeLine(
  line: Line,
  distance: number,
  closed: boolean,
  chains: readonly Chain[],
  options: JudgeOptions = {},
): Judgement {
  const source = lineSource(line, distance, closed);
  const judgement = judge(source, chains, options);
  judgeStations(source, chains, options, judgement.defects);
  return judgement;
}

/** Judge the offsets of polygons: outward positive. */
export function judgePolygons(
  polygons: readonly Polygon[],
  distance: number,
  result: readonly Polygon[],
  options: JudgeOptions = {},
): Judgement {
  const source = polygonSource(polygons, distance);
  const chains: Chain[] = [];
  for (const polygon of result) {
    for (const ring of [polygon.exterior, ...polygon.holes]) chains.push({ points: ring, closed: true });
  }
  const judgement = judge(source, chains, options);
  judgeNesting(result, judgement.defects);
  return judgement;
}

/** Whether a point, relative to the origin, lies on some element of the source, whole as it was before trimming. */
function onElement(source: Source, x: number, y: number, tolerance: number): boolean {
  const s = source.field.segments;
  const r = source.radius;
  for (const i of source.field.within(x, y, r + tolerance)) {
    const o = i * 4;
    const dx = s[o + 2]! - s[o]!;
    const dy = s[o + 3]! - s[o + 1]!;
    const l = Math.hypot(dx, dy);
    const px = x - s[o]!;
    const py = y - s[o + 1]!;
    const along = (px * dx + py * dy) / l;
    const right = (px * dy - py * dx) / l;
    if (along >= -tolerance && along <= l + tolerance && Math.abs(right - r) <= tolerance) return true;
    for (const j of [i, source.previous[i]!]) {
      if (j < 0) continue;
      const turn = turnAtEnd(source, j);
      if (turn <= 0) continue;
      const e = j * 4;
      const qx = x - s[e + 2]!;
      const qy = y - s[e + 3]!;
      if (Math.abs(Math.hypot(qx, qy) - r) > tolerance) continue;
      const ex = s[e + 2]! - s[e]!;
      const ey = s[e + 3]! - s[e + 1]!;
      // angle from the first segment's right normal (ey, -ex), counter-clockwise
      let angle = Math.atan2(ey * qy + ex * qx, ey * qx - ex * qy);
      const slack = tolerance / r;
      if (angle < -slack) angle += 2 * Math.PI;
      if (angle <= turn + slack) return true;
    }
  }
  return false;
}

function judge(source: Source, chains: readonly Chain[], options: JudgeOptions): Judgement {
  const tolerance = options.tolerance ?? 1e-4;
  const interior = options.interior ?? 10;
  const r = source.radius;
  const exact = EXACT + coordinateNoise(Math.max(source.largest + r, options.coordinates ?? 0));
  const allowed = tolerance + exact;
  const { field } = source;
  const defects: string[] = [];
  const ox = field.originX;
  const oy = field.originY;

  let vertexNear = 0;
  let vertexFar = 0;
  let interiorNear = 0;
  let interiorFar = 0;
  let length = 0;
  let vertices = 0;
  const flat: number[] = [];
  const place = (chain: number, i: number, x: number, y: number): string =>
    `chain ${chain} point ${i} at ${x + ox} ${y + oy}`;
  chains.forEach((chain, c) => {
    const p = chain.points;
    const n = p.length;
    vertices += n;
    if (n < (chain.closed ? 4 : 2)) defects.push(`chain ${c} has ${n} points`);
    if (chain.closed && (p[0]?.[0] !== p[n - 1]?.[0] || p[0]?.[1] !== p[n - 1]?.[1]))
      defects.push(`chain ${c} is not closed`);
    for (let i = 0; i < n; i++) {
      const x = p[i]![0] - ox;
      const y = p[i]![1] - oy;
      if (!Number.isFinite(x) || !Number.isFinite(y)) {
        defects.push(`chain ${c} point ${i} is not finite`);
        continue;
      }
      const d = field.distance(x, y);
      vertexNear = Math.max(vertexNear, r - d);
      vertexFar = Math.max(vertexFar, d - r);
      if (r - d > exact) defects.push(`vertex nearer by ${r - d}: ${place(c, i, x, y)}`);
      if (d - r > allowed) defects.push(`vertex farther by ${d - r}: ${place(c, i, x, y)}`);
      if (!onElement(source, x, y, allowed)) defects.push(`vertex on no element: ${place(c, i, x, y)}`);
      if (source.inside !== undefined && field.odd(x, y) !== source.inside) {
        defects.push(`vertex on the wrong side of the boundary: ${place(c, i, x, y)}`);
      }
      if (i + 1 === n) continue;
      const dx = p[i + 1]![0] - p[i]![0];
      const dy = p[i + 1]![1] - p[i]![1];
      flat.push(p[i]![0], p[i]![1], p[i + 1]![0], p[i + 1]![1]);
      length += Math.hypot(dx, dy);
      for (let k = 1; k <= interior; k++) {
        const f = k / (interior + 1);
        const e = field.distance(x + f * dx, y + f * dy);
        interiorNear = Math.max(interiorNear, r - e);
        interiorFar = Math.max(interiorFar, e - r);
        if (Math.abs(e - r) > allowed) defects.push(`interior off by ${e - r}: ${place(c, i, x + f * dx, y + f * dy)}`);
      }
    }
  });

  const validity = checkValidity(chains, options.shortest ?? EXACT);
  for (const what of validity.crossings) defects.push(`crossing: ${what}`);
  for (const what of validity.overlaps) defects.push(`overlap: ${what}`);
  for (const what of validity.repeats) defects.push(`repeat: ${what}`);
  if (options.ties !== true) for (const what of validity.touches) defects.push(`touch: ${what}`);
  joints(chains, 1e-6, defects);

  // what is alive must be there
  const spacing = options.spacing ?? Math.max(r / 40, 0.02 * r);
  const finest = spacing / 50;
  const ignore = options.ignoreShorterThan ?? Math.max(1e-5 * r, 1e-6);
  const alive = aliveIntervals(source, spacing, finest);
  const output = new DistanceField(Float64Array.from(flat), ox, oy);
  let missing = 0;
  let expectedLength = 0;
  const scratch = [0, 0];
  for (const piece of alive) {
    expectedLength += piece.length;
    if (piece.length <= ignore) continue;
    const steps = Math.max(2, Math.ceil(piece.length / spacing));
    for (let k = 0; k <= steps; k++) {
      const t = piece.from + ((piece.to - piece.from) * k) / steps;
      if (deficit(source, piece.segment, piece.arc, t, scratch) > 0) continue;
      pointOf(source, piece.segment, piece.arc, t, r, scratch);
      const gap = output.distance(scratch[0]!, scratch[1]!);
      if (gap > allowed + 1e-6) {
        missing = Math.max(missing, piece.length);
        defects.push(
          `missing: ${piece.arc ? "arc at the end of" : ""} segment ${piece.segment}, alive over ${piece.length} m, ` +
            `at ${scratch[0]! + ox} ${scratch[1]! + oy}, nearest output ${gap} m`,
        );
        break;
      }
    }
  }

  // as long as it should be: a piece written twice shows here; chords are shorter than their arcs
  const slack =
    1e-3 * Math.min(1, r) + expectedLength * (tolerance / r + 1e-6) + 4 * finest + 1e-5 * source.field.count;
  if (options.ties !== true && length > expectedLength + slack)
    defects.push(`longer than alive: ${length} m, expected ${expectedLength} m`);

  let turns = 0;
  for (let i = 0; i < field.count; i++) turns += Math.max(0, turnAtEnd(source, i));
  const chord = 2 * Math.acos(Math.max(0, 1 - tolerance / r));
  const bound = (options.budget ?? 1) * (6 * field.count + (1.5 * turns) / chord + 64);
  if (vertices > bound) defects.push(`too many vertices: ${vertices}, bound ${bound}`);

  return { defects, vertexNear, vertexFar, interiorNear, interiorFar, missing, length, expectedLength, vertices };
}

/** A line that was cut in two for no reason: the end of one open chain is the start of another, or of itself. */
function joints(chains: readonly Chain[], within: number, defects: string[]): void {
  const open = chains.filter((chain) => !chain.closed && chain.points.length > 1);
  for (const [i, a] of open.entries()) {
    const end = a.points[a.points.length - 1]!;
    for (const [j, b] of open.entries()) {
      const start = b.points[0]!;
      if (Math.hypot(end[0] - start[0], end[1] - start[1]) < within)
        defects.push(`open chain ${i} ends where ${j} starts: ${end[0]} ${end[1]}`);
    }
  }
}

/** Each point's station must name a foot at the asked distance on the wanted side; stations rise along the line. */
function judgeStations(source: Source, chains: readonly Chain[], options: JudgeOptions, defects: string[]): void {
  const allowed = (options.tolerance ?? 1e-4) + EXACT + coordinateNoise(source.largest + source.radius);
  const s = source.field.segments;
  const n = source.field.count;
  const lastLength = Math.hypot(s[n * 4 - 2]! - s[n * 4 - 4]!, s[n * 4 - 1]! - s[n * 4 - 3]!);
  const total = source.stations[n - 1]! + lastLength;
  // a sum of many lengths carries some rounding
  const slack = allowed + 1e-12 * total * Math.sqrt(n);
  const loop = source.next[n - 1]! >= 0;
  for (const [c, chain] of chains.entries()) {
    const stations = chain.stations;
    if (stations === undefined) continue;
    if (stations.length !== chain.points.length) {
      defects.push(`chain ${c} has ${chain.points.length} points and ${stations.length} stations`);
      continue;
    }
    let falls = 0;
    for (let i = 0; i < stations.length; i++) {
      let station = stations[i]!;
      if (i > 0 && station < stations[i - 1]! - slack) falls++;
      // along a closed source they count on past its start
      if (loop && station > total && station <= 2 * total + slack) station -= total;
      if (!(station >= -slack && station <= total + slack)) {
        defects.push(`chain ${c} station ${i} is ${station} of ${total}`);
        continue;
      }
      const own = source.reversed ? total - station : station;
      let low = 0;
      let high = n - 1;
      while (low < high) {
        const middle = (low + high + 1) >> 1;
        if (source.stations[middle]! <= own) low = middle;
        else high = middle - 1;
      }
      const x = chain.points[i]![0] - source.field.originX;
      const y = chain.points[i]![1] - source.field.originY;
      const o = low * 4;
      const l = Math.hypot(s[o + 2]! - s[o]!, s[o + 3]! - s[o + 1]!);
      const f = Math.min(1, Math.max(0, (own - source.stations[low]!) / l));
      const fx = s[o]! + f * (s[o + 2]! - s[o]!);
      const fy = s[o + 1]! + f * (s[o + 3]! - s[o + 1]!);
      const gap = Math.abs(Math.hypot(x - fx, y - fy) - source.radius);
      if (gap > slack)
        defects.push(
          `chain ${c} station ${i}: its foot is off by ${gap} at ${chain.points[i]![0]} ${chain.points[i]![1]}`,
        );
    }
    // a loop beside an open line passes from its end to its start once; along a closed source stations count on
    if ((options.monotone ?? true) && falls > (chain.closed && !loop ? 1 : 0)) {
      defects.push(`chain ${c}: stations fall ${falls} times`);
    }
  }
}

/** Rings: exterior counter-clockwise, holes clockwise and inside their exterior, no part in another. */
function judgeNesting(polygons: readonly Polygon[], defects: string[]): void {
  const fields = polygons.map((polygon) => ringField(polygon.exterior));
  const probe = (field: DistanceField, p: Point): boolean => field.odd(p[0] - field.originX, p[1] - field.originY);
  polygons.forEach((polygon, i) => {
    if (!(area(polygon.exterior) > 0)) defects.push(`part ${i}: exterior has signed area ${area(polygon.exterior)}`);
    polygon.holes.forEach((hole, h) => {
      if (!(area(hole) < 0)) defects.push(`part ${i} hole ${h} has signed area ${area(hole)}`);
      // most, not all: a vertex that touches the exterior may fall on either side
      const inside = hole.filter((p) => probe(fields[i]!, p)).length;
      if (inside * 2 < hole.length) defects.push(`part ${i} hole ${h} is not inside its exterior`);
      polygon.holes.forEach((other, k) => {
        if (k !== h && probe(ringField(other), hole[0]!)) defects.push(`part ${i}: hole ${h} lies in hole ${k}`);
      });
    });
    polygons.forEach((other, k) => {
      if (k === i || !probe(fields[k]!, polygon.exterior[0]!)) return;
      if (!other.holes.some((hole) => probe(ringField(hole), polygon.exterior[0]!)))
        defects.push(`part ${i} lies in part ${k}`);
    });
  });
}

function ringField(ring: readonly Point[]): DistanceField {
  const flat: number[] = [];
  for (let i = 0; i < ring.length; i++) {
    const a = ring[i]!;
    const b = ring[(i + 1) % ring.length]!;
    flat.push(a[0], a[1], b[0], b[1]);
  }
  return new DistanceField(Float64Array.from(flat));
}

/** Signed area of a ring, square metres, counter-clockwise positive. */
export function area(ring: readonly Point[]): number {
  let twice = 0;
  const first = ring[0];
  if (first === undefined) return 0;
  for (let i = 0; i < ring.length; i++) {
    const a = ring[i]!;
    const b = ring[(i + 1) % ring.length]!;
    twice += (a[0] - first[0]) * (b[1] - first[1]) - (b[0] - first[0]) * (a[1] - first[1]);
  }
  return twice / 2;
}
