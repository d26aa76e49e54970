import { SegmentGrid } from "./segment-grid.js";
import type { ReducedRing } from "./simplify.js";

/** A segment that can't stay: index of its ring, and of the corner it begins at. */
export interface Conflict {
  /** index of the ring */
  readonly ring: number;
  /** index of the segment on it */
  readonly segment: number;
}

/**
 * Segments that can't stay as they are: those that cross or overlap another, fold back, go through another ring in a
 * common corner, or lie on the wrong side of a neighbour. Only segments that leave corners out are named: rings as
 * traced agree with one another.
 *
 * Side tests are exact: corners are whole numbers, and products of differences stay below 2^53 for any record up to
 * 6000 km across at cells of 0.1 m.
 *
 * @param rings - the rings
 * @returns each segment in conflict once
 */
export function findConflicts(rings: readonly ReducedRing[]): Conflict[] {
  const grid = new SegmentGrid(rings);
  const loose = looseSegments(rings, grid);
  const flagged = new Set<number>();
  const flag = (segment: number): void => {
    if (loose[segment] === 1) flagged.add(segment);
  };
  grid.eachPair((s, t) => {
    const before = grid.previous[s]!;
    const other = grid.previous[t]!;
    if ((loose[s]! | loose[t]! | loose[before]! | loose[other]!) === 0 || !meetBadly(grid, s, t)) return;
    for (const segment of [s, t, before, other]) flag(segment);
  });
  for (let ring = 0; ring < rings.length; ring++) {
    const neighbour = grid.westOf(ring);
    const hole = rings[ring]!.twiceArea < 0;
    const toEast = neighbour >= 0 && grid.y1[neighbour]! < grid.y0[neighbour]!;
    // ground lies to the left of every segment: just west of a hole, and of nothing else, there must be ground of its part
    if (hole ? toEast && rings[grid.ring[neighbour]!]!.part === rings[ring]!.part : !toEast) continue;
    const count = flagged.size;
    grid.eachOf(ring, flag);
    if (neighbour >= 0) grid.eachOf(grid.ring[neighbour]!, flag);
    // neither left anything out: the one that belongs here did, and lies elsewhere now
    if (flagged.size === count) rings.forEach((other, i) => other.part === rings[ring]!.part && grid.eachOf(i, flag));
    if (flagged.size === 0) for (let s = 0; s < loose.length; s++) flag(s);
  }
  return [...flagged].map((segment) => ({ ring: grid.ring[segment]!, segment: grid.indexOf(segment) }));
}

/** 1 for each segment that leaves corners out. */
function looseSegments(rings: readonly ReducedRing[], grid: SegmentGrid): Uint8Array {
  const loose = new Uint8Array(grid.ring.length);
  for (let s = 0; s < loose.length; s++) {
    const { sources, sourceCount } = rings[grid.ring[s]!]!;
    const from = sources[grid.indexOf(s)]!;
    const to = sources[grid.indexOf(grid.next[s]!)]!;
    loose[s] = (to - from + sourceCount) % sourceCount === 1 ? 0 : 1;
  }
  return loose;
}

/** Whether two segments meet other than end to end as neighbours, or in a corner where their rings only touch. */
function meetBadly(g: SegmentGrid, s: number, t: number): boolean {
  if (g.next[s] === t) return foldsBack(g, s, t);
  if (g.next[t] === s) return foldsBack(g, t, s);
  const abc = side(g, s, g.x0[t]!, g.y0[t]!);
  const abd = side(g, s, g.x1[t]!, g.y1[t]!);
  if (abc * abd > 0) return false;
  const cda = side(g, t, g.x0[s]!, g.y0[s]!);
  const cdb = side(g, t, g.x1[s]!, g.y1[s]!);
  if (cda * cdb > 0) return false;
  if (abc !== 0 && abd !== 0 && cda !== 0 && cdb !== 0) return true;
  if (abc === 0 && abd === 0 && apart(g, s, t)) return false;
  // they touch: in a corner of both, or badly; the corner is looked at where both segments begin
  const sharesStart = same(g, s, 0, t, 0);
  const sharesAny = sharesStart || same(g, s, 0, t, 1) || same(g, s, 1, t, 0) || same(g, s, 1, t, 1);
  if (!sharesAny) return true;
  if (abc === 0 && abd === 0 && overlap(g, s, t)) return true;
  return sharesStart && crossInCorner(g, s, t);
}

/** Side of a point: positive to the left of the segment. */
function side(g: SegmentGrid, s: number, x: number, y: number): number {
  return (g.x1[s]! - g.x0[s]!) * (y - g.y0[s]!) - (g.y1[s]! - g.y0[s]!) * (x - g.x0[s]!);
}

function same(g: SegmentGrid, s: number, sEnd: 0 | 1, t: number, tEnd: 0 | 1): boolean {
  const sx = sEnd === 0 ? g.x0[s] : g.x1[s];
  const sy = sEnd === 0 ? g.y0[s] : g.y1[s];
  return sx === (tEnd === 0 ? g.x0[t] : g.x1[t]) && sy === (tEnd === 0 ? g.y0[t] : g.y1[t]);
}

function foldsBack(g: SegmentGrid, s: number, t: number): boolean {
  if (side(g, s, g.x1[t]!, g.y1[t]!) !== 0) return false;
  const dot = (g.x1[s]! - g.x0[s]!) * (g.x1[t]! - g.x0[t]!) + (g.y1[s]! - g.y0[s]!) * (g.y1[t]! - g.y0[t]!);
  return dot < 0;
}

/** Whether the boxes of two segments on one line do not meet. */
function apart(g: SegmentGrid, s: number, t: number): boolean {
  return (
    Math.max(g.x0[s]!, g.x1[s]!) < Math.min(g.x0[t]!, g.x1[t]!) ||
    Math.max(g.x0[t]!, g.x1[t]!) < Math.min(g.x0[s]!, g.x1[s]!) ||
    Math.max(g.y0[s]!, g.y1[s]!) < Math.min(g.y0[t]!, g.y1[t]!) ||
    Math.max(g.y0[t]!, g.y1[t]!) < Math.min(g.y0[s]!, g.y1[s]!)
  );
}

/** Whether two segments on one line share more than a point. */
function overlap(g: SegmentGrid, s: number, t: number): boolean {
  const x = Math.min(Math.max(g.x0[s]!, g.x1[s]!), Math.max(g.x0[t]!, g.x1[t]!));
  const lowX = Math.max(Math.min(g.x0[s]!, g.x1[s]!), Math.min(g.x0[t]!, g.x1[t]!));
  const y = Math.min(Math.max(g.y0[s]!, g.y1[s]!), Math.max(g.y0[t]!, g.y1[t]!));
  const lowY = Math.max(Math.min(g.y0[s]!, g.y1[s]!), Math.min(g.y0[t]!, g.y1[t]!));
  return x > lowX || y > lowY;
}

/** Whether two rings with a common corner, where s and t begin, go through one another there. */
function crossInCorner(g: SegmentGrid, s: number, t: number): boolean {
  const before = g.previous[s]!;
  const other = g.previous[t]!;
  const ux = g.x1[s]! - g.x0[s]!;
  const uy = g.y1[s]! - g.y0[s]!;
  const wx = g.x0[before]! - g.x0[s]!;
  const wy = g.y0[before]! - g.y0[s]!;
  const outward = inSector(ux, uy, wx, wy, g.x1[t]! - g.x0[t]!, g.y1[t]! - g.y0[t]!);
  const inward = inSector(ux, uy, wx, wy, g.x0[other]! - g.x0[t]!, g.y0[other]! - g.y0[t]!);
  return outward !== inward;
}

/** Whether direction d lies in the sector from u counter-clockwise to w; no two of them are equal. */
function inSector(ux: number, uy: number, wx: number, wy: number, dx: number, dy: number): boolean {
  const turn = ux * wy - uy * wx;
  const fromU = ux * dy - uy * dx;
  const toW = dx * wy - dy * wx;
  return turn >= 0 ? fromU > 0 && toW > 0 : !(toW < 0 && fromU < 0);
}
