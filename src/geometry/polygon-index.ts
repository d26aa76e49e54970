import { orient2d } from "robust-predicates";
import { signedArea } from "./area.js";
import { CoherentSearch } from "./coherent-search.js";
import { EdgeGrid } from "./edge-grid.js";
import type { GridLevel } from "./grid-level.js";
import { requirePolygon } from "./require-polygon.js";
import type { Bounds, Polygon, Ring } from "./types.js";

/**
 * One polygon or several made ready for many questions: is this point inside, how much of this segment is.
 *
 * Several polygons count as their union; they may touch and overlap. The boundary counts as inside. Rings are taken
 * open or closed and in either winding, but must not cross themselves, and holes must lie in their exterior: pass what
 * comes from outside through `checkPolygon` first. An empty list is allowed and contains nothing.
 *
 * Answers are exact, by predicates; the grid behind them only decides which edges are looked at.
 *
 * @example
 * ```ts
 * const field = new PolygonIndex({ exterior: [[0, 0], [100, 0], [100, 50], [0, 50]], holes: [] });
 * field.contains(100, 20); // true, on the boundary
 * field.insideShare(90, 10, 110, 10); // 0.5
 * ```
 */
export class PolygonIndex {
  /** box of all polygons, metres */
  readonly bounds: Bounds;

  readonly #ends: Float64Array;
  readonly #grid: EdgeGrid | undefined;
  readonly #search: CoherentSearch;
  // which query last took an edge, so that none is taken twice
  readonly #taken: Int32Array;
  #query = 0;
  readonly #segment: Float64Array = new Float64Array(5);
  readonly #place: Float64Array = new Float64Array(2);
  #cuts: Float64Array = new Float64Array(64);
  #cutCount = 0;
  #runs: Float64Array = new Float64Array(16);
  #runCount = 0;

  /**
   * @param polygons - one polygon or a list, metres
   * @throws `FeeringError` `too-few-points` for a ring of fewer than three points, `not-finite`
   */
  constructor(polygons: Polygon | readonly Polygon[]) {
    const list = isList(polygons) ? polygons : [polygons];
    const rings: { ring: Ring; turned: boolean }[] = [];
    list.forEach((polygon, i) => {
      const name = isList(polygons) ? `polygons[${i}]` : "polygon";
      requirePolygon(polygon, name);
      rings.push({ ring: polygon.exterior, turned: signedArea(polygon.exterior) < 0 });
      polygon.holes.forEach((hole) => {
        rings.push({ ring: hole, turned: signedArea(hole) > 0 });
      });
    });
    this.#ends = edgesOf(rings);
    this.bounds = boxOf(this.#ends);
    this.#grid = this.#ends.length > 0 ? new EdgeGrid(this.#ends, this.bounds) : undefined;
    this.#search = new CoherentSearch(this.#ends);
    this.#taken = new Int32Array(this.#ends.length / 4);
  }

  /**
   * Whether a point lies in any of the polygons or on a boundary of one. Never throws; false for what is not finite.
   *
   * @param x - metres
   * @param y - metres
   */
  contains(x: number, y: number): boolean {
    // hot
    const place = this.#place;
    place[0] = x;
    place[1] = y;
    return this.#containsPlace();
  }

  // whether the point in `#place` is inside: numbers handed on would be boxed
  #containsPlace(): boolean {
    const bounds = this.bounds;
    const place = this.#place;
    const x = place[0]!;
    const y = place[1]!;
    if (!(x >= bounds.minX && x <= bounds.maxX && y >= bounds.minY && y <= bounds.maxY)) return false;
    return this.#grid!.winding(place) > 0;
  }

  /**
   * Share of a segment's length that lies inside. What runs along a boundary, exactly, is inside. A segment of no
   * length is inside or not as its point is. Never throws; 0 for what is not finite.
   *
   * @param ax - start, metres
   * @param ay - start, metres
   * @param bx - end, metres
   * @param by - end, metres
   * @returns 0 to 1; exactly 0 or 1 where the segment crosses no boundary. Which edges are crossed is exact, the
   * places are good to a few units in the last place. Allocates nothing, save to grow a buffer the first time a
   * segment crosses more than 64 edges
   */
  insideShare(ax: number, ay: number, bx: number, by: number): number {
    const segment = this.#segment;
    segment[0] = ax;
    segment[1] = ay;
    segment[2] = bx;
    segment[3] = by;
    this.shareOf(segment);
    return segment[4]!;
  }

  /**
   * The same of a segment in an array, for loops in which no number may be boxed.
   *
   * @param segment - of five: start and end, x and y of each, metres; the fifth takes the share
   */
  shareOf(segment: Float64Array): void {
    // hot: asked for every section with every fix
    const place = this.#place;
    const ax = segment[0]!;
    const ay = segment[1]!;
    const bx = segment[2]!;
    const by = segment[3]!;
    const dx = bx - ax;
    const dy = by - ay;
    segment[4] = 0;
    if (!(dx - dx === 0 && dy - dy === 0)) return;
    const bounds = this.bounds;
    if (
      (ax < bounds.minX && bx < bounds.minX) ||
      (ax > bounds.maxX && bx > bounds.maxX) ||
      (ay < bounds.minY && by < bounds.minY) ||
      (ay > bounds.maxY && by > bounds.maxY) ||
      this.#grid === undefined
    ) {
      return;
    }
    if (dx === 0 && dy === 0) {
      place[0] = ax;
      place[1] = ay;
      if (this.#containsPlace()) segment[4] = 1;
      return;
    }
    this.#query = this.#query === 0x7fffffff ? this.#restart() : this.#query + 1;
    this.#cutCount = 0;
    this.#runCount = 0;
    this.#collect(this.#grid.levels[0]!, segment);
    if (this.#cutCount === 0) {
      place[0] = ax + dx / 2;
      place[1] = ay + dy / 2;
      if (this.#containsPlace()) segment[4] = 1;
      return;
    }
    sort(this.#cuts, this.#cutCount);
    let share = 0;
    let from = 0;
    for (let i = 0; i <= this.#cutCount; i++) {
      const to = i < this.#cutCount ? this.#cuts[i]! : 1;
      if (to > from) {
        const middle = from + (to - from) / 2;
        place[0] = ax + middle * dx;
        place[1] = ay + middle * dy;
        if (this.#containsPlace() || (this.#runCount > 0 && this.#onRun(middle))) share += to - from;
        from = to;
      }
    }
    segment[4] = share > 1 ? 1 : share;
  }

  /**
   * Distance from a point to the nearest boundary, whichever side it lies on. Never throws; NaN for what is not finite
   * and for an index of no polygons.
   *
   * @param x - metres
   * @param y - metres
   * @returns metres, 0 at least
   */
  distanceToBoundary(x: number, y: number): number {
    if (!(x - x === 0 && y - y === 0)) return Number.NaN;
    this.#search.find(x, y);
    return this.#search.segment < 0 ? Number.NaN : Math.sqrt(this.#search.gap);
  }

  #restart(): number {
    this.#taken.fill(0);
    return 1;
  }

  // the cells that the segment passes, a row at a time, and down where a cell is divided
  #collect(level: GridLevel, segment: Float64Array): void {
    const grid = this.#grid!;
    const ax = segment[0]!;
    const ay = segment[1]!;
    const bx = segment[2]!;
    const by = segment[3]!;
    const up = ay <= by;
    const lowX = up ? ax : bx;
    const lowY = up ? ay : by;
    const highX = up ? bx : ax;
    const highY = up ? by : ay;
    const west = ax < bx ? ax : bx;
    const east = ax < bx ? bx : ax;
    const height = 1 / level.perY;
    if (lowY > level.minY + (level.rows + 1) * height || highY < level.minY - height) return;
    const slope = highY > lowY ? (highX - lowX) / (highY - lowY) : 0;
    const firstRow = level.row(lowY);
    const lastRow = level.row(highY);
    for (let row = firstRow; row <= lastRow; row++) {
      let from = west;
      let to = east;
      if (lastRow > firstRow) {
        // a tenth of a cell to spare on each side
        const bottom = row === firstRow ? lowY : level.minY + (row - 0.1) * height;
        const top = row === lastRow ? highY : level.minY + (row + 1.1) * height;
        const x1 = lowX + slope * (bottom - lowY);
        const x2 = lowX + slope * (top - lowY);
        from = x1 < x2 ? x1 : x2;
        to = x1 < x2 ? x2 : x1;
        if (from < west) from = west;
        if (to > east) to = east;
      }
      const spare = 0.1 / level.perX;
      const lastColumn = level.column(to + spare);
      for (let column = level.column(from - spare); column <= lastColumn; column++) {
        const cell = level.cells[row * level.columns + column]!;
        if ((cell & 1) === 0) continue;
        const record = (cell >> 1) * 4;
        const below = grid.records[record + 3]!;
        if (below >= 0) {
          this.#collect(grid.levels[below]!, segment);
          continue;
        }
        const end = grid.records[record + 1]!;
        for (let k = grid.records[record]!; k < end; k++) {
          const edge = grid.entries[k]! >> 1;
          if (this.#taken[edge] === this.#query) continue;
          this.#taken[edge] = this.#query;
          this.#cut(4 * edge, segment);
        }
      }
    }
  }

  // where an edge cuts the segment, as a place on it from 0 to 1
  #cut(e: number, segment: Float64Array): void {
    const ends = this.#ends;
    const ax = segment[0]!;
    const ay = segment[1]!;
    const bx = segment[2]!;
    const by = segment[3]!;
    const cx = ends[e]!;
    const cy = ends[e + 1]!;
    const ex = ends[e + 2]!;
    const ey = ends[e + 3]!;
    const sideC = orient2d(ax, ay, bx, by, cx, cy);
    const sideE = orient2d(ax, ay, bx, by, ex, ey);
    if ((sideC > 0 && sideE > 0) || (sideC < 0 && sideE < 0)) return;
    if (sideC === 0 && sideE === 0) {
      const dx = bx - ax;
      const dy = by - ay;
      const wide = Math.abs(dx) > Math.abs(dy);
      const t1 = wide ? (cx - ax) / dx : (cy - ay) / dy;
      const t2 = wide ? (ex - ax) / dx : (ey - ay) / dy;
      const low = t1 < t2 ? t1 : t2;
      const high = t1 < t2 ? t2 : t1;
      if (high <= 0 || low >= 1) return;
      if (2 * this.#runCount + 2 > this.#runs.length) this.#runs = grown(this.#runs);
      this.#runs[2 * this.#runCount] = low;
      this.#runs[2 * this.#runCount + 1] = high;
      this.#runCount++;
      this.#push(low > 0 ? low : 0);
      this.#push(high < 1 ? high : 1);
      return;
    }
    const sideA = orient2d(cx, cy, ex, ey, ax, ay);
    const sideB = orient2d(cx, cy, ex, ey, bx, by);
    if ((sideA > 0 && sideB > 0) || (sideA < 0 && sideB < 0)) return;
    this.#push(sideA / (sideA - sideB));
  }

  #push(t: number): void {
    if (this.#cutCount === this.#cuts.length) this.#cuts = grown(this.#cuts);
    this.#cuts[this.#cutCount++] = t;
  }

  #onRun(t: number): boolean {
    for (let i = 0; i < this.#runCount; i++) {
      if (t >= this.#runs[2 * i]! && t <= this.#runs[2 * i + 1]!) return true;
    }
    return false;
  }
}

function isList(polygons: Polygon | readonly Polygon[]): polygons is readonly Polygon[] {
  return Array.isArray(polygons);
}

// exterior counter-clockwise, holes clockwise, edges of no length left out
function edgesOf(rings: readonly { ring: Ring; turned: boolean }[]): Float64Array {
  let most = 0;
  for (const { ring } of rings) most += ring.length;
  const ends = new Float64Array(4 * most);
  let k = 0;
  for (const { ring, turned } of rings) {
    for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
      const a = turned ? ring[i]! : ring[j]!;
      const b = turned ? ring[j]! : ring[i]!;
      if (a[0] === b[0] && a[1] === b[1]) continue;
      ends[k++] = a[0];
      ends[k++] = a[1];
      ends[k++] = b[0];
      ends[k++] = b[1];
    }
  }
  return ends.slice(0, k);
}

function boxOf(ends: Float64Array): Bounds {
  let minX = Number.POSITIVE_INFINITY;
  let minY = Number.POSITIVE_INFINITY;
  let maxX = Number.NEGATIVE_INFINITY;
  let maxY = Number.NEGATIVE_INFINITY;
  for (let k = 0; k < ends.length; k += 2) {
    if (ends[k]! < minX) minX = ends[k]!;
    if (ends[k]! > maxX) maxX = ends[k]!;
    if (ends[k + 1]! < minY) minY = ends[k + 1]!;
    if (ends[k + 1]! > maxY) maxY = ends[k + 1]!;
  }
  return { minX, minY, maxX, maxY };
}

function grown(array: Float64Array): Float64Array {
  const larger = new Float64Array(array.length * 2);
  larger.set(array);
  return larger;
}

// shell sort in place (gaps of M. Ciura 2001): no allocation, and no bad case for a segment along a comb
function sort(values: Float64Array, count: number): void {
  for (let gap = count > 57 ? 132 : count > 10 ? 10 : 4; gap > 0; gap = next(gap)) {
    for (let i = gap; i < count; i++) {
      const value = values[i]!;
      let j = i;
      while (j >= gap && values[j - gap]! > value) {
        values[j] = values[j - gap]!;
        j -= gap;
      }
      values[j] = value;
    }
  }
}

function next(gap: number): number {
  if (gap > 57) return 57;
  if (gap > 23) return 23;
  if (gap > 10) return 10;
  return gap > 4 ? 4 : gap > 1 ? 1 : 0;
}
