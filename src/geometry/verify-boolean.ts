import type { BooleanKind } from "./boolean.js";
import { boundsOf } from "./bounds.js";
import { pointInPolygon } from "./point-in-polygon.js";
import { SegmentTree } from "./segment-tree.js";
import type { Bounds, Point, Polygon, Ring } from "./types.js";

// points tried at the most, spread over all edges
const SAMPLES = 256;

/**
 * Whether the result of a boolean operation agrees with its input at points on both sides of the middles of edges, of
 * the input and of the result. It finds what an area identity finds (a part lost, filled or doubled), without a second
 * run of the engine, and says nothing about parts thinner than twice the room.
 *
 * @param room - distance of the points from their edges, metres; points that near to another edge are passed over
 *
 * @internal
 */
export function resultHolds(
  kind: BooleanKind,
  a: readonly Polygon[],
  b: readonly Polygon[],
  result: readonly Polygon[],
  room: number,
): boolean {
  const sets = [boxed(a), boxed(b), boxed(result)] as const;
  const rings = [...a, ...b, ...result].flatMap((polygon) => [polygon.exterior, ...polygon.holes]);
  let edges = 0;
  for (const ring of rings) edges += ring.length;
  const tree = treeOf(rings, edges);
  // a step prime to most periods, so that the samples fall on all kinds of edges
  const step = Math.max(1, Math.floor((2 * edges) / SAMPLES) | 1);
  let count = 0;
  for (const ring of rings) {
    for (let i = 0; i < ring.length; i++) {
      if (count++ % step !== 0) continue;
      const p = ring[i]!;
      const q = ring[i + 1 === ring.length ? 0 : i + 1]!;
      const ex = q[0] - p[0];
      const ey = q[1] - p[1];
      const length = Math.hypot(ex, ey);
      if (length < 4 * room) continue;
      for (let sign = -2; sign <= 2; sign += 4) {
        // not the very middle: input is often symmetric
        const point: Point = [
          p[0] + 0.47 * ex + (sign * room * ey) / length,
          p[1] + 0.47 * ey - (sign * room * ex) / length,
        ];
        tree.search(point[0], point[1]);
        if (tree.gap <= room * room) continue;
        if (expected(kind, inAny(sets[0], point), inAny(sets[1], point)) !== inAny(sets[2], point)) return false;
      }
    }
  }
  return true;
}

type Boxed = readonly { readonly polygon: Polygon; readonly box: Bounds }[];

function boxed(polygons: readonly Polygon[]): Boxed {
  return polygons.map((polygon) => ({ polygon, box: boundsOf(polygon.exterior) }));
}

function expected(kind: BooleanKind, inA: boolean, inB: boolean): boolean {
  switch (kind) {
    case "union":
      return inA || inB;
    case "intersection":
      return inA && inB;
    case "difference":
      return inA && !inB;
    case "symmetricDifference":
      return inA !== inB;
  }
}

function inAny(set: Boxed, p: Point): boolean {
  for (const { polygon, box } of set) {
    if (p[0] < box.minX || p[0] > box.maxX || p[1] < box.minY || p[1] > box.maxY) continue;
    if (pointInPolygon(polygon, p) === "inside") return true;
  }
  return false;
}

/** The edges of all rings, ready to be asked how near the nearest is. */
function treeOf(rings: readonly Ring[], edges: number): SegmentTree {
  const ends = new Float64Array(4 * edges);
  let k = 0;
  for (const ring of rings) {
    for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
      ends[k++] = ring[j]![0];
      ends[k++] = ring[j]![1];
      ends[k++] = ring[i]![0];
      ends[k++] = ring[i]![1];
    }
  }
  return new SegmentTree(ends);
}
