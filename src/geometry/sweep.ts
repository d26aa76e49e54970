import { orient2d } from "robust-predicates";
import { segmentCrossing } from "./crossing.js";
import type { Point } from "./types.js";

const BLOCK = 512;

/**
 * Whether segments that form rings meet anywhere but in the vertex that neighbours share: a sweep from west to east that
 * tests only segments next to each other, and stops at the first meeting. n log n for any input, exact.
 *
 * @param ends - `[ax, ay, bx, by, ...]`, metres, none of no length
 * @param before - number of the segment that ends where a segment starts
 *
 * @see M. I. Shamos and D. Hoey, Geometric intersection problems, FOCS 1976
 *
 * @internal
 */
export function anyContact(ends: Float64Array, before: (segment: number) => number): boolean {
  const n = ends.length / 4;
  // a vertex is known by the segment that starts there
  const order = new Uint32Array(n);
  for (let i = 0; i < n; i++) order[i] = i;
  order.sort((i, j) => ends[4 * i]! - ends[4 * j]! || ends[4 * i + 1]! - ends[4 * j + 1]!);
  for (let k = 1; k < n; k++) {
    const i = 4 * order[k - 1]!;
    const j = 4 * order[k]!;
    if (ends[i] === ends[j] && ends[i + 1] === ends[j + 1]) return true;
  }
  // ends of each segment from west to east; level with each other, from south to north
  const swept = ends.slice();
  for (let k = 0; k < 4 * n; k += 4) {
    if (ends[k]! < ends[k + 2]! || (ends[k] === ends[k + 2] && ends[k + 1]! < ends[k + 3]!)) continue;
    swept[k] = ends[k + 2]!;
    swept[k + 1] = ends[k + 3]!;
    swept[k + 2] = ends[k]!;
    swept[k + 3] = ends[k + 1]!;
  }
  const status = new Status(swept, before);
  for (let k = 0; k < n; k++) {
    const out = order[k]!;
    const into = before(out);
    const startsOut = isStart(swept, out, ends, out);
    const startsInto = isStart(swept, into, ends, out);
    if (!startsOut) status.remove(out);
    if (!startsInto) status.remove(into);
    if (startsOut) status.insert(out);
    if (startsInto) status.insert(into);
    if (status.met) return true;
  }
  return false;
}

function isStart(swept: Float64Array, segment: number, ends: Float64Array, vertex: number): boolean {
  return swept[4 * segment] === ends[4 * vertex] && swept[4 * segment + 1] === ends[4 * vertex + 1];
}

// the segments under the sweep line from south to north, in blocks so that an insertion moves little
class Status {
  met = false;
  readonly #ends: Float64Array;
  readonly #before: (segment: number) => number;
  readonly #blocks: Int32Array[] = [];
  readonly #counts: number[] = [];

  constructor(ends: Float64Array, before: (segment: number) => number) {
    this.#ends = ends;
    this.#before = before;
  }

  insert(segment: number): void {
    if (this.#blocks.length === 0) {
      this.#blocks.push(new Int32Array(BLOCK));
      this.#counts.push(0);
    }
    const b = this.#blockOf(segment);
    const at = this.#placeIn(b, segment);
    if (this.met) return;
    const block = this.#blocks[b]!;
    const count = this.#counts[b]!;
    block.copyWithin(at + 1, at, count);
    block[at] = segment;
    this.#counts[b] = count + 1;
    this.#test(this.#at(b, at - 1), segment);
    this.#test(segment, this.#at(b, at + 1));
    if (count + 1 === BLOCK) {
      const half = BLOCK / 2;
      const upper = new Int32Array(BLOCK);
      upper.set(block.subarray(half));
      this.#counts[b] = half;
      this.#blocks.splice(b + 1, 0, upper);
      this.#counts.splice(b + 1, 0, half);
    }
  }

  remove(segment: number): void {
    if (this.met) return;
    const b = this.#blockOf(segment);
    const at = this.#placeIn(b, segment);
    const block = this.#blocks[b]!;
    // the order can only be broken where segments have met
    if (this.met || at >= this.#counts[b]! || block[at] !== segment) {
      this.met = true;
      return;
    }
    this.#test(this.#at(b, at - 1), this.#at(b, at + 1));
    block.copyWithin(at, at + 1, this.#counts[b]);
    this.#counts[b]!--;
    if (this.#counts[b] === 0) {
      this.#blocks.splice(b, 1);
      this.#counts.splice(b, 1);
    }
  }

  // the segment at a place of a block, or at the end of the block beside it; -1 beyond all
  #at(b: number, at: number): number {
    if (at >= 0 && at < this.#counts[b]!) return this.#blocks[b]![at]!;
    const other = at < 0 ? b - 1 : b + 1;
    if (other < 0 || other >= this.#blocks.length) return -1;
    return this.#blocks[other]![at < 0 ? this.#counts[other]! - 1 : 0]!;
  }

  // the last block whose first segment is not above this one
  #blockOf(segment: number): number {
    let low = 0;
    let high = this.#blocks.length - 1;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (this.#above(segment, this.#blocks[middle]![0]!) >= 0) low = middle;
      else high = middle - 1;
    }
    return low;
  }

  #placeIn(b: number, segment: number): number {
    const block = this.#blocks[b]!;
    let low = 0;
    let high = this.#counts[b]!;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (this.#above(segment, block[middle]!) > 0) low = middle + 1;
      else high = middle;
    }
    return low;
  }

  // above 0 where s runs north of t, 0 for the same; notes a meeting where neither does
  #above(s: number, t: number): number {
    if (s === t) return 0;
    const e = this.#ends;
    const i = 4 * s;
    const j = 4 * t;
    const sx = e[i]!;
    const sy = e[i + 1]!;
    const tx = e[j]!;
    const ty = e[j + 1]!;
    let where: number;
    if (sx === tx && sy === ty) where = -orient2d(tx, ty, e[j + 2]!, e[j + 3]!, e[i + 2]!, e[i + 3]!);
    else if (sx > tx || (sx === tx && sy > ty)) where = -orient2d(tx, ty, e[j + 2]!, e[j + 3]!, sx, sy);
    else where = orient2d(sx, sy, e[i + 2]!, e[i + 3]!, tx, ty);
    if (where === 0) this.met = true;
    return where;
  }

  #test(s: number, t: number): void {
    if (s < 0 || t < 0 || this.met) return;
    const crossing = segmentCrossing(this.#point(s, 0), this.#point(s, 2), this.#point(t, 0), this.#point(t, 2));
    if (crossing.kind === "none") return;
    // neighbours share a vertex, and may meet nowhere else
    const neighbours = this.#before(s) === t || this.#before(t) === s;
    if (neighbours && crossing.kind === "point" && isEnd(crossing.t) && isEnd(crossing.u)) return;
    this.met = true;
  }

  #point(segment: number, end: 0 | 2): Point {
    return [this.#ends[4 * segment + end]!, this.#ends[4 * segment + end + 1]!];
  }
}

function isEnd(t: number): boolean {
  return t === 0 || t === 1;
}
