/**
 * The alive parts of one piece while killers cut it: a short sorted list of intervals, each end with its cause.
 *
 * @internal
 */
export class PieceCut {
  count = 0;
  low: Float64Array = new Float64Array(16);
  high: Float64Array = new Float64Array(16);
  lowCause: Int32Array = new Int32Array(16);
  highCause: Int32Array = new Int32Array(16);

  start(low: number, high: number, lowCause: number, highCause: number): void {
    this.count = 1;
    this.low[0] = low;
    this.high[0] = high;
    this.lowCause[0] = lowCause;
    this.highCause[0] = highCause;
  }

  /** take the open interval between two ends out; what is cut there gets these causes */
  cut(ends: Float64Array, fromCause: number, toCause: number): void {
    // hot
    const from = ends[0]!;
    const to = ends[1]!;
    let i = 0;
    while (i < this.count) {
      const a = this.low[i]!;
      const b = this.high[i]!;
      if (from >= b || to <= a) {
        i++;
      } else if (from > a) {
        if (to < b) {
          this.open(i + 1);
          this.low[i + 1] = to;
          this.high[i + 1] = b;
          this.lowCause[i + 1] = toCause;
          this.highCause[i + 1] = this.highCause[i]!;
          this.high[i] = from;
          this.highCause[i] = fromCause;
          return;
        }
        this.high[i] = from;
        this.highCause[i] = fromCause;
        i++;
      } else if (to < b) {
        this.low[i] = to;
        this.lowCause[i] = toCause;
        i++;
      } else {
        this.close(i);
      }
    }
  }

  private open(at: number): void {
    if (this.count === this.low.length) this.grow();
    for (let i = this.count; i > at; i--) this.move(i - 1, i);
    this.count++;
  }

  private close(at: number): void {
    this.count--;
    for (let i = at; i < this.count; i++) this.move(i + 1, i);
  }

  private move(from: number, to: number): void {
    this.low[to] = this.low[from]!;
    this.high[to] = this.high[from]!;
    this.lowCause[to] = this.lowCause[from]!;
    this.highCause[to] = this.highCause[from]!;
  }

  private grow(): void {
    const n = 2 * this.low.length;
    const low = new Float64Array(n);
    const high = new Float64Array(n);
    const lowCause = new Int32Array(n);
    const highCause = new Int32Array(n);
    low.set(this.low);
    high.set(this.high);
    lowCause.set(this.lowCause);
    highCause.set(this.highCause);
    this.low = low;
    this.high = high;
    this.lowCause = lowCause;
    this.highCause = highCause;
  }
}
