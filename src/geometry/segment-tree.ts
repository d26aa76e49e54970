import { boxTree, FAN } from "./box-tree.js";
import { CANDIDATES, type KeptSegments } from "./kept-segments.js";
import { NO_LENGTH } from "./nearest.js";

// a box is passed over when it is farther than the nearest so far by more than the rounding of both, so that of
// equally near segments the lowest is found
const ROOM = 1 + 1e-14;

/**
 * Segments in the order of their chain, under an implicit tree of boxes, four below each.
 *
 * @internal
 */
export class SegmentTree {
  /** what the last search found: segment, or -1 */
  segment = -1;
  /** what the last search found: 0 to 1 on the segment */
  fraction = 0;
  /** what the last search found: squared distance, square metres */
  gap: number = Number.NaN;
  /** largest coordinate, metres */
  readonly size: number;

  readonly #ends: Float64Array;
  readonly #count: number;
  readonly #boxes: Float64Array;
  // first box of each level, leaves first
  readonly #levels: Int32Array;
  readonly #top: number;
  readonly #stackNode: Int32Array;
  readonly #stackLevel: Int32Array;
  readonly #stackGap: Float64Array;

  /**
   * @param ends - `[ax, ay, bx, by, ...]`, metres, finite; segments of no length are never found
   */
  constructor(ends: Float64Array) {
    let size = 0;
    for (let k = 0; k < ends.length; k++) size = Math.max(size, Math.abs(ends[k]!));
    this.#ends = ends;
    this.#count = ends.length >> 2;
    this.size = size;

    const tree = boxTree(ends);
    this.#boxes = tree.boxes;
    this.#levels = tree.levels;
    this.#top = tree.levels.length - 2;
    const depth = (this.#top + 2) * FAN;
    this.#stackNode = new Int32Array(depth);
    this.#stackLevel = new Int32Array(depth);
    this.#stackGap = new Float64Array(depth);
  }

  /**
   * Find the nearest segment; the answer stands in `segment`, `fraction` and `gap`. Of equally near ones the lowest.
   *
   * @param px - metres
   * @param py - metres
   */
  // hot: nearest box first, so that the bound falls early
  search(px: number, py: number): void {
    const boxes = this.#boxes;
    const levels = this.#levels;
    const ends = this.#ends;
    const all = this.#count;
    const stackNode = this.#stackNode;
    const stackLevel = this.#stackLevel;
    const stackGap = this.#stackGap;
    let best = Number.POSITIVE_INFINITY;
    let bound = Number.POSITIVE_INFINITY;
    let found = -1;
    let fraction = 0;
    let depth = 1;
    stackNode[0] = 0;
    stackLevel[0] = this.#top;
    stackGap[0] = 0;
    while (depth > 0) {
      depth--;
      if (stackGap[depth]! > bound) continue;
      const first = stackNode[depth]! * FAN;
      const level = stackLevel[depth]!;
      if (level > 0) {
        const from = levels[level - 1]!;
        const count = levels[level]! - from;
        const last = first + FAN < count ? first + FAN : count;
        const bottom = depth;
        for (let child = first; child < last; child++) {
          const box = 4 * (from + child);
          const west = boxes[box]! - px;
          const east = px - boxes[box + 2]!;
          const south = boxes[box + 1]! - py;
          const north = py - boxes[box + 3]!;
          const dx = west > 0 ? west : east > 0 ? east : 0;
          const dy = south > 0 ? south : north > 0 ? north : 0;
          const gap = dx * dx + dy * dy;
          if (!(gap <= bound)) continue;
          let at = depth;
          while (at > bottom && stackGap[at - 1]! < gap) {
            stackGap[at] = stackGap[at - 1]!;
            stackNode[at] = stackNode[at - 1]!;
            at--;
          }
          stackGap[at] = gap;
          stackNode[at] = child;
          stackLevel[depth] = level - 1;
          depth++;
        }
        continue;
      }
      const last = first + FAN < all ? first + FAN : all;
      for (let i = first; i < last; i++) {
        const k = 4 * i;
        const ax = ends[k]!;
        const ay = ends[k + 1]!;
        const bx = ends[k + 2]!;
        const by = ends[k + 3]!;
        const ex = bx - ax;
        const ey = by - ay;
        const squared = ex * ex + ey * ey;
        if (!(squared > NO_LENGTH)) continue;
        const dx = px - ax;
        const dy = py - ay;
        const along = dx * ex + dy * ey;
        let t: number;
        let gap: number;
        if (along <= 0) {
          t = 0;
          gap = dx * dx + dy * dy;
        } else if (along >= squared) {
          t = 1;
          gap = (px - bx) * (px - bx) + (py - by) * (py - by);
        } else {
          const cross = dx * ey - dy * ex;
          t = along / squared;
          gap = (cross * cross) / squared;
        }
        if (gap < best || (gap === best && i < found)) {
          best = gap;
          bound = gap * ROOM;
          found = i;
          fraction = t;
        }
      }
    }
    this.gap = best;
    this.segment = found;
    this.fraction = fraction;
  }

  /**
   * Copy the segments within a squared limit, or as many of the nearest as there is room for.
   *
   * @returns the squared distance that every segment not copied reaches or exceeds, or -1 when the limit took in far
   * too many
   */
  keep(px: number, py: number, limit: number, into: KeptSegments): number {
    const boxes = this.#boxes;
    const levels = this.#levels;
    const stackNode = this.#stackNode;
    const stackLevel = this.#stackLevel;
    const ends = this.#ends;
    const gaps = into.gaps;
    let keptCount = 0;
    let farthest = 0;
    let dropped = 0;
    let depth = 1;
    stackNode[0] = 0;
    stackLevel[0] = this.#top;
    while (depth > 0) {
      depth--;
      const node = stackNode[depth]!;
      const level = stackLevel[depth]!;
      const first = node * FAN;
      if (level === 0) {
        const last = first + FAN < this.#count ? first + FAN : this.#count;
        for (let i = first; i < last; i++) {
          const k = 4 * i;
          const ax = ends[k]!;
          const ay = ends[k + 1]!;
          const ex = ends[k + 2]! - ax;
          const ey = ends[k + 3]! - ay;
          const squared = ex * ex + ey * ey;
          if (!(squared > NO_LENGTH)) continue;
          const dx = px - ax;
          const dy = py - ay;
          const along = dx * ex + dy * ey;
          const t = along <= 0 ? 0 : along >= squared ? 1 : along / squared;
          const offX = dx - t * ex;
          const offY = dy - t * ey;
          const gap = offX * offX + offY * offY;
          if (!(gap < limit)) continue;
          let at = keptCount;
          // no room: the farthest one goes
          if (keptCount === CANDIDATES) {
            at = farthest;
            if (++dropped > 2 * CANDIDATES) return -1;
          } else keptCount++;
          into.put(at, i, gap, ax, ay, ends[k + 2]!, ends[k + 3]!, squared);
          if (keptCount === CANDIDATES) {
            farthest = 0;
            for (let j = 1; j < CANDIDATES; j++) if (gaps[j]! > gaps[farthest]!) farthest = j;
            limit = gaps[farthest]!;
          }
        }
        continue;
      }
      const from = levels[level - 1]!;
      const count = levels[level]! - from;
      const last = first + FAN < count ? first + FAN : count;
      for (let child = first; child < last; child++) {
        const box = 4 * (from + child);
        const west = boxes[box]! - px;
        const east = px - boxes[box + 2]!;
        const south = boxes[box + 1]! - py;
        const north = py - boxes[box + 3]!;
        const dx = west > 0 ? west : east > 0 ? east : 0;
        const dy = south > 0 ? south : north > 0 ? north : 0;
        if (!(dx * dx + dy * dy < limit)) continue;
        stackNode[depth] = child;
        stackLevel[depth++] = level - 1;
      }
    }
    into.count = keptCount;
    return limit;
  }
}
