import type { TracedRing } from "./trace.js";

/** The segments of some rings, and a grid that says which of them come near one another. */
export class SegmentGrid {
  /** start and end of each segment, cells */
  readonly x0: Int32Array;
  /** see `x0` */
  readonly y0: Int32Array;
  /** see `x0` */
  readonly x1: Int32Array;
  /** see `x0` */
  readonly y1: Int32Array;
  /** index of each segment's ring */
  readonly ring: Int32Array;
  /** the segment after each on its ring */
  readonly next: Int32Array;
  /** the segment before each on its ring */
  readonly previous: Int32Array;

  private readonly firsts: Int32Array;
  private readonly size: number;
  private readonly columns: number;
  private readonly rows: number;
  private readonly west: number;
  private readonly south: number;
  private readonly starts: Int32Array;
  private readonly members: Int32Array;

  constructor(rings: readonly TracedRing[]) {
    let n = 0;
    for (const ring of rings) n += ring.corners.length >> 1;
    this.x0 = new Int32Array(n);
    this.y0 = new Int32Array(n);
    this.x1 = new Int32Array(n);
    this.y1 = new Int32Array(n);
    this.ring = new Int32Array(n);
    this.next = new Int32Array(n);
    this.previous = new Int32Array(n);
    this.firsts = new Int32Array(rings.length + 1);
    let s = 0;
    rings.forEach((ring, r) => {
      const c = ring.corners;
      const first = s;
      const count = c.length >> 1;
      for (let i = 0; i < count; i++, s++) {
        const k = i + 1 === count ? 0 : i + 1;
        this.x0[s] = c[2 * i]!;
        this.y0[s] = c[2 * i + 1]!;
        this.x1[s] = c[2 * k]!;
        this.y1[s] = c[2 * k + 1]!;
        this.ring[s] = r;
        this.next[s] = first + k;
        this.previous[first + k] = s;
      }
      this.firsts[r + 1] = s;
    });

    this.west = this.x0.reduce((least, x) => Math.min(least, x), Infinity);
    this.south = this.y0.reduce((least, y) => Math.min(least, y), Infinity);
    const width = this.x0.reduce((most, x) => Math.max(most, x), -Infinity) - this.west + 1;
    const height = this.y0.reduce((most, y) => Math.max(most, y), -Infinity) - this.south + 1;
    // about one square a segment
    this.size = Math.max(4, Math.ceil(Math.sqrt((width * height) / n)), Math.ceil(Math.max(width, height) / (4 * n)));
    this.columns = Math.ceil(width / this.size);
    this.rows = Math.ceil(height / this.size);
    this.starts = new Int32Array(this.columns * this.rows + 1);
    for (let i = 0; i < n; i++) this.eachSquare(i, (square) => this.starts[square + 1]!++);
    for (let i = 0; i < this.columns * this.rows; i++) this.starts[i + 1]! += this.starts[i]!;
    this.members = new Int32Array(this.starts[this.columns * this.rows]!);
    const place = this.starts.slice();
    for (let i = 0; i < n; i++) this.eachSquare(i, (square) => (this.members[place[square]!++] = i));
  }

  /** Index of a segment on its ring. */
  indexOf(segment: number): number {
    return segment - this.firsts[this.ring[segment]!]!;
  }

  /** Visit every segment of a ring. */
  eachOf(ring: number, visit: (segment: number) => void): void {
    for (let s = this.firsts[ring]!; s < this.firsts[ring + 1]!; s++) visit(s);
  }

  /** Visit every two segments that share a square; some more than once. */
  eachPair(visit: (s: number, t: number) => void): void {
    for (let square = 0; square + 1 < this.starts.length; square++) {
      const end = this.starts[square + 1]!;
      for (let i = this.starts[square]!; i < end; i++) {
        for (let k = i + 1; k < end; k++) visit(this.members[i]!, this.members[k]!);
      }
    }
  }

  /**
   * The segment next to a ring in the west, half a cell above its lowest corner.
   *
   * @returns index of the segment of another ring, -1 where there is none
   */
  westOf(ring: number): number {
    let lowest = Infinity;
    for (let s = this.firsts[ring]!; s < this.firsts[ring + 1]!; s++) lowest = Math.min(lowest, this.y0[s]!);
    // corners are whole numbers: the line misses them all
    const y = lowest + 0.5;
    let own = Infinity;
    for (let s = this.firsts[ring]!; s < this.firsts[ring + 1]!; s++)
      own = Math.min(own, this.crossing(s, y, Infinity));
    const row = Math.floor((y - this.south) / this.size);
    for (let column = Math.floor((own - this.west) / this.size); column >= 0; column--) {
      const square = row * this.columns + column;
      let nearest = -Infinity;
      let found = -1;
      for (let i = this.starts[square]!; i < this.starts[square + 1]!; i++) {
        const s = this.members[i]!;
        if (this.ring[s] === ring) continue;
        const x = this.crossing(s, y, -Infinity);
        if (x > own || x <= nearest || x < this.west + column * this.size) continue;
        nearest = x;
        found = s;
      }
      if (found >= 0) return found;
    }
    return -1;
  }

  private crossing(s: number, y: number, none: number): number {
    const from = this.y0[s]!;
    const to = this.y1[s]!;
    if (from < y === to < y) return none;
    return this.x0[s]! + ((y - from) / (to - from)) * (this.x1[s]! - this.x0[s]!);
  }

  /** Squares that a segment may pass: row by row, those between its ends there, and one of slack. */
  private eachSquare(s: number, visit: (square: number) => void): void {
    const up = this.y0[s]! <= this.y1[s]!;
    const lowX = (up ? this.x0[s]! : this.x1[s]!) - this.west;
    const lowY = (up ? this.y0[s]! : this.y1[s]!) - this.south;
    const highX = (up ? this.x1[s]! : this.x0[s]!) - this.west;
    const highY = (up ? this.y1[s]! : this.y0[s]!) - this.south;
    const slope = highY === lowY ? 0 : (highX - lowX) / (highY - lowY);
    const lastRow = Math.floor(highY / this.size);
    for (let row = Math.floor(lowY / this.size); row <= lastRow; row++) {
      const from = lowY === highY ? lowX : lowX + (Math.max(lowY, row * this.size) - lowY) * slope;
      const to = lowY === highY ? highX : lowX + (Math.min(highY, (row + 1) * this.size) - lowY) * slope;
      // rounding may put a crossing just beyond a border
      const first = Math.max(0, Math.floor((Math.min(from, to) - 1e-6) / this.size));
      const last = Math.min(this.columns - 1, Math.floor((Math.max(from, to) + 1e-6) / this.size));
      for (let column = first; column <= last; column++) visit(row * this.columns + column);
    }
  }
}
