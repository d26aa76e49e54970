import { orient2d } from "robust-predicates";
import type { RingNesting } from "./ring-nesting.js";

/** corners looked at for each corner of the shape, at most: the sweep costs as much as some tens */
const WORK = 16;
/** rings that are compared in pairs, at most */
const MOST_RINGS = 64;

/**
 * Which ring lies in which, by comparing them in pairs.
 *
 * @returns undefined where that is too much work, or where a ring has no corner off the sides of another: the sweep decides then
 */
export function nestByPairs(xy: Float64Array, starts: Int32Array, areas: Float64Array): RingNesting | undefined {
  const rings = areas.length;
  if (rings > MOST_RINGS) return undefined;
  const boxes = new Float64Array(4 * rings);
  for (let r = 0; r < rings; r++) boxOf(xy, starts[r]!, starts[r + 1]!, boxes, 4 * r);
  const parents = new Int32Array(rings).fill(-1);
  const depths = new Int32Array(rings);
  let left = WORK * (starts[rings]! - starts[0]!);
  for (let inner = 0; inner < rings; inner++) {
    for (let outer = 0; outer < rings; outer++) {
      if (outer === inner || !holdsBox(boxes, 4 * outer, 4 * inner)) continue;
      left -= starts[outer + 1]! - starts[outer]!;
      if (left < 0) return undefined;
      const inside = holdsRing(xy, starts, outer, inner);
      if (inside === undefined) return undefined;
      if (!inside) continue;
      depths[inner]!++;
      const parent = parents[inner]!;
      if (parent < 0 || Math.abs(areas[outer]!) < Math.abs(areas[parent]!)) parents[inner] = outer;
    }
  }
  // rings that cross: the answer has to be a tree all the same
  for (let r = 0; r < rings; r++) {
    const parent = parents[r]!;
    if (depths[r] !== (parent < 0 ? 0 : depths[parent]! + 1)) return undefined;
  }
  return { parents, depths };
}

function boxOf(xy: Float64Array, from: number, to: number, boxes: Float64Array, at: number): void {
  let minX = Number.POSITIVE_INFINITY;
  let minY = Number.POSITIVE_INFINITY;
  let maxX = Number.NEGATIVE_INFINITY;
  let maxY = Number.NEGATIVE_INFINITY;
  for (let i = 2 * from; i < 2 * to; i += 2) {
    const x = xy[i]!;
    const y = xy[i + 1]!;
    if (x < minX) minX = x;
    if (x > maxX) maxX = x;
    if (y < minY) minY = y;
    if (y > maxY) maxY = y;
  }
  boxes[at] = minX;
  boxes[at + 1] = minY;
  boxes[at + 2] = maxX;
  boxes[at + 3] = maxY;
}

function holdsBox(boxes: Float64Array, outer: number, inner: number): boolean {
  return (
    boxes[inner]! >= boxes[outer]! &&
    boxes[inner + 1]! >= boxes[outer + 1]! &&
    boxes[inner + 2]! <= boxes[outer + 2]! &&
    boxes[inner + 3]! <= boxes[outer + 3]!
  );
}

/** By a corner that is off the other's sides; undefined where the first few are all on them. */
function holdsRing(xy: Float64Array, starts: Int32Array, outer: number, inner: number): boolean | undefined {
  const from = starts[inner]!;
  const to = Math.min(starts[inner + 1]!, from + 4);
  for (let i = from; i < to; i++) {
    const odd = crossings(xy, starts[outer]!, starts[outer + 1]!, xy[2 * i]!, xy[2 * i + 1]!);
    if (odd >= 0) return odd === 1;
  }
  return undefined;
}

/** 1 where a ring is crossed an odd number of times from a point to the east, else 0; -1 for a point on a side. Exact. */
function crossings(xy: Float64Array, from: number, to: number, x: number, y: number): number {
  // hot
  let odd = 0;
  for (let j = to - 1, i = from; i < to; j = i++) {
    const ay = xy[2 * j + 1]!;
    const by = xy[2 * i + 1]!;
    if (ay > y && by > y) continue;
    if (ay < y && by < y) continue;
    const ax = xy[2 * j]!;
    const bx = xy[2 * i]!;
    if (ay === by) {
      // along the ray
      if (x >= Math.min(ax, bx) && x <= Math.max(ax, bx)) return -1;
      continue;
    }
    const s = orient2d(ax, ay, bx, by, x, y);
    if (s === 0) return -1;
    // half open, so that a corner counts once
    if (ay > y !== by > y && s < 0 === by > ay) odd ^= 1;
  }
  return odd;
}
