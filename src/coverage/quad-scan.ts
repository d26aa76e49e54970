import { CELL_LIMIT, firstRowOf, SAMPLE_X, SAMPLE_Y } from "./sample.js";

/** Rows in one band: a row of tiles. */
const BAND = 64;

/**
 * Scan conversion of a quad, one band of rows at a time: which columns of each row have their sample inside.
 *
 * Even-odd over the four edges, so any winding, a concave quad and a bow-tie (its two triangles) need no case of their
 * own. The crossing of an edge with a row is computed from its lower end, whichever way round it was given: two quads
 * with the same edge get the same number, so that no cell falls between them and none is in both.
 */
export class QuadScan {
  /** corners x0, y0, ..., x3, y3, metres: the caller fills them, then calls {@link QuadScan.set} */
  readonly corners: Float64Array = new Float64Array(8);
  /** first row of the quad */
  firstRow = 0;
  /** row after its last */
  endRow = 0;
  /** first column inside, by row of the band */
  readonly from: Int32Array = new Int32Array(BAND);
  /** column after the last one inside, by row of the band; not above `from` where the row has none */
  readonly to: Int32Array = new Int32Array(BAND);
  /** the second run of a row, as of a bow-tie or a concave quad; valid while `forked` */
  readonly from2: Int32Array = new Int32Array(BAND);
  /** see `from2` */
  readonly to2: Int32Array = new Int32Array(BAND);
  /** whether a row of the band may have a second run */
  forked = false;
  /** first column of the band */
  firstColumn = 0;
  /** column after its last */
  endColumn = 0;
  /** cells of the band that are inside */
  cells = 0;

  private readonly scaled = new Float64Array(8);
  private readonly rows = new Int32Array(4);
  private readonly crossings = new Int32Array(BAND * 4);
  private readonly crossed = new Int32Array(BAND);
  private turn = 0;
  // scale and extent: numbers handed over with each call may be boxed, those in an array are not
  private readonly limits: Float64Array;

  /**
   * @param limits - cells a metre, and longest side of the box round the quad, cells
   */
  constructor(limits: Float64Array) {
    this.limits = limits;
  }

  /**
   * Take the corners over.
   *
   * @returns false when a corner is not finite or the quad is too large or too far out: nothing may be scanned then
   */
  set(): boolean {
    const scale = this.limits[0]!;
    const extent = this.limits[1]!;
    const metres = this.corners;
    const c = this.scaled;
    let minX = Infinity;
    let maxX = -Infinity;
    let minY = Infinity;
    let maxY = -Infinity;
    for (let i = 0; i < 8; i += 2) {
      const x = metres[i]! * scale;
      const y = metres[i + 1]! * scale;
      c[i] = x;
      c[i + 1] = y;
      // min and max of Math carry NaN along, which the comparison below then refuses
      minX = Math.min(minX, x);
      maxX = Math.max(maxX, x);
      minY = Math.min(minY, y);
      maxY = Math.max(maxY, y);
    }
    const inReach = minX > -CELL_LIMIT && maxX < CELL_LIMIT && minY > -CELL_LIMIT && maxY < CELL_LIMIT;
    if (!(inReach && maxX - minX <= extent && maxY - minY <= extent)) return false;
    this.turn = turnOf(c);
    const rows = this.rows;
    for (let i = 0; i < 4; i++) rows[i] = firstRowOf(c, 2 * i + 1);
    // the rows ascend with the heights
    this.firstRow = Math.min(rows[0]!, rows[1]!, rows[2]!, rows[3]!);
    this.endRow = Math.max(rows[0]!, rows[1]!, rows[2]!, rows[3]!);
    return true;
  }

  /**
   * Scan the rows from `first` to the end of its row of tiles, or of the quad.
   *
   * @returns the row after the last one scanned
   */
  band(first: number): number {
    const end = Math.min(this.endRow, (first | (BAND - 1)) + 1);
    this.forked = this.turn === 0;
    if (this.turn === 0) this.scanAny(first, end);
    else this.scanConvex(first, end);
    return end;
  }

  /** A convex quad: its edges of one direction bound the rows in the west, those of the other in the east. */
  private scanConvex(first: number, end: number): void {
    // hot: nearly every quad
    const c = this.scaled;
    const rows = this.rows;
    let firstColumn = CELL_LIMIT;
    let endColumn = -CELL_LIMIT;
    let cells = 0;
    for (let i = 0; i < 4; i++) {
      const j = (i + 1) & 3;
      const up = c[2 * i + 1]! < c[2 * j + 1]!;
      const low = up ? i : j;
      const high = up ? j : i;
      const begin = Math.max(first, rows[low]!);
      const stop = Math.min(end, rows[high]!);
      if (begin >= stop) continue;
      const x = c[2 * low]!;
      const y = c[2 * low + 1]!;
      const slope = (c[2 * high]! - x) / (c[2 * high + 1]! - y);
      const east = up === this.turn > 0;
      const columns = east ? this.to : this.from;
      let sum = 0;
      for (let row = begin; row < stop; row++) {
        const column = Math.ceil(x + (row + SAMPLE_Y - y) * slope - SAMPLE_X) | 0;
        columns[row - first] = column;
        sum += column;
      }
      // an edge is monotone: its extremes are its ends
      const head = columns[begin - first]!;
      const tail = columns[stop - 1 - first]!;
      if (east) {
        cells += sum;
        endColumn = Math.max(endColumn, head, tail);
      } else {
        cells -= sum;
        firstColumn = Math.min(firstColumn, head, tail);
      }
    }
    this.firstColumn = firstColumn;
    this.endColumn = endColumn;
    this.cells = cells;
  }

  /** Any quad: two or four crossings a row, sorted. */
  private scanAny(first: number, end: number): void {
    const c = this.scaled;
    const crossings = this.crossings;
    const crossed = this.crossed;
    for (let r = 0; r < end - first; r++) crossed[r] = 0;
    for (let i = 0; i < 4; i++) {
      const j = (i + 1) & 3;
      const up = c[2 * i + 1]! < c[2 * j + 1]!;
      const low = up ? i : j;
      const high = up ? j : i;
      const begin = Math.max(first, this.rows[low]!);
      const stop = Math.min(end, this.rows[high]!);
      if (begin >= stop) continue;
      const x = c[2 * low]!;
      const y = c[2 * low + 1]!;
      // finite: a sample lies between the ends, and none is nearer to 0 than half a cell, where doubles are 5e-17 apart
      const slope = (c[2 * high]! - x) / (c[2 * high + 1]! - y);
      for (let row = begin; row < stop; row++) {
        const r = row - first;
        crossings[(r << 2) + crossed[r]!] = Math.ceil(x + (row + SAMPLE_Y - y) * slope - SAMPLE_X);
        crossed[r] = crossed[r]! + 1;
      }
    }
    let firstColumn = CELL_LIMIT;
    let endColumn = -CELL_LIMIT;
    let cells = 0;
    for (let r = 0; r < end - first; r++) {
      const at = r << 2;
      const n = crossed[r]!;
      // places that no edge crossed make an empty run at the last column
      for (let k = n; k < 4; k++) crossings[at + k] = CELL_LIMIT;
      sortFour(crossings, at);
      this.from[r] = crossings[at]!;
      this.to[r] = crossings[at + 1]!;
      this.from2[r] = crossings[at + 2]!;
      this.to2[r] = crossings[at + 3]!;
      if (n === 0) continue;
      cells += this.to[r]! - this.from[r]! + this.to2[r]! - this.from2[r]!;
      firstColumn = Math.min(firstColumn, this.from[r]!);
      endColumn = Math.max(endColumn, n === 4 ? this.to2[r]! : this.to[r]!);
    }
    this.firstColumn = firstColumn;
    this.endColumn = endColumn;
    this.cells = cells;
  }
}

/** 1 for a convex quad walked counter-clockwise, -1 for one walked clockwise, 0 for any other. */
function turnOf(c: Float64Array): number {
  let left = 0;
  let right = 0;
  for (let i = 0; i < 8; i += 2) {
    const j = (i + 2) & 7;
    const k = (i + 4) & 7;
    const turn = (c[j]! - c[i]!) * (c[k + 1]! - c[j + 1]!) - (c[j + 1]! - c[i + 1]!) * (c[k]! - c[j]!);
    if (turn > 0) left++;
    else if (turn < 0) right++;
  }
  if (left === 4) return 1;
  return right === 4 ? -1 : 0;
}

function swap(spans: Int32Array, i: number, j: number): void {
  const kept = spans[i]!;
  spans[i] = spans[j]!;
  spans[j] = kept;
}

function sortFour(spans: Int32Array, at: number): void {
  // the five comparisons of a sorting network
  if (spans[at]! > spans[at + 1]!) swap(spans, at, at + 1);
  if (spans[at + 2]! > spans[at + 3]!) swap(spans, at + 2, at + 3);
  if (spans[at]! > spans[at + 2]!) swap(spans, at, at + 2);
  if (spans[at + 1]! > spans[at + 3]!) swap(spans, at + 1, at + 3);
  if (spans[at + 1]! > spans[at + 2]!) swap(spans, at + 1, at + 2);
}
