import { CELL_LIMIT, firstRowAt, SAMPLE_X, SAMPLE_Y } from "./sample.js";

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
  /** columns at which a row goes in and out, four places a row of the band, ascending */
  readonly spans: Int32Array = new Int32Array(BAND * 4);
  /** how many of the four places are used: 0, 2 or 4 */
  readonly counts: Int32Array = new Int32Array(BAND);
  /** first column of the band */
  firstColumn = 0;
  /** column after its last */
  endColumn = 0;
  /** cells of the band that are inside */
  cells = 0;

  private readonly scaled = new Float64Array(8);
  private readonly rows = new Int32Array(4);

  /**
   * Take the corners over.
   *
   * @param scale - cells a metre
   * @param extent - longest side of the box round the quad, cells
   * @returns false when a corner is not finite or the quad is too large or too far out: nothing may be scanned then
   */
  set(scale: number, extent: number): boolean {
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
    for (let i = 0; i < 4; i++) this.rows[i] = firstRowAt(c[2 * i + 1]!);
    this.firstRow = firstRowAt(minY);
    this.endRow = firstRowAt(maxY);
    return true;
  }

  /**
   * Scan the rows from `first` to the end of its row of tiles, or of the quad.
   *
   * @returns the row after the last one scanned
   */
  band(first: number): number {
    const end = Math.min(this.endRow, (first | (BAND - 1)) + 1);
    const c = this.scaled;
    const counts = this.counts;
    const spans = this.spans;
    for (let r = 0; r < end - first; r++) counts[r] = 0;
    for (let i = 0; i < 8; i += 2) {
      const j = (i + 2) & 7;
      const up = c[i + 1]! < c[j + 1]!;
      const low = up ? i : j;
      const high = up ? j : i;
      const from = Math.max(first, this.rows[low >> 1]!);
      const to = Math.min(end, this.rows[high >> 1]!);
      if (from >= to) continue;
      const x = c[low]!;
      const y = c[low + 1]!;
      // finite: a sample lies between the ends, and none is nearer to 0 than half a cell, where doubles are 5e-17 apart
      const slope = (c[high]! - x) / (c[high + 1]! - y);
      for (let row = from; row < to; row++) {
        const r = row - first;
        const n = counts[r]!;
        spans[(r << 2) + n] = Math.ceil(x + (row + SAMPLE_Y - y) * slope - SAMPLE_X);
        counts[r] = n + 1;
      }
    }
    let firstColumn = CELL_LIMIT;
    let endColumn = -CELL_LIMIT;
    let cells = 0;
    for (let r = 0; r < end - first; r++) {
      const n = counts[r]!;
      if (n === 0) continue;
      const at = r << 2;
      if (n === 4) sortFour(spans, at);
      else if (spans[at]! > spans[at + 1]!) swap(spans, at, at + 1);
      const a = spans[at]!;
      const b = spans[at + n - 1]!;
      if (a === b) continue;
      cells += b - a;
      if (n === 4) cells -= spans[at + 2]! - spans[at + 1]!;
      if (a < firstColumn) firstColumn = a;
      if (b > endColumn) endColumn = b;
    }
    this.firstColumn = firstColumn;
    this.endColumn = endColumn;
    this.cells = cells;
    return end;
  }
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
