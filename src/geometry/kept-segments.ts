// numbers kept for a segment: start x and y, vector x and y, squared length, end x and y (the end as given and not start
// plus vector: a shared vertex must be equally far on both its segments)
const STRIDE = 7;

/**
 * How many segments are kept: few enough to look at all of them with every query.
 *
 * @internal
 */
export const CANDIDATES = 16;

/**
 * The few segments that can be the nearest for a while, side by side in memory.
 *
 * @internal
 */
export class KeptSegments {
  readonly #segments: Float64Array = new Float64Array(CANDIDATES * STRIDE);
  readonly #ids: Int32Array = new Int32Array(CANDIDATES);
  /** squared distances at the time of keeping, square metres */
  readonly gaps: Float64Array = new Float64Array(CANDIDATES);
  count = 0;
  /** what the last scan found: segment, its fraction and squared distance */
  segment = -1;
  fraction = 0;
  gap: number = Number.NaN;

  /**
   * Set a segment in its place.
   */
  put(at: number, id: number, gap: number, ax: number, ay: number, bx: number, by: number, squared: number): void {
    const kept = this.#segments;
    const k = at * STRIDE;
    kept[k] = ax;
    kept[k + 1] = ay;
    kept[k + 2] = bx - ax;
    kept[k + 3] = by - ay;
    kept[k + 4] = squared;
    kept[k + 5] = bx;
    kept[k + 6] = by;
    this.#ids[at] = id;
    this.gaps[at] = gap;
  }

  /**
   * Find the nearest of them; of equally near ones the lowest.
   *
   * @param px - metres
   * @param py - metres
   */
  // hot: the usual case of a machine that moves on
  scan(px: number, py: number): void {
    const kept = this.#segments;
    const ids = this.#ids;
    const count = this.count;
    let best = Number.POSITIVE_INFINITY;
    let found = -1;
    let fraction = 0;
    for (let j = 0, k = 0; j < count; j++, k += STRIDE) {
      const squared = kept[k + 4]!;
      const ex = kept[k + 2]!;
      const ey = kept[k + 3]!;
      const dx = px - kept[k]!;
      const dy = py - kept[k + 1]!;
      const along = dx * ex + dy * ey;
      let t: number;
      let gap: number;
      if (along <= 0) {
        t = 0;
        gap = dx * dx + dy * dy;
      } else if (along >= squared) {
        t = 1;
        const endX = px - kept[k + 5]!;
        const endY = py - kept[k + 6]!;
        gap = endX * endX + endY * endY;
      } else {
        const cross = dx * ey - dy * ex;
        t = along / squared;
        gap = (cross * cross) / squared;
      }
      if (gap < best || (gap === best && ids[j]! < found)) {
        best = gap;
        found = ids[j]!;
        fraction = t;
      }
    }
    this.gap = best;
    this.segment = found;
    this.fraction = fraction;
  }
}
