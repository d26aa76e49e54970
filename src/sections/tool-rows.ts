import type { Boom } from "./boom.js";

/** The rows that a boom's sections stand on, one behind the other; most booms have one. */
export class ToolRows {
  /** metres of each row ahead of the reference point */
  readonly x: Float64Array;
  /** row of each section */
  readonly of: Int32Array;
  /** leftmost section of each row */
  readonly first: Int32Array;
  /** rightmost section of each row */
  readonly last: Int32Array;

  constructor(boom: Boom) {
    const x: number[] = [];
    const first: number[] = [];
    const last: number[] = [];
    this.of = Int32Array.from(boom.sections, (section, i) => {
      let row = x.indexOf(section.x);
      if (row < 0) {
        row = x.push(section.x) - 1;
        first.push(i);
      }
      last[row] = i;
      return row;
    });
    this.x = Float64Array.from(x);
    this.first = Int32Array.from(first);
    this.last = Int32Array.from(last);
  }
}
