/**
 * A set of cells as runs of columns, row by row: what the bitmap, polygons and outlines are turned into to be combined.
 *
 * Rows ascend and are never empty; the runs of a row ascend and never touch.
 */
export interface RowRuns {
  /** row numbers */
  readonly rows: Int32Array;
  /** index of each row's first run; one more at the end, the number of runs */
  readonly starts: Int32Array;
  /** first column and column after the last, run by run */
  readonly ends: Int32Array;
}

/** Collects runs row by row; runs of one row must come in ascending order, and those that touch are joined. */
export class RunsBuilder {
  private rows = new Int32Array(64);
  private starts = new Int32Array(65);
  private ends = new Int32Array(256);
  private rowCount = 0;
  private length = 0;

  /** Begin a row, above all rows so far. */
  row(row: number): void {
    const n = this.rowCount;
    // a row that stayed empty is used again
    if (n > 0 && this.starts[n - 1] === this.length >> 1) {
      this.rows[n - 1] = row;
      return;
    }
    if (n === this.rows.length) {
      this.rows = doubled(this.rows, 2 * n);
      this.starts = doubled(this.starts, 2 * n + 1);
    }
    this.rows[n] = row;
    this.starts[n] = this.length >> 1;
    this.rowCount = n + 1;
  }

  /** Add a run to the row begun last; an empty one is left out. */
  run(from: number, to: number): void {
    if (from >= to) return;
    const at = this.length;
    if (at >> 1 > this.starts[this.rowCount - 1]! && this.ends[at - 1]! >= from) {
      this.ends[at - 1] = Math.max(to, this.ends[at - 1]!);
      return;
    }
    if (at === this.ends.length) this.ends = doubled(this.ends, 2 * at);
    this.ends[at] = from;
    this.ends[at + 1] = to;
    this.length = at + 2;
  }

  /** The runs collected. */
  build(): RowRuns {
    let rows = this.rowCount;
    if (rows > 0 && this.starts[rows - 1] === this.length >> 1) rows--;
    const starts = this.starts.slice(0, rows + 1);
    starts[rows] = this.length >> 1;
    return { rows: this.rows.slice(0, rows), starts, ends: this.ends.slice(0, this.length) };
  }
}

/** Number of cells in a set of runs. */
export function countCells(runs: RowRuns): number {
  let cells = 0;
  for (let i = 0; i < runs.ends.length; i += 2) cells += runs.ends[i + 1]! - runs.ends[i]!;
  return cells;
}

/** Which cells {@link combineRuns} keeps: those in either set, in both, or in the first alone. */
export type RunsOperation = "either" | "both" | "first-alone";

/** Beyond every column and row; an integer, to keep the loops in integers. */
export const FAR = 0x7fffffff;

/** Combine two sets of cells. */
export function combineRuns(a: RowRuns, b: RowRuns, operation: RunsOperation): RowRuns {
  const out = new RunsBuilder();
  let i = 0;
  let j = 0;
  while (i < a.rows.length || j < b.rows.length) {
    const rowA = i < a.rows.length ? a.rows[i]! : FAR;
    const rowB = j < b.rows.length ? b.rows[j]! : FAR;
    const row = Math.min(rowA, rowB);
    const inA = rowA === row;
    const inB = rowB === row;
    out.row(row);
    combineRow(
      out,
      a.ends,
      inA ? 2 * a.starts[i]! : 0,
      inA ? 2 * a.starts[i + 1]! : 0,
      b.ends,
      inB ? 2 * b.starts[j]! : 0,
      inB ? 2 * b.starts[j + 1]! : 0,
      operation,
    );
    if (inA) i++;
    if (inB) j++;
  }
  return out.build();
}

function combineRow(
  out: RunsBuilder,
  a: Int32Array,
  aStart: number,
  aEnd: number,
  b: Int32Array,
  bStart: number,
  bEnd: number,
  operation: RunsOperation,
): void {
  // walk the ends of both in order; an odd index is the end of a run, so parity says whether one is inside
  let i = aStart;
  let j = bStart;
  let since = 0;
  let inside = false;
  while (i < aEnd || j < bEnd) {
    const column = Math.min(i < aEnd ? a[i]! : FAR, j < bEnd ? b[j]! : FAR);
    if (i < aEnd && a[i] === column) i++;
    if (j < bEnd && b[j] === column) j++;
    const inA = (i & 1) === 1;
    const inB = (j & 1) === 1;
    const now = operation === "either" ? inA || inB : inA && (operation === "both" ? inB : !inB);
    if (now === inside) continue;
    if (now) since = column;
    else out.run(since, column);
    inside = now;
  }
}

function doubled(array: Int32Array, length: number): Int32Array<ArrayBuffer> {
  const grown = new Int32Array(length);
  grown.set(array);
  return grown;
}
