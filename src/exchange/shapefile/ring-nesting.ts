import { orient2d } from "robust-predicates";
import { nestByPairs } from "./ring-pairs.js";

/** Which of several rings lies in which. */
export interface RingNesting {
  /** the innermost ring that contains each, -1 for none */
  readonly parents: Int32Array;
  /** how many rings contain each; an even number is an exterior, an odd one a hole */
  readonly depths: Int32Array;
}

/**
 * Which ring lies in which: the few rings that most shapes have are compared in pairs, by their boxes first; where that is much
 * work, a sweep from west to east takes n log n whatever the rings, however deep.
 *
 * Winding plays no part. Decided exactly for rings that do not cross, also where they touch or share sides; for rings that
 * cross there is an answer, but it means little.
 *
 * @param xy - `[x, y, ...]` of all rings
 * @param starts - index of each ring's first vertex, and behind the last ring the number of vertices; rings open or closed
 * @param areas - signed area of each ring, counter-clockwise positive: the sign is used, and to order rings that coincide the size
 * @see the assignment of holes by the edge below the leftmost vertex, de Berg et al., Computational Geometry, 3rd ed., section 2.3
 */
export function nestRings(xy: Float64Array, starts: Int32Array, areas: Float64Array): RingNesting {
  return nestByPairs(xy, starts, areas) ?? nestBySweep(xy, starts, areas);
}

/** By the sweep alone. */
export function nestBySweep(xy: Float64Array, starts: Int32Array, areas: Float64Array): RingNesting {
  const rings = areas.length;
  const parents = new Int32Array(rings).fill(-1);
  const depths = new Int32Array(rings);
  const edges = edgesOf(xy, starts, areas);
  const { left, right, ring, above } = edges;
  const count = ring.length;
  const status = new Status(xy, edges, areas);
  const inserts = indices(count).sort((a, b) => {
    const i = 2 * left[a]!;
    const j = 2 * left[b]!;
    return xy[i]! - xy[j]! || xy[i + 1]! - xy[j + 1]! || status.order(a, b);
  });
  const removals = indices(count).sort((a, b) => xy[2 * right[a]!]! - xy[2 * right[b]!]!);
  const seen = new Uint8Array(rings);
  let gone = 0;
  for (let k = 0; k < count; k++) {
    const edge = inserts[k]!;
    const x = xy[2 * left[edge]!]!;
    while (gone < count && xy[2 * right[removals[gone]!]!]! <= x) status.remove(removals[gone++]!);
    const below = status.insert(edge);
    const own = ring[edge]!;
    if (seen[own] === 1) continue;
    // the first edge of a ring to come is the lowest one at its western end: what is right below it contains the ring
    seen[own] = 1;
    if (below < 0) continue;
    const other = ring[below]!;
    const parent = above[below] === 1 ? other : parents[other]!;
    parents[own] = parent;
    depths[own] = parent < 0 ? 0 : depths[parent]! + 1;
  }
  return { parents, depths };
}

/** Sides that are not upright, from west to east. */
interface Edges {
  readonly left: Int32Array;
  readonly right: Int32Array;
  readonly ring: Int32Array;
  /** 1 where the ring's inside is north of the side */
  readonly above: Uint8Array;
}

function edgesOf(xy: Float64Array, starts: Int32Array, areas: Float64Array): Edges {
  const most = xy.length / 2;
  const left = new Int32Array(most);
  const right = new Int32Array(most);
  const ring = new Int32Array(most);
  const above = new Uint8Array(most);
  let n = 0;
  for (let r = 0; r < areas.length; r++) {
    const from = starts[r]!;
    const to = starts[r + 1]!;
    const area = areas[r]!;
    for (let j = to - 1, i = from; i < to; j = i++) {
      const xj = xy[2 * j]!;
      const xi = xy[2 * i]!;
      if (xj === xi) continue;
      const eastward = xj < xi;
      left[n] = eastward ? j : i;
      right[n] = eastward ? i : j;
      ring[n] = r;
      above[n++] = (eastward ? area > 0 : area < 0) ? 1 : 0;
    }
  }
  return {
    left: left.subarray(0, n),
    right: right.subarray(0, n),
    ring: ring.subarray(0, n),
    above: above.subarray(0, n),
  };
}

function indices(count: number): Int32Array {
  const list = new Int32Array(count);
  for (let i = 0; i < count; i++) list[i] = i;
  return list;
}

/**
 * Sides under the sweep from south to north: a treap, whose priorities come from the side's number. Sides are taken out by
 * their links, without a comparison, so that even rings that cross leave it whole.
 *
 * @see Seidel and Aragon 1996, Randomized search trees
 */
class Status {
  readonly #xy: Float64Array;
  readonly #edges: Edges;
  readonly #areas: Float64Array;
  readonly #low: Int32Array;
  readonly #high: Int32Array;
  readonly #up: Int32Array;
  #root = -1;

  constructor(xy: Float64Array, edges: Edges, areas: Float64Array) {
    this.#xy = xy;
    this.#edges = edges;
    this.#areas = areas;
    const n = edges.ring.length;
    this.#low = new Int32Array(n).fill(-1);
    this.#high = new Int32Array(n).fill(-1);
    this.#up = new Int32Array(n).fill(-1);
  }

  /** Below 0 where side `e`, which starts on or beyond the western end of `f`, lies south of it. */
  order(e: number, f: number): number {
    const xy = this.#xy;
    const { left, right, ring, above } = this.#edges;
    const a = 2 * left[f]!;
    const b = 2 * right[f]!;
    const p = 2 * left[e]!;
    const q = 2 * right[e]!;
    // positive is to the right of west to east: south
    const start = orient2d(xy[a]!, xy[a + 1]!, xy[b]!, xy[b + 1]!, xy[p]!, xy[p + 1]!);
    if (start !== 0) return -start;
    const end = orient2d(xy[a]!, xy[a + 1]!, xy[b]!, xy[b + 1]!, xy[q]!, xy[q + 1]!);
    if (end !== 0) return -end;
    // on each other: grounds that lie side by side come one after the other, else the larger one is outside
    if (above[e] !== above[f]) return above[e]! - above[f]!;
    const r = ring[e]!;
    const s = ring[f]!;
    const outer = Math.abs(this.#areas[s]!) - Math.abs(this.#areas[r]!) || r - s;
    return outer === 0 ? e - f : above[e] === 1 ? outer : -outer;
  }

  /** Put a side in; gives the one right below it, -1 for none. */
  insert(edge: number): number {
    let below = -1;
    let at = this.#root;
    let parent = -1;
    let north = false;
    while (at >= 0) {
      parent = at;
      north = this.order(edge, at) > 0;
      if (north) below = at;
      at = north ? this.#high[at]! : this.#low[at]!;
    }
    this.#up[edge] = parent;
    if (parent < 0) this.#root = edge;
    else if (north) this.#high[parent] = edge;
    else this.#low[parent] = edge;
    const priority = priorityOf(edge);
    while (this.#up[edge] >= 0 && priorityOf(this.#up[edge]) < priority) this.#rise(edge);
    return below;
  }

  remove(edge: number): void {
    for (;;) {
      const low = this.#low[edge]!;
      const high = this.#high[edge]!;
      if (low < 0 || high < 0) {
        this.#replace(edge, low < 0 ? high : low);
        return;
      }
      this.#rise(priorityOf(low) > priorityOf(high) ? low : high);
    }
  }

  /** Turn a node over its parent. */
  #rise(node: number): void {
    const parent = this.#up[node]!;
    const [near, far] = this.#low[parent] === node ? [this.#low, this.#high] : [this.#high, this.#low];
    const moved = far[node]!;
    near[parent] = moved;
    if (moved >= 0) this.#up[moved] = parent;
    this.#replace(parent, node);
    far[node] = parent;
    this.#up[parent] = node;
  }

  /** Let another node take a node's place below its parent. */
  #replace(node: number, by: number): void {
    const up = this.#up[node]!;
    if (by >= 0) this.#up[by] = up;
    if (up < 0) this.#root = by;
    else if (this.#low[up] === node) this.#low[up] = by;
    else this.#high[up] = by;
  }
}

/** A number that looks like chance and is the same in every run (the finisher of MurmurHash3, A. Appleby, public domain). */
function priorityOf(edge: number): number {
  let h = edge + 1;
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return (h ^ (h >>> 16)) >>> 0;
}
