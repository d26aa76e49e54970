import type { Point, Polygon } from "../geometry/index.js";

/** A closed loop of an offset, counter-clockwise round ground or clockwise round a hole. @internal */
export interface Loop {
  readonly points: readonly Point[];
  /** signed area, square metres */
  readonly area: number;
}

/**
 * Put holes into the exteriors that hold them.
 *
 * @param loops - closed, none crossing another
 *
 * @internal
 */
export function nestLoops(loops: readonly Loop[]): Polygon[] {
  const exteriors = loops.filter((loop) => loop.area > 0).sort((a, b) => b.area - a.area);
  const holes = loops.filter((loop) => loop.area < 0);
  const boxes = exteriors.map((loop) => boxOf(loop.points));
  const owned: (readonly Point[])[][] = exteriors.map(() => []);
  for (const hole of holes) {
    let owner = exteriors.length === 1 ? 0 : -1;
    // the smallest one that holds it: they come by falling area
    for (let e = exteriors.length - 1; e >= 0 && owner < 0; e--) {
      if (exteriors[e]!.area < -hole.area) continue;
      if (holds(exteriors[e]!.points, boxes[e]!, hole.points)) owner = e;
    }
    if (owner >= 0) owned[owner]!.push(hole.points);
  }
  return exteriors.map((loop, e) => ({ exterior: loop.points, holes: owned[e]! }));
}

type Box = readonly [west: number, south: number, east: number, north: number];

function boxOf(points: readonly Point[]): Box {
  let west = Number.POSITIVE_INFINITY;
  let south = Number.POSITIVE_INFINITY;
  let east = Number.NEGATIVE_INFINITY;
  let north = Number.NEGATIVE_INFINITY;
  for (const [x, y] of points) {
    west = Math.min(west, x);
    south = Math.min(south, y);
    east = Math.max(east, x);
    north = Math.max(north, y);
  }
  return [west, south, east, north];
}

// loops that do not cross may still touch in a vertex: most of a few points decide
function holds(ring: readonly Point[], box: Box, inner: readonly Point[]): boolean {
  let inside = 0;
  const step = Math.max(1, Math.floor(inner.length / 5));
  let asked = 0;
  for (let i = 0; i + 1 < inner.length && asked < 5; i += step) {
    const p = inner[i]!;
    const q = inner[i + 1]!;
    const x = (p[0] + q[0]) / 2;
    const y = (p[1] + q[1]) / 2;
    asked++;
    if (x < box[0] || x > box[2] || y < box[1] || y > box[3]) continue;
    if (contains(ring, x, y)) inside++;
  }
  return 2 * inside > asked;
}

function contains(ring: readonly Point[], x: number, y: number): boolean {
  let inside = false;
  for (let i = 1; i < ring.length; i++) {
    const a = ring[i - 1]!;
    const b = ring[i]!;
    if (a[1] > y === b[1] > y) continue;
    const cross = (a[0] - x) * (b[1] - y) - (b[0] - x) * (a[1] - y);
    if (cross > 0 === b[1] > a[1]) inside = !inside;
  }
  return inside;
}
