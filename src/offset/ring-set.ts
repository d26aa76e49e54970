import { boxRoom, buildLevels, FAN } from "./box-levels.js";

/**
 * Rings in flat arrays, their segments under a tree of boxes. Segment `k` runs from vertex `k` to vertex `next[k]`; leaf
 * `i` of the tree holds segments `4 i` to `4 i + 3`.
 *
 * @internal
 */
export interface RingSet {
  /** vertices, and so segments, of all rings together */
  readonly size: number;
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly next: Int32Array;
  /** west, south, east, north of each box, leaves first, then level by level to the root */
  readonly boxes: Float64Array;
  /** first box of each level; the last is the root */
  readonly levels: readonly number[];
}

/**
 * Rings from flat coordinates, ring after ring.
 *
 * @param ends - for each ring the number of the vertex past its last
 *
 * @internal
 */
export function ringSet(x: Float64Array, y: Float64Array, ends: readonly number[]): RingSet {
  const size = x.length;
  const next = new Int32Array(size);
  let start = 0;
  for (const end of ends) {
    for (let k = start; k + 1 < end; k++) next[k] = k + 1;
    next[end - 1] = start;
    start = end;
  }
  const boxes = new Float64Array(boxRoom(size));
  const leaves = Math.ceil(size / FAN);
  for (let leaf = 0; leaf < leaves; leaf++) {
    const last = Math.min(FAN * leaf + FAN, size);
    let west = Number.POSITIVE_INFINITY;
    let south = Number.POSITIVE_INFINITY;
    let east = Number.NEGATIVE_INFINITY;
    let north = Number.NEGATIVE_INFINITY;
    for (let k = FAN * leaf; k < last; k++) {
      for (let v = k; ; v = next[k]!) {
        if (x[v]! < west) west = x[v]!;
        if (y[v]! < south) south = y[v]!;
        if (x[v]! > east) east = x[v]!;
        if (y[v]! > north) north = y[v]!;
        if (v === next[k]) break;
      }
    }
    boxes[4 * leaf] = west;
    boxes[4 * leaf + 1] = south;
    boxes[4 * leaf + 2] = east;
    boxes[4 * leaf + 3] = north;
  }
  const levels: number[] = [];
  buildLevels(boxes, leaves, levels);
  return { size, x, y, next, boxes, levels };
}
