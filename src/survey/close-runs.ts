import { FAR, type RowRuns, RunsBuilder } from "../coverage/row-runs.js";

/**
 * Close gaps in a set of cells: morphological closing with a disc.
 *
 * A cell is added where every disc that holds it holds ground too. So nothing is taken away, outward corners stay as
 * they are, inward ones are filled up to an arc of the radius, and to close twice changes nothing. A disc is all cells
 * whose centres lie within the radius of the centre of one of them.
 *
 * Time grows with rows, radius and runs in a row, not with the area.
 *
 * @param runs - the cells
 * @param radius - of the disc, cells
 * @see J. Serra, Image Analysis and Mathematical Morphology, 1982
 */
export function closeRuns(runs: RowRuns, radius: number): RowRuns {
  if (radius < 1) return runs;
  const widths = discWidths(radius);
  return erode(dilate(runs, widths), widths);
}

/** How far the disc reaches along its row, for each row up from its centre, cells. */
function discWidths(radius: number): Int32Array {
  const widths = new Int32Array(Math.floor(radius) + 1);
  for (let dy = 0; dy < widths.length; dy++) widths[dy] = Math.floor(Math.sqrt(radius * radius - dy * dy));
  return widths;
}

/** Cells within the disc about any of the cells. */
function dilate(runs: RowRuns, widths: Int32Array): RowRuns {
  const { rows, starts, ends } = runs;
  const reach = widths.length - 1;
  const out = new RunsBuilder();
  const rest = new Rest();
  let next = -FAR;
  for (let i = 0; i < rows.length; i++) {
    const last = rows[i]! + reach;
    // rows that an earlier one reached are done
    for (let row = Math.max(rows[i]! - reach, next); row <= last; row++) {
      if (i + 1 < rows.length && row > rows[i + 1]!) break;
      next = row + 1;
      rest.all();
      // the nearest rows take most
      for (let k = i; k < rows.length && rows[k]! <= row + reach; k++) {
        rest.subtract(ends, 2 * starts[k]!, 2 * starts[k + 1]!, widths[Math.abs(rows[k]! - row)]!);
      }
      for (let k = i - 1; k >= 0 && rows[k]! >= row - reach; k--) {
        rest.subtract(ends, 2 * starts[k]!, 2 * starts[k + 1]!, widths[Math.abs(rows[k]! - row)]!);
      }
      out.row(row);
      // ground is what lies between the gaps that are left
      for (let g = 1; g < rest.count - 1; g += 2) out.run(rest.ends[g]!, rest.ends[g + 1]!);
    }
  }
  return out.build();
}

/** Cells whose whole disc is among the cells. */
function erode(runs: RowRuns, widths: Int32Array): RowRuns {
  const { rows, starts, ends } = runs;
  const reach = widths.length - 1;
  const out = new RunsBuilder();
  const rest = new Rest();
  const gaps = gapsOf(runs);
  for (let i = reach; i + reach < rows.length; i++) {
    const row = rows[i]!;
    // a row without ground leaves nothing near it
    if (rows[i - reach] !== row - reach || rows[i + reach] !== row + reach) continue;
    rest.set(ends, 2 * starts[i]!, 2 * starts[i + 1]!);
    for (let dy = 0; dy <= reach && rest.count > 0; dy++) {
      const width = widths[dy]!;
      rest.subtract(gaps.ends, gaps.starts[i + dy]!, gaps.starts[i + dy + 1]!, width);
      if (dy > 0) rest.subtract(gaps.ends, gaps.starts[i - dy]!, gaps.starts[i - dy + 1]!, width);
    }
    out.row(row);
    for (let g = 0; g < rest.count; g += 2) out.run(rest.ends[g]!, rest.ends[g + 1]!);
  }
  return out.build();
}

/** The gaps between the runs of each row, those to both sides of all of them included. */
function gapsOf(runs: RowRuns): { readonly starts: Int32Array; readonly ends: Int32Array } {
  const { rows, ends } = runs;
  const starts = new Int32Array(rows.length + 1);
  const gaps = new Int32Array(ends.length + 2 * rows.length);
  let at = 0;
  for (let i = 0; i < rows.length; i++) {
    starts[i] = at;
    gaps[at++] = -FAR;
    for (let k = 2 * runs.starts[i]!; k < 2 * runs.starts[i + 1]!; k++) gaps[at++] = ends[k]!;
    gaps[at++] = FAR;
  }
  starts[rows.length] = at;
  return { starts, ends: gaps };
}

/** What is left of one row as runs are taken away from it. */
class Rest {
  /** first column and column after the last, run by run */
  ends: Int32Array<ArrayBuffer> = new Int32Array(64);
  /** numbers of `ends` in use */
  count = 0;
  private spare = new Int32Array(64);

  /** The whole row. */
  all(): void {
    this.ends[0] = -FAR;
    this.ends[1] = FAR;
    this.count = 2;
  }

  set(ends: Int32Array, from: number, to: number): void {
    if (this.ends.length < to - from) this.ends = new Int32Array(2 * (to - from));
    this.count = to - from;
    for (let k = from; k < to; k++) this.ends[k - from] = ends[k]!;
  }

  /** Take away runs, each made wider by some cells on both sides. */
  subtract(runs: Int32Array, from: number, to: number, width: number): void {
    // hot: once for each row of the disc at each row of the field
    const { ends, count } = this;
    if (this.spare.length < count + to - from) this.spare = new Int32Array(2 * (count + to - from));
    const out = this.spare;
    let n = 0;
    let k = from;
    for (let g = 0; g < count; g += 2) {
      let at = ends[g]!;
      const end = ends[g + 1]!;
      k = firstBeyond(runs, k, to, at - width);
      for (let j = k; j < to && at < end; j += 2) {
        const west = runs[j]! - width;
        if (west >= end) break;
        if (west > at) {
          out[n++] = at;
          out[n++] = west;
        }
        at = Math.max(at, runs[j + 1]! + width);
      }
      if (at < end) {
        out[n++] = at;
        out[n++] = end;
      }
    }
    this.spare = ends;
    this.ends = out;
    this.count = n;
  }
}

/** First run that ends beyond a column, in steps that double: few gaps are left among many runs. */
function firstBeyond(runs: Int32Array, from: number, to: number, column: number): number {
  if (from >= to || runs[from + 1]! > column) return from;
  let low = from;
  let step = 2;
  while (low + step < to && runs[low + step + 1]! <= column) {
    low += step;
    step *= 2;
  }
  let high = Math.min(to, low + step);
  // run `low` ends at or before the column, run `high` beyond it or past the last
  while (high - low > 2) {
    const middle = low + 2 * ((high - low) >> 2);
    if (runs[middle + 1]! <= column) low = middle;
    else high = middle;
  }
  return high;
}
