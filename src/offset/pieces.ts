/** Cause of a piece's end: nothing cut it, it is the end of its own element. */
export const OWN = -2;
/** Cause of a piece's end: cut by the other side of the source or by the cap of an open end; no piece goes on there. */
export const OTHER = -1;

/**
 * Alive pieces of elements, in chain order. An element is an arc about a vertex or a shifted segment, on one side:
 * number `2 k` for the arc at vertex k, `2 k + 1` for segment k, plus `2 size` on the right side. A piece runs from
 * `low` to `high`: metres along a segment, radians along an arc.
 *
 * @internal
 */
export class Pieces {
  count = 0;
  element: Int32Array;
  low: Float64Array;
  high: Float64Array;
  /** element whose killing made that end, or {@link OWN} or {@link OTHER} */
  lowCause: Int32Array;
  highCause: Int32Array;

  constructor(capacity: number) {
    this.element = new Int32Array(capacity);
    this.low = new Float64Array(capacity);
    this.high = new Float64Array(capacity);
    this.lowCause = new Int32Array(capacity);
    this.highCause = new Int32Array(capacity);
  }

  push(element: number, low: number, high: number, lowCause: number, highCause: number): void {
    if (this.count === this.element.length) this.grow();
    const i = this.count++;
    this.element[i] = element;
    this.low[i] = low;
    this.high[i] = high;
    this.lowCause[i] = lowCause;
    this.highCause[i] = highCause;
  }

  private grow(): void {
    const capacity = 2 * this.element.length + 16;
    this.element = grownInts(this.element, capacity);
    this.low = grownFloats(this.low, capacity);
    this.high = grownFloats(this.high, capacity);
    this.lowCause = grownInts(this.lowCause, capacity);
    this.highCause = grownInts(this.highCause, capacity);
  }
}

function grownInts(from: Int32Array, capacity: number): Int32Array {
  const to = new Int32Array(capacity);
  to.set(from);
  return to;
}

function grownFloats(from: Float64Array, capacity: number): Float64Array {
  const to = new Float64Array(capacity);
  to.set(from);
  return to;
}
