import type { Line, Polygon } from "../../src/geometry/types.js";
import { DistanceField } from "./distance-field.js";
import { aliveIntervals, deficit, lineSource, pointOf, polygonSource, type Source, turnAtEnd } from "./elements.js";
import { judgeNesting } from "./judge-nesting.js";
import { judgeStations } from "./judge-stations.js";
import { type Chain, coordinateNoise, EXACT, type JudgeOptions, type Judgement } from "./judgement.js";
import { checkValidity } from "./validity.js";

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

/** A turn this near to half a turn is a straight way back, radians: county 51041 has one of 1e-14. */
const REVERSAL = 1e-12;

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
      let turn = turnAtEnd(source, j);
      // a spike whose arms cross over by a hair turns the wrong way, and has its tip all the same
      if (turn < REVERSAL - Math.PI) turn = Math.PI;
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
  const exact = (options.exact ?? EXACT) + coordinateNoise(Math.max(source.largest + r, options.coordinates ?? 0));
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

  // as long as it should be: a piece written twice shows here; chords are shorter than their arcs, and alive pieces shorter
  // than the finest step may have been overlooked, on a few elements of a noisy source
  const overlooked = finest * (4 + 1e-3 * source.field.count);
  const slack =
    1e-3 * Math.min(1, r) + expectedLength * (tolerance / r + 1e-6) + overlooked + 1e-5 * source.field.count;
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
