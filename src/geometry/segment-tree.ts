import { boxTree, FAN } from "./box-tree.js";
import { NO_LENGTH } from "./nearest.js";

// numbers kept for a segment: start x and y, vector x and y, inverse of the squared length, end x and y
// (the end as given and not start plus vector: a shared vertex must be equally far on both its segments)
const STRIDE = 7;
// segments kept with a certificate
const CANDIDATES = 24;
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
  readonly #keptGaps: Float64Array = new Float64Array(CANDIDATES);
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
    const segments = this.#segments;
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

  // hot: the usual case of a machine that moves on
  #scanKept(px: number, py: number): void {
    const kept = this.#kept;
    const ids = this.#keptIds;
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
      if (gap < best || (gap === best && ids[k / STRIDE]! < ids[where / STRIDE]!)) {
        best = gap;
        where = k;
        fraction = t;
      }
    }
    this.gap = best;
    this.segment = ids[where / STRIDE]!;
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

  // keeps the nearest segments, as many as there is room for, and finds the radius about here within which they
  // suffice; the distance of what was found last bounds the nearest from above
  #extend(px: number, py: number): boolean {
    const stepX = px - this.#lastX;
    const stepY = py - this.#lastY;
    const step = Math.sqrt(stepX * stepX + stepY * stepY);
    if (!(step < Number.POSITIVE_INFINITY)) return false;
    const distance = Math.sqrt(this.gap);
    // a little more than what served last, so that it grows where there is room
    const reach = distance + 2 * Math.max(1.2 * this.#radius, 4 * step);
    const kept = Math.sqrt(this.#keep(px, py, reach * reach));
    const room = SLACK * (reach + this.#size + Math.abs(px) + Math.abs(py));
    const radius = (kept - room - distance) / 2;
    this.#radius = radius > 0 ? radius : 0;
    if (!(radius > step)) return false;
    this.#keptX = px;
    this.#keptY = py;
    this.#keptRadius = radius;
    this.#hits = 0;
    return true;
  }

  // the next searches make no certificate: 1, then 2, 4 and so on as long as it does not pay
  #putOff(): void {
    this.#wait = this.#waitNext;
    this.#waitNext = Math.min(2 * this.#waitNext, 64);
  }

  // copies the segments within the squared limit, or as many of the nearest as there is room for; gives the squared
  // distance that every segment not kept exceeds or equals
  #keep(px: number, py: number, limit: number): number {
    const boxes = this.#boxes;
    const levels = this.#levels;
    const stackNode = this.#stackNode;
    const stackLevel = this.#stackLevel;
    const segments = this.#segments;
    const kept = this.#kept;
    const ids = this.#keptIds;
    const gaps = this.#keptGaps;
    let keptCount = 0;
    let farthest = 0;
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
          const gap = dx * dx + dy * dy;
          if (!(gap < limit)) continue;
          let at = keptCount;
          // no room: the farthest one goes
          if (keptCount === CANDIDATES) at = farthest;
          else keptCount++;
          gaps[at] = gap;
          ids[at] = i;
          for (let j = 0; j < STRIDE; j++) kept[at * STRIDE + j] = segments[k + j]!;
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
    this.#keptCount = keptCount;
    return limit;
  }
}
