import type { Line, Point, Polygon, Ring } from "../../src/geometry/types.js";
import { DistanceField } from "./distance-field.js";

/**
 * What an offset is made of before anything is trimmed: the shifted segments and the arcs about the vertices that are
 * convex on the wanted side. `radius` is positive, to the right of each directed segment.
 */
export interface Source {
  readonly field: DistanceField;
  readonly radius: number;
  /** closed chains of directed segments: index of the next segment, -1 behind the last one of an open line */
  readonly next: Int32Array;
  readonly previous: Int32Array;
  /** station of each segment's start along the source as given, and whether the segment runs against it */
  readonly stations: Float64Array;
  readonly reversed: boolean;
  /** true inside, for a polygon: the output must lie there (inward) or outside (outward); none for a line */
  readonly inside: boolean | undefined;
  /** largest coordinate as given: sets how fine a coordinate can be */
  readonly largest: number;
}

function withoutDuplicates(points: readonly Point[], closed: boolean): Point[] {
  const out: Point[] = [];
  for (const p of points) {
    const last = out[out.length - 1];
    if (last === undefined || last[0] !== p[0] || last[1] !== p[1]) out.push(p);
  }
  if (closed) {
    while (out.length > 1 && out[0]![0] === out[out.length - 1]![0] && out[0]![1] === out[out.length - 1]![1])
      out.pop();
  }
  return out;
}

function shoelace(ring: readonly Point[]): number {
  let twice = 0;
  const [ox, oy] = ring[0]!;
  for (let i = 0; i < ring.length; i++) {
    const a = ring[i]!;
    const b = ring[(i + 1) % ring.length]!;
    twice += (a[0] - ox) * (b[1] - oy) - (b[0] - ox) * (a[1] - oy);
  }
  return twice / 2;
}

interface Chain {
  readonly points: readonly Point[];
  readonly closed: boolean;
}

function build(chains: readonly Chain[], radius: number, inside: boolean | undefined, reversed: boolean): Source {
  const flat: number[] = [];
  const next: number[] = [];
  const previous: number[] = [];
  const stations: number[] = [];
  let largest = 0;
  for (const chain of chains) {
    const first = next.length;
    const n = chain.points.length - (chain.closed ? 0 : 1);
    let station = 0;
    for (let i = 0; i < n; i++) {
      const a = chain.points[i]!;
      const b = chain.points[(i + 1) % chain.points.length]!;
      flat.push(a[0], a[1], b[0], b[1]);
      next.push(i + 1 < n ? first + i + 1 : chain.closed ? first : -1);
      previous.push(i > 0 ? first + i - 1 : chain.closed ? first + n - 1 : -1);
      stations.push(station);
      station += Math.hypot(b[0] - a[0], b[1] - a[1]);
      largest = Math.max(largest, Math.abs(a[0]), Math.abs(a[1]), Math.abs(b[0]), Math.abs(b[1]));
    }
  }
  return {
    field: new DistanceField(Float64Array.from(flat)),
    radius,
    next: Int32Array.from(next),
    previous: Int32Array.from(previous),
    stations: Float64Array.from(stations),
    reversed,
    inside,
    largest,
  };
}

/** A line as a source; right positive, so a negative distance turns the line round. */
export function lineSource(line: Line, distance: number, closed: boolean): Source {
  const points = withoutDuplicates(line, closed);
  const reversed = distance < 0;
  // a loop keeps its start when it is turned round, so that stations count from the same point
  const turned = closed ? [points[0]!, ...points.slice(1).reverse()] : [...points].reverse();
  return build([{ points: reversed ? turned : points, closed }], Math.abs(distance), undefined, reversed);
}

/** Polygons as a source; outward positive. Rings are turned so that the wanted side is on their right. */
export function polygonSource(polygons: readonly Polygon[], distance: number): Source {
  const chains: Chain[] = [];
  const inward = distance < 0;
  const add = (ring: Ring, hole: boolean): void => {
    const points = withoutDuplicates(ring, true);
    if (points.length < 2) return;
    // counter-clockwise has the inside on its left, so its right looks outward
    const counterClockwise = shoelace(points) > 0;
    const wanted = hole === inward;
    chains.push({ points: counterClockwise === wanted ? points : [...points].reverse(), closed: true });
  };
  for (const polygon of polygons) {
    add(polygon.exterior, false);
    for (const hole of polygon.holes) add(hole, true);
  }
  return build(chains, Math.abs(distance), inward, false);
}

/** A piece of an element, by its parameter (metres along a segment, radians about a vertex), in which it is alive. */
export interface AliveInterval {
  readonly segment: number;
  readonly arc: boolean;
  readonly from: number;
  readonly to: number;
  /** metres of the offset */
  readonly length: number;
}

/** Turn at a segment's end, radians, positive where the right side is convex (a left turn); an exact reversal is pi. */
export function turnAtEnd(source: Source, segment: number): number {
  const after = source.next[segment]!;
  if (after < 0) return 0;
  const s = source.field.segments;
  const i = segment * 4;
  const j = after * 4;
  const ux = s[i + 2]! - s[i]!;
  const uy = s[i + 3]! - s[i + 1]!;
  const vx = s[j + 2]! - s[j]!;
  const vy = s[j + 3]! - s[j + 1]!;
  const cross = ux * vy - uy * vx;
  const dot = ux * vx + uy * vy;
  return cross === 0 && dot < 0 ? Math.PI : Math.atan2(cross, dot);
}

/** Point of an element at a distance from its foot, relative to the field's origin, into `out`. */
export function pointOf(source: Source, segment: number, arc: boolean, t: number, radius: number, out: number[]): void {
  const s = source.field.segments;
  const o = segment * 4;
  const dx = s[o + 2]! - s[o]!;
  const dy = s[o + 3]! - s[o + 1]!;
  const l = Math.hypot(dx, dy);
  const nx = dy / l;
  const ny = -dx / l;
  if (arc) {
    const c = Math.cos(t);
    const d = Math.sin(t);
    out[0] = s[o + 2]! + radius * (nx * c - ny * d);
    out[1] = s[o + 3]! + radius * (nx * d + ny * c);
    return;
  }
  out[0] = s[o]! + (dx / l) * t + radius * nx;
  out[1] = s[o + 1]! + (dy / l) * t + radius * ny;
}

/** How much later than the asked distance a sample must die to count as surely alive, metres. */
export const GROWTH = 1e-7;

/** Noise of a distance near the source's origin, metres: a shallow joint of 1e-5 radians moves less than this. */
const ROUNDING = 1e-10;

/**
 * How dead a point of an element is at a slightly larger distance than the asked one, metres; 0 when it is surely alive.
 * The discs about p(t, d) as d grows are nested, so what lives at the larger distance lived at every smaller one: ties
 * (a neck of exactly twice the distance) count as unsure and are not asked for.
 */
export function deficit(source: Source, segment: number, arc: boolean, t: number, scratch: number[]): number {
  const grown = source.radius + GROWTH;
  pointOf(source, segment, arc, t, grown, scratch);
  const distance = source.field.distance(scratch[0]!, scratch[1]!, grown);
  return distance < grown - ROUNDING ? grown - distance : 0;
}

function surelyAlive(source: Source, segment: number, arc: boolean, t: number, scratch: number[]): boolean {
  if (deficit(source, segment, arc, t, scratch) > 0) return false;
  return source.inside === undefined || source.field.odd(scratch[0]!, scratch[1]!) === source.inside;
}

/**
 * Alive intervals of all elements. The distance to the source changes by no more than the way travelled, so a sample
 * that is dead by some metres is followed by the next one as far on: an alive interval longer than `finest` cannot hide.
 * Alive samples are `spacing` apart.
 */
export function aliveIntervals(source: Source, spacing: number, finest: number): AliveInterval[] {
  const out: AliveInterval[] = [];
  const s = source.field.segments;
  const scratch = [0, 0];
  const element = (segment: number, arc: boolean, extent: number, scale: number): void => {
    const end = extent * scale;
    const alive = (t: number): boolean => surelyAlive(source, segment, arc, t / scale, scratch);
    const change = (from: number, to: number, aliveAtFrom: boolean): number => {
      let a = from;
      let b = to;
      while (b - a > 1e-9) {
        const middle = (a + b) / 2;
        if (middle === a || middle === b) break;
        if (alive(middle) === aliveAtFrom) a = middle;
        else b = middle;
      }
      return aliveAtFrom ? a : b;
    };
    const push = (from: number, to: number): void => {
      if (to > from) out.push({ segment, arc, from: from / scale, to: to / scale, length: to - from });
    };
    let start = -1;
    let before = 0;
    const step = Math.min(spacing, Math.max(finest, end / 4));
    for (let t = 0; ; ) {
      const dead = deficit(source, segment, arc, t / scale, scratch);
      const lives =
        dead === 0 && (source.inside === undefined || source.field.odd(scratch[0]!, scratch[1]!) === source.inside);
      if (lives && start < 0) start = t === 0 ? 0 : change(before, t, false);
      if (!lives && start >= 0) {
        push(start, change(before, t, true));
        start = -1;
      }
      if (t >= end) break;
      before = t;
      t = Math.min(end, t + (dead > 0 ? Math.max(dead, finest) : step));
    }
    if (start >= 0) push(start, end);
  };
  for (let i = 0; i < source.field.count; i++) {
    element(i, false, Math.hypot(s[i * 4 + 2]! - s[i * 4]!, s[i * 4 + 3]! - s[i * 4 + 1]!), 1);
    const turn = turnAtEnd(source, i);
    // an arc of less than a tenth of a micrometre is nothing to look for
    if (turn * source.radius > 1e-7) element(i, true, turn, source.radius);
  }
  return out;
}
