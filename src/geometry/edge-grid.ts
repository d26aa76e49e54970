import { orient2d } from "robust-predicates";
import { eachCell, GridLevel } from "./grid-level.js";
import { MIXED, SUMMARY, summaryOf } from "./grid-summary.js";

// an edge cell with more edges than this is divided again, as long as the budget lasts
const CROWDED = 16;
const DEEPEST = 6;
// cells a side of a level at the most
const WIDEST = 512;
// entries (an edge in a cell) a level may hold for each edge, and all levels together
const ENTRIES_AN_EDGE = 6;
const ENTRIES_IN_ALL = 40;
// smallest cell and padding against rounding, relative to the largest coordinate
const SMALLEST = 2 ** -36;
const PADDING = 2 ** -46;

/**
 * The edges of rings in a grid of cells that is divided again where edges crowd. Each edge cell has a point of known
 * winding number that lies on no edge's line; a query in the cell counts the edges between that point and itself by
 * exact predicates, so the answer is exact and depends on no tolerance. Cells only decide which edges are looked at.
 *
 * @internal
 */
export class EdgeGrid {
  /** `[ax, ay, bx, by, ...]`, metres */
  readonly ends: Float64Array;
  readonly levels: GridLevel[] = [];
  /** a record: first entry, end of entries, winding at its point, level below or -1 */
  records: Int32Array = new Int32Array(256);
  /** points of the records */
  points: Float64Array = new Float64Array(128);
  /** edge numbers doubled, plus one where the record's point is right of the edge */
  entries: Int32Array = new Int32Array(1024);

  /** winding number of each square of 8 x 8 cells of the first level where all have the same: small enough for the cache */
  readonly #summary: Int8Array;
  readonly #summaryColumns: number;
  #recordCount = 0;
  #entryCount = 0;
  readonly #padding: number;
  readonly #smallest: number;
  readonly #budget: number;

  /**
   * @param ends - `[ax, ay, bx, by, ...]` of edges that together close, metres, none of no length
   * @param bounds - box of the edges, metres
   */
  constructor(ends: Float64Array, bounds: { minX: number; minY: number; maxX: number; maxY: number }) {
    this.ends = ends;
    const n = ends.length / 4;
    const size = Math.max(-bounds.minX, bounds.maxX, -bounds.minY, bounds.maxY, Number.MIN_VALUE);
    this.#padding = size * PADDING;
    this.#smallest = size * SMALLEST;
    this.#budget = ENTRIES_IN_ALL * n + 1024;
    const all = new Int32Array(n);
    for (let i = 0; i < n; i++) all[i] = i;
    const margin = this.#smallest + 1e-3 * Math.max(bounds.maxX - bounds.minX, bounds.maxY - bounds.minY);
    const { minX, minY, maxX, maxY } = bounds;
    const level = this.#level(
      minX - margin,
      minY - margin,
      maxX + margin,
      maxY + margin,
      all,
      Math.min(16 * n, WIDEST ** 2),
    );
    // the south-west corner of the margin lies outside everything
    this.#fill(level, all, minX - margin, minY - margin, 0, 0);
    this.#summaryColumns = ((level.columns - 1) >> SUMMARY) + 1;
    this.#summary = summaryOf(level, this.#summaryColumns);
  }

  /**
   * Winding number at a point within the bounds.
   *
   * @returns `Infinity` on an edge
   */
  winding(place: Float64Array): number {
    // hot: one cell in the usual case, a handful of edges in an edge cell
    const x = place[0]!;
    const y = place[1]!;
    let level = this.levels[0]!;
    // as row and column of the level, with no point beyond its south and west
    let row = ((y - level.minY) * level.perY) | 0;
    let column = ((x - level.minX) * level.perX) | 0;
    if (row >= level.rows) row = level.rows - 1;
    if (column >= level.columns) column = level.columns - 1;
    const all = this.#summary[(row >> SUMMARY) * this.#summaryColumns + (column >> SUMMARY)]!;
    if (all !== MIXED) return all;
    for (;;) {
      const cell = level.cells[row * level.columns + column]!;
      if ((cell & 1) === 0) return cell >> 1;
      const record = (cell >> 1) * 4;
      const below = this.records[record + 3]!;
      if (below < 0) return this.#count(record, place);
      level = this.levels[below]!;
      row = level.row(y);
      column = level.column(x);
    }
  }

  // hot
  #count(record: number, place: Float64Array): number {
    const x = place[0]!;
    const y = place[1]!;
    const ends = this.ends;
    const entries = this.entries;
    const to = this.records[record + 1]!;
    const cx = this.points[record >> 1]!;
    const cy = this.points[(record >> 1) + 1]!;
    let winding = this.records[record + 2]!;
    for (let k = this.records[record]!; k < to; k++) {
      const entry = entries[k]!;
      const e = (entry >> 1) * 4;
      const ax = ends[e]!;
      const ay = ends[e + 1]!;
      const bx = ends[e + 2]!;
      const by = ends[e + 3]!;
      const here = orient2d(ax, ay, bx, by, x, y);
      if (here === 0) {
        const inX = ax < bx ? x >= ax && x <= bx : x >= bx && x <= ax;
        const inY = ay < by ? y >= ay && y <= by : y >= by && y <= ay;
        if (inX && inY) return Number.POSITIVE_INFINITY;
        continue;
      }
      const pointRight = (entry & 1) === 1;
      if (here > 0 === pointRight) continue;
      // an end exactly on the way counts as left of it: each ring then passes the way evenly
      const startRight = orient2d(cx, cy, x, y, ax, ay) > 0;
      const endRight = orient2d(cx, cy, x, y, bx, by) > 0;
      if (startRight === endRight) continue;
      winding += pointRight ? 1 : -1;
    }
    return winding;
  }

  #level(minX: number, minY: number, maxX: number, maxY: number, edges: Int32Array, wanted: number): GridLevel {
    const ends = this.ends;
    let spanX = 0;
    let spanY = 0;
    for (let i = 0; i < edges.length; i++) {
      const e = 4 * edges[i]!;
      const lowX = Math.max(minX, Math.min(ends[e]!, ends[e + 2]!));
      const highX = Math.min(maxX, Math.max(ends[e]!, ends[e + 2]!));
      const lowY = Math.max(minY, Math.min(ends[e + 1]!, ends[e + 3]!));
      const highY = Math.min(maxY, Math.max(ends[e + 1]!, ends[e + 3]!));
      spanX += Math.max(0, highX - lowX);
      spanY += Math.max(0, highY - lowY);
    }
    const width = maxX - minX;
    const height = maxY - minY;
    // square cells, as many as wanted, yet no more entries than allowed
    const cell = Math.max(
      Math.sqrt((width * height) / wanted),
      (spanX + spanY) / (ENTRIES_AN_EDGE * edges.length),
      width / WIDEST,
      height / WIDEST,
      this.#smallest,
    );
    const columns = Math.max(1, Math.floor(width / cell));
    const rows = Math.max(1, Math.floor(height / cell));
    const level = new GridLevel(minX, minY, maxX, maxY, columns, rows);
    this.levels.push(level);
    return level;
  }

  // enters the edges into the cells of a level, then walks a known winding number from cell to cell
  #fill(level: GridLevel, edges: Int32Array, knownX: number, knownY: number, known: number, depth: number): void {
    const { columns, rows, cells } = level;
    const counts = new Int32Array(columns * rows + 1);
    eachCell(level, this.ends, edges, this.#padding, (cell) => {
      counts[cell + 1]!++;
    });
    for (let i = 0; i < columns * rows; i++) counts[i + 1]! += counts[i]!;
    const starts = counts.slice();
    const list = new Int32Array(counts[columns * rows]!);
    eachCell(level, this.ends, edges, this.#padding, (cell, edge) => {
      list[starts[cell]!++] = edge;
    });

    const width = 1 / level.perX;
    const height = 1 / level.perY;
    let x = knownX;
    let y = knownY;
    let winding = known;
    let rowX = x;
    let rowY = y;
    let rowWinding = winding;
    let before: Int32Array = edges;
    let rowBefore: Int32Array = edges;
    const point: [number, number] = [0, 0];
    for (let row = 0; row < rows; row++) {
      x = rowX;
      y = rowY;
      winding = rowWinding;
      before = rowBefore;
      for (let column = 0; column < columns; column++) {
        const cell = row * columns + column;
        const low = level.minX + column * width;
        const base = level.minY + row * height;
        if (before.length > 0 || counts[cell] !== counts[cell + 1]) {
          const here = list.subarray(counts[cell], counts[cell + 1]);
          this.#pointOff(here, before, low, base, width, height, point);
          winding += this.#between(before, here, x, y, point[0], point[1]);
          x = point[0];
          y = point[1];
          before = here;
        } else {
          // open ground: no edge between here and the cell before
          x = low + width / 2;
          y = base + height / 2;
        }
        if (column === 0) {
          rowX = x;
          rowY = y;
          rowWinding = winding;
          rowBefore = before;
        }
        if (before.length === 0) cells[cell] = winding * 2;
        else cells[cell] = this.#record(before, x, y, winding, low, base, width, height, depth) * 2 + 1;
      }
    }
  }

  #record(
    edges: Int32Array,
    x: number,
    y: number,
    winding: number,
    minX: number,
    minY: number,
    width: number,
    height: number,
    depth: number,
  ): number {
    const number = this.#recordCount++;
    if (4 * number + 4 > this.records.length) {
      this.records = grown(this.records);
      const points = new Float64Array(this.points.length * 2);
      points.set(this.points);
      this.points = points;
    }
    this.records[4 * number + 2] = winding;
    this.records[4 * number + 3] = -1;
    this.points[2 * number] = x;
    this.points[2 * number + 1] = y;
    const roomy = Math.min(width, height) > 4 * this.#smallest;
    if (edges.length > CROWDED && depth < DEEPEST && roomy && this.#entryCount < this.#budget) {
      // a little wider than the cell: what rounds into the cell must lie in the level below too
      const padding = this.#padding * 4;
      const before = this.levels.length;
      const level = this.#level(
        minX - padding,
        minY - padding,
        minX + width + padding,
        minY + height + padding,
        edges,
        Math.min(4 * edges.length, WIDEST * WIDEST),
      );
      if (level.columns * level.rows >= 4) {
        this.records[4 * number] = this.records[4 * number + 1] = 0;
        this.records[4 * number + 3] = before;
        this.#fill(level, edges, x, y, winding, depth + 1);
        return number;
      }
      this.levels.pop();
    }
    const first = this.#entryCount;
    const ends = this.ends;
    for (let i = 0; i < edges.length; i++) {
      if (this.#entryCount === this.entries.length) this.entries = grown(this.entries);
      const e = 4 * edges[i]!;
      const right = orient2d(ends[e]!, ends[e + 1]!, ends[e + 2]!, ends[e + 3]!, x, y) > 0;
      this.entries[this.#entryCount++] = edges[i]! * 2 + (right ? 1 : 0);
    }
    this.records[4 * number] = first;
    this.records[4 * number + 1] = this.#entryCount;
    return number;
  }

  // a point inside the cell and on no line of any edge near it
  #pointOff(
    here: Int32Array,
    before: Int32Array,
    minX: number,
    minY: number,
    width: number,
    height: number,
    out: [number, number],
  ): void {
    const ends = this.ends;
    let u = 0.5;
    let v = 0.5;
    for (;;) {
      const x = minX + u * width;
      const y = minY + v * height;
      let on = false;
      for (let side = 0; side < 2 && !on; side++) {
        const list = side === 0 ? here : before;
        for (let i = 0; i < list.length && !on; i++) {
          const e = 4 * list[i]!;
          on = orient2d(ends[e]!, ends[e + 1]!, ends[e + 2]!, ends[e + 3]!, x, y) === 0;
        }
      }
      if (!on) {
        out[0] = x;
        out[1] = y;
        return;
      }
      // fractional parts of multiples of irrational numbers: never the same point twice
      u = 0.25 + 0.5 * ((u * 7.2360679775 + 0.1237) % 1);
      v = 0.25 + 0.5 * ((v * 9.1414213562 + 0.3713) % 1);
    }
  }

  // how the winding number changes on the straight way from one point to another, by the edges of two cells
  #between(one: Int32Array, two: Int32Array, cx: number, cy: number, x: number, y: number): number {
    const ends = this.ends;
    let change = 0;
    let i = 0;
    let j = 0;
    while (i < one.length || j < two.length) {
      // both lists ascend; an edge in both counts once
      const a = i < one.length ? one[i]! : Number.POSITIVE_INFINITY;
      const b = j < two.length ? two[j]! : Number.POSITIVE_INFINITY;
      const edge = a <= b ? a : b;
      if (a === edge) i++;
      if (b === edge) j++;
      const e = 4 * edge;
      const from = orient2d(ends[e]!, ends[e + 1]!, ends[e + 2]!, ends[e + 3]!, cx, cy);
      const to = orient2d(ends[e]!, ends[e + 1]!, ends[e + 2]!, ends[e + 3]!, x, y);
      if (from > 0 === to > 0) continue;
      const startRight = orient2d(cx, cy, x, y, ends[e]!, ends[e + 1]!) > 0;
      const endRight = orient2d(cx, cy, x, y, ends[e + 2]!, ends[e + 3]!) > 0;
      if (startRight !== endRight) change += from > 0 ? 1 : -1;
    }
    return change;
  }
}

function grown(array: Int32Array): Int32Array {
  const larger = new Int32Array(array.length * 2);
  larger.set(array);
  return larger;
}
