import { boxTree, FAN } from "./box-tree.js";
import { NO_LENGTH } from "./nearest.js";

// numbers kept for a segment: start x and y, vector x and y, inverse of the squared length, end x and y
// (the end as given and not start plus vector: a shared vertex must be equally far on both its segments)
const STRIDE = 7;
// segments kept with a certificate
const CANDIDATES = 32;
// with fewer than this the next certificate reaches farther
const FEW = 8;
// radii tried for one certificate, each half the one before
const TRIES = 6;
// a box is passed over when it is farther than the nearest so far by more than the rounding of both, so that of
// equally near segments the lowest is found
const ROOM = 1 + 1e-14;
// relative slack of the certificate over the rounding of the distances it compares
const SLACK = 1e-12;

/**
 * Segments in the order of their chain, under an implicit tree of boxes, four below each: nearest segment, exact,
 * with no allocation in a query.
 *
 * Queries that follow each other closely are answered from a certificate. After a full search at `c` that found the
 * distance `d`, all segments within `d + 2r` of `c` are kept. For any `p` within `r` of `c` the nearest segment is at
 * most `d + r` away, and every segment not kept is farther than that, so the nearest of the kept ones is the nearest
 * of all. Nothing is assumed of the line or of the step.
 *
 * @internal
 */
export class SegmentTree {
  /** what the last query found: segment, or -1 */
  segment = -1;
  /** what the last query found: 0 to 1 on the segment */
  fraction = 0;
  /** what the last query found: squared distance, square metres */
  gap: number = Number.NaN;
  /** full searches so far, for tests */
  searches = 0;

  readonly #segments: Float64Array;
  readonly #count: number;
  readonly #boxes: Float64Array;
  // first box of each level, leaves first
  readonly #levels: Int32Array;
  readonly #top: number;
  readonly #stackNode: Int32Array;
  readonly #stackLevel: Int32Array;
  readonly #stackGap: Float64Array;
  readonly #size: number;

  readonly #kept: Float64Array = new Float64Array(CANDIDATES * STRIDE);
  readonly #keptIds: Int32Array = new Int32Array(CANDIDATES);
  #keptCount = 0;
  #keptX = 0;
  #keptY = 0;
  #keptRadius = -1;
  #radius = 0;
  #hits = 0;
  #wait = 0;
  #waitNext = 1;
  #lastX: number = Number.NaN;
  #lastY: number = Number.NaN;

  /**
   * @param ends - `[ax, ay, bx, by, ...]`, metres, finite; segments of no length are never found
   */
  constructor(ends: Float64Array) {
    const n = ends.length >> 2;
    const segments = new Float64Array(n * STRIDE);
    let size = 0;
    for (let i = 0; i < n; i++) {
      const ax = ends[4 * i]!;
      const ay = ends[4 * i + 1]!;
      const ex = ends[4 * i + 2]! - ax;
      const ey = ends[4 * i + 3]! - ay;
      const squared = ex * ex + ey * ey;
      const k = i * STRIDE;
      segments[k] = ax;
      segments[k + 1] = ay;
      segments[k + 2] = ex;
      segments[k + 3] = ey;
      segments[k + 4] = squared > NO_LENGTH ? 1 / squared : 0;
      segments[k + 5] = ends[4 * i + 2]!;
      segments[k + 6] = ends[4 * i + 3]!;
      size = Math.max(size, Math.abs(ax), Math.abs(ay), Math.abs(ends[4 * i + 2]!), Math.abs(ends[4 * i + 3]!));
    }
    this.#segments = segments;
    this.#count = n;
    this.#size = size;

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
  find(px: number, py: number): void {
    const offX = px - this.#keptX;
    const offY = py - this.#keptY;
    const moved = offX * offX + offY * offY;
    if (this.#keptRadius >= 0 && moved <= this.#keptRadius * this.#keptRadius) {
      this.#hits++;
      this.#scanKept(px, py);
    } else if (this.#keptRadius < 0 || !this.#renew(px, py)) {
      this.#search(px, py);
      if (this.segment >= 0) this.#certify(px, py);
    }
    this.#lastX = px;
    this.#lastY = py;
  }

  // hot: the whole search of one query; nearest child first, so that the bound falls early
  #search(px: number, py: number): void {
    this.searches++;
    const boxes = this.#boxes;
    const levels = this.#levels;
    const stackNode = this.#stackNode;
    const stackLevel = this.#stackLevel;
    const stackGap = this.#stackGap;
    const seed = this.segment;
    this.gap = Number.POSITIVE_INFINITY;
    this.segment = -1;
    // the last answer is a good first bound
    if (seed >= 0) this.#visit(seed, seed + 1, px, py);
    let depth = 0;
    stackNode[0] = 0;
    stackLevel[0] = this.#top;
    stackGap[0] = 0;
    depth = 1;
    while (depth > 0) {
      depth--;
      if (stackGap[depth]! > this.gap * ROOM) continue;
      const node = stackNode[depth]!;
      const level = stackLevel[depth]!;
      const first = node * FAN;
      if (level === 0) {
        const to = first + FAN;
        this.#visit(first, to < this.#count ? to : this.#count, px, py);
        continue;
      }
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
        if (!(gap <= this.gap * ROOM)) continue;
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
    }
  }

  // hot
  #visit(from: number, to: number, px: number, py: number): void {
    const segments = this.#segments;
    for (let i = from; i < to; i++) {
      const k = i * STRIDE;
      const inverse = segments[k + 4]!;
      if (inverse === 0) continue;
      const ex = segments[k + 2]!;
      const ey = segments[k + 3]!;
      const dx = px - segments[k]!;
      const dy = py - segments[k + 1]!;
      let t = (dx * ex + dy * ey) * inverse;
      let gap: number;
      if (t <= 0) {
        t = 0;
        gap = dx * dx + dy * dy;
      } else if (t >= 1) {
        t = 1;
        const endX = px - segments[k + 5]!;
        const endY = py - segments[k + 6]!;
        gap = endX * endX + endY * endY;
      } else {
        const cross = dx * ey - dy * ex;
        gap = cross * cross * inverse;
      }
      if (gap < this.gap || (gap === this.gap && i < this.segment)) {
        this.gap = gap;
        this.segment = i;
        this.fraction = t;
      }
    }
  }

  // hot: the usual case of a machine that moves on
  #scanKept(px: number, py: number): void {
    const kept = this.#kept;
    const count = this.#keptCount * STRIDE;
    let best = Number.POSITIVE_INFINITY;
    let where = 0;
    let fraction = 0;
    for (let k = 0; k < count; k += STRIDE) {
      const inverse = kept[k + 4]!;
      const ex = kept[k + 2]!;
      const ey = kept[k + 3]!;
      const dx = px - kept[k]!;
      const dy = py - kept[k + 1]!;
      let t = (dx * ex + dy * ey) * inverse;
      let gap: number;
      if (t <= 0) {
        t = 0;
        gap = dx * dx + dy * dy;
      } else if (t >= 1) {
        t = 1;
        const endX = px - kept[k + 5]!;
        const endY = py - kept[k + 6]!;
        gap = endX * endX + endY * endY;
      } else {
        const cross = dx * ey - dy * ex;
        gap = cross * cross * inverse;
      }
      if (gap < best) {
        best = gap;
        where = k;
        fraction = t;
      }
    }
    this.gap = best;
    this.segment = this.#keptIds[where / STRIDE]!;
    this.fraction = fraction;
  }

  // a certificate that served well is followed by the next without a search: the nearest of the segments kept bounds
  // the distance from above, so all that are as near as the true nearest are among those kept anew
  #renew(px: number, py: number): boolean {
    this.#keptRadius = -1;
    if (this.#hits < 2) {
      // it was not worth its price
      this.#putOff();
      return false;
    }
    this.#waitNext = 1;
    this.#scanKept(px, py);
    if (!this.#extend(px, py)) return false;
    this.#scanKept(px, py);
    return true;
  }

  #certify(px: number, py: number): void {
    if (this.#wait > 0) {
      this.#wait--;
      return;
    }
    if (!this.#extend(px, py)) this.#putOff();
  }

  // keeps all that can be nearest within a radius about here; the distance of what was found last bounds the nearest
  #extend(px: number, py: number): boolean {
    const stepX = px - this.#lastX;
    const stepY = py - this.#lastY;
    const step = Math.sqrt(stepX * stepX + stepY * stepY);
    if (!(step < Number.POSITIVE_INFINITY)) return false;
    const distance = Math.sqrt(this.gap);
    let radius = Math.max(this.#radius, 8 * step);
    for (let tries = 0; tries < TRIES && radius > 2 * step; tries++) {
      const reach = distance + 2 * radius;
      const limit = reach + SLACK * (reach + this.#size + Math.abs(px) + Math.abs(py));
      if (this.#keep(px, py, limit * limit)) {
        this.#keptX = px;
        this.#keptY = py;
        this.#keptRadius = radius;
        this.#hits = 0;
        this.#radius = this.#keptCount < FEW ? 1.5 * radius : radius;
        return true;
      }
      radius /= 2;
      this.#radius = radius;
    }
    return false;
  }

  // the next searches make no certificate: 1, then 2, 4 and so on as long as it does not pay
  #putOff(): void {
    this.#wait = this.#waitNext;
    this.#waitNext = Math.min(2 * this.#waitNext, 64);
  }

  // copies every segment within the squared limit; false when there are too many
  #keep(px: number, py: number, limit: number): boolean {
    const boxes = this.#boxes;
    const levels = this.#levels;
    const stackNode = this.#stackNode;
    const stackLevel = this.#stackLevel;
    const segments = this.#segments;
    this.#keptCount = 0;
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
          const k = i * STRIDE;
          const inverse = segments[k + 4]!;
          if (inverse === 0) continue;
          const ex = segments[k + 2]!;
          const ey = segments[k + 3]!;
          let dx = px - segments[k]!;
          let dy = py - segments[k + 1]!;
          const t = (dx * ex + dy * ey) * inverse;
          const clamped = t < 0 ? 0 : t > 1 ? 1 : t;
          dx -= clamped * ex;
          dy -= clamped * ey;
          if (dx * dx + dy * dy > limit) continue;
          if (this.#keptCount === CANDIDATES) return false;
          const at = this.#keptCount * STRIDE;
          for (let j = 0; j < STRIDE; j++) this.#kept[at + j] = segments[k + j]!;
          this.#keptIds[this.#keptCount++] = i;
        }
        continue;
      }
      const from = levels[level - 1]!;
      const count = levels[level]! - from;
      const last = first + FAN < count ? first + FAN : count;
      // pushed from the back, so that the segments come out in their own order
      for (let child = last - 1; child >= first; child--) {
        const box = 4 * (from + child);
        const west = boxes[box]! - px;
        const east = px - boxes[box + 2]!;
        const south = boxes[box + 1]! - py;
        const north = py - boxes[box + 3]!;
        const dx = west > 0 ? west : east > 0 ? east : 0;
        const dy = south > 0 ? south : north > 0 ? north : 0;
        if (dx * dx + dy * dy > limit) continue;
        stackNode[depth] = child;
        stackLevel[depth++] = level - 1;
      }
    }
    return this.#keptCount > 0;
  }
}
