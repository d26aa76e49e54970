import { boxRoom, buildLevels, FAN } from "./box-levels.js";
import type { FlatSource } from "./flat-source.js";

/** Numbers a killer takes in {@link Killers.data}. */
export const STRIDE = 8;
/** Numbers a leaf takes in {@link Killers.chords}. */
export const CHORD = 6;

/**
 * The features that may kill, in chain order, under an implicit 4-ary tree of boxes.
 *
 * @internal
 */
export class Killers {
  count = 0;
  /** number of leaves: leaf `i` holds killers `4 i` to `4 i + 3` */
  leaves = 0;
  /** {@link STRIDE} numbers each: x1, y1, x2, y2, unit direction f, g, length (0 for a vertex), unused */
  readonly data: Float64Array;
  /** twice the vertex, or twice the segment and one */
  readonly id: Int32Array;
  /** west, south, east, north of each box, leaves first, then level by level to the root */
  readonly boxes: Float64Array;
  /** first box of each level; the last is the root */
  readonly levels: number[] = [];
  /**
   * {@link CHORD} numbers a leaf: start of its first killer, way from there to the end of its last, one by the square of
   * that way's length, how far its killers reach from that chord
   */
  readonly chords: Float64Array;
  private readonly stack: Int32Array = new Int32Array(128);

  constructor(capacity: number) {
    this.data = new Float64Array(STRIDE * capacity);
    this.id = new Int32Array(capacity);
    this.chords = new Float64Array(CHORD * Math.ceil(capacity / FAN));
    this.boxes = new Float64Array(boxRoom(capacity));
  }

  addSegment(source: FlatSource, k: number): void {
    const { data } = this;
    const i = STRIDE * this.count;
    const to = source.next[k]!;
    data[i] = source.x[k]!;
    data[i + 1] = source.y[k]!;
    data[i + 2] = source.x[to]!;
    data[i + 3] = source.y[to]!;
    data[i + 4] = source.ux[k]!;
    data[i + 5] = source.uy[k]!;
    data[i + 6] = source.length[k]!;
    this.id[this.count++] = 2 * k + 1;
  }

  addVertex(source: FlatSource, k: number): void {
    const { data } = this;
    const i = STRIDE * this.count;
    data[i] = source.x[k]!;
    data[i + 1] = source.y[k]!;
    data[i + 2] = source.x[k]!;
    data[i + 3] = source.y[k]!;
    data[i + 4] = 0;
    data[i + 5] = 0;
    data[i + 6] = 0;
    this.id[this.count++] = 2 * k;
  }

  /** build the tree over the killers added */
  build(): void {
    this.leaves = Math.ceil(this.count / FAN);
    for (let leaf = 0; leaf < this.leaves; leaf++) {
      this.boxLeaf(leaf);
      this.makeChord(leaf);
    }
    buildLevels(this.boxes, this.leaves, this.levels);
  }

  private boxLeaf(leaf: number): void {
    const last = Math.min(FAN * leaf + FAN, this.count);
    let west = Number.POSITIVE_INFINITY;
    let south = Number.POSITIVE_INFINITY;
    let east = Number.NEGATIVE_INFINITY;
    let north = Number.NEGATIVE_INFINITY;
    const { data } = this;
    for (let i = STRIDE * FAN * leaf; i < STRIDE * last; i += STRIDE) {
      const x1 = data[i]!;
      const y1 = data[i + 1]!;
      const x2 = data[i + 2]!;
      const y2 = data[i + 3]!;
      if (x1 < west) west = x1;
      if (x2 < west) west = x2;
      if (y1 < south) south = y1;
      if (y2 < south) south = y2;
      if (x1 > east) east = x1;
      if (x2 > east) east = x2;
      if (y1 > north) north = y1;
      if (y2 > north) north = y2;
    }
    this.boxes[4 * leaf] = west;
    this.boxes[4 * leaf + 1] = south;
    this.boxes[4 * leaf + 2] = east;
    this.boxes[4 * leaf + 3] = north;
  }

  /**
   * Leaves whose box is nearer than a distance to a box.
   *
   * @param box - west, south, east, north
   * @param out - has room for all leaves
   * @returns how many were found
   */
  near(box: Float64Array, distance: number, out: Int32Array): number {
    // hot: once a group of pieces
    if (this.count === 0) return 0;
    const boxes = this.boxes;
    const levels = this.levels;
    const stack = this.stack;
    const west = box[0]!;
    const south = box[1]!;
    const east = box[2]!;
    const north = box[3]!;
    const squared = distance * distance;
    let found = 0;
    let top = 0;
    // pairs of level and box within the level
    stack[0] = levels.length - 1;
    stack[1] = 0;
    top = 2;
    while (top > 0) {
      top -= 2;
      const level = stack[top]!;
      const index = stack[top + 1]!;
      const b = 4 * (levels[level]! + index);
      let dx = boxes[b]! - east;
      const dx2 = west - boxes[b + 2]!;
      if (dx2 > dx) dx = dx2;
      if (dx < 0) dx = 0;
      let dy = boxes[b + 1]! - north;
      const dy2 = south - boxes[b + 3]!;
      if (dy2 > dy) dy = dy2;
      if (dy < 0) dy = 0;
      if (dx * dx + dy * dy >= squared) continue;
      if (level === 0) {
        out[found++] = index;
      } else {
        const below = levels[level]! - levels[level - 1]!;
        const last = Math.min(FAN * index + FAN, below);
        for (let c = last - 1; c >= FAN * index; c--) {
          stack[top] = level - 1;
          stack[top + 1] = c;
          top += 2;
        }
      }
    }
    return found;
  }

  /**
   * Drop the leaves whose chords are too far away: for a small box amid many leaves, each fat in its own box, as near the
   * centre of a circle.
   *
   * @returns how many stay
   */
  sift(box: Float64Array, distance: number, leaves: Int32Array, count: number): number {
    const { chords } = this;
    const x = (box[0]! + box[2]!) / 2;
    const y = (box[1]! + box[3]!) / 2;
    const dx = box[2]! - x;
    const dy = box[3]! - y;
    const reach = distance + Math.sqrt(dx * dx + dy * dy);
    let kept = 0;
    for (let i = 0; i < count; i++) {
      const c = CHORD * leaves[i]!;
      const ex = chords[c + 2]!;
      const ey = chords[c + 3]!;
      let px = x - chords[c]!;
      let py = y - chords[c + 1]!;
      let t = (px * ex + py * ey) * chords[c + 4]!;
      if (t < 0) t = 0;
      if (t > 1) t = 1;
      px -= t * ex;
      py -= t * ey;
      const near = reach + chords[c + 5]!;
      if (px * px + py * py < near * near) leaves[kept++] = leaves[i]!;
    }
    return kept;
  }

  private makeChord(leaf: number): void {
    const { chords, data } = this;
    const first = STRIDE * FAN * leaf;
    const last = STRIDE * Math.min(FAN * leaf + FAN, this.count);
    const x = data[first]!;
    const y = data[first + 1]!;
    const ex = data[last - STRIDE + 2]! - x;
    const ey = data[last - STRIDE + 3]! - y;
    const squared = ex * ex + ey * ey;
    const c = CHORD * leaf;
    chords[c] = x;
    chords[c + 1] = y;
    chords[c + 2] = ex;
    chords[c + 3] = ey;
    chords[c + 4] = squared > 1e-300 ? 1 / squared : 0;
    chords[c + 5] = bulgeOf(data, first, last, chords, c);
  }
}

// greatest distance of a leaf's vertices from its chord; distance to a chord is convex, so no killer reaches farther
function bulgeOf(data: Float64Array, first: number, last: number, chords: Float64Array, c: number): number {
  // hot: once a leaf and level
  const x = chords[c]!;
  const y = chords[c + 1]!;
  const ex = chords[c + 2]!;
  const ey = chords[c + 3]!;
  const inverse = chords[c + 4]!;
  let most = 0;
  for (let i = first; i < last; i += STRIDE) {
    for (let e = i; e < i + 4; e += 2) {
      const dx = data[e]! - x;
      const dy = data[e + 1]! - y;
      let t = (dx * ex + dy * ey) * inverse;
      if (t < 0) t = 0;
      if (t > 1) t = 1;
      const gx = dx - t * ex;
      const gy = dy - t * ey;
      const squared = gx * gx + gy * gy;
      if (squared > most) most = squared;
    }
  }
  // a hair more than rounding may hide
  return Math.sqrt(most) * (1 + 1e-12);
}

/** The tree over every segment of a source. @internal */
export function allSegments(source: FlatSource): Killers {
  const all = new Killers(source.size);
  for (let k = 0; k < source.size; k++) if (source.next[k]! >= 0) all.addSegment(source, k);
  all.build();
  return all;
}

/**
 * Last of the leaves, which come in chain order, that starts no later than a feature: killers near it in the chain kill most.
 *
 * @internal
 */
export function placeOf(id: number, ids: Int32Array, leaves: Int32Array, count: number): number {
  // hot
  let low = 0;
  let high = count;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (ids[4 * leaves[middle]!]! <= id) low = middle + 1;
    else high = middle;
  }
  return low - 1;
}
