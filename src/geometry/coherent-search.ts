import { KeptSegments } from "./kept-segments.js";
import { SegmentTree } from "./segment-tree.js";

// relative slack of the certificate over the rounding of the distances it compares
const SLACK = 1e-12;
// how much farther each certificate tries to reach than the one before
const GROWTH = 1.1;

/**
 * Nearest segment for queries that follow each other, with no allocation in a query: exact whatever the step.
 *
 * After a search at `c` that found the distance `d`, the segments nearest to `c` are kept, and with them the distance
 * `b` that all others are away at least. For any `p` within `r = (b - d) / 2` of `c` the nearest segment is at most
 * `d + r` away, and every segment not kept is `b - r = d + r` away at least, so the nearest of the kept ones is the
 * nearest of all. Nothing is assumed of the line or of the step.
 *
 * @internal
 */
export class CoherentSearch {
  /** what the last query found: segment, or -1 */
  segment = -1;
  /** what the last query found: 0 to 1 on the segment */
  fraction = 0;
  /** what the last query found: squared distance, square metres */
  gap: number = Number.NaN;

  readonly #tree: SegmentTree;
  readonly #kept: KeptSegments = new KeptSegments();
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
    this.#tree = new SegmentTree(ends);
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
      this.#take(px, py);
    } else if (this.#keptRadius < 0 || !this.#renew(px, py)) {
      const tree = this.#tree;
      tree.search(px, py);
      this.segment = tree.segment;
      this.fraction = tree.fraction;
      this.gap = tree.gap;
      if (this.segment >= 0) this.#certify(px, py);
    }
    this.#lastX = px;
    this.#lastY = py;
  }

  #take(px: number, py: number): void {
    const kept = this.#kept;
    kept.scan(px, py);
    this.segment = kept.segment;
    this.fraction = kept.fraction;
    this.gap = kept.gap;
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
    this.#take(px, py);
    if (!this.#extend(px, py)) {
      this.#putOff();
      return false;
    }
    this.#take(px, py);
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
    const last = this.#radius;
    // a jump says nothing about the steps to come
    if (last > 0 && step > 16 * last) {
      this.#radius = 8 * last;
      return false;
    }
    const distance = Math.sqrt(this.gap);
    // a little more than what served last, so that it grows where there is room
    const guess = last > 0 ? GROWTH * last : 4 * step;
    const reach = distance + 2 * guess;
    const kept = this.#tree.keep(px, py, reach * reach, this.#kept);
    if (kept < 0) {
      // far too many: a smaller reach next time
      this.#radius = guess / 8;
      return false;
    }
    const room = SLACK * (reach + this.#tree.size + Math.abs(px) + Math.abs(py));
    const radius = (Math.sqrt(kept) - room - distance) / 2;
    if (radius > 0) this.#radius = radius;
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
}
