import type { PolygonIndex } from "../geometry/polygon-index.js";
import { ON_PASS } from "./field-clip.js";
import type { WritableState } from "./guidance-state.js";
import type { LineLocator, PassTrace } from "./line-locator.js";

/** Pieces there is room for at first. */
const ROOM = 64;

/**
 * The pieces of a pass that is no straight line inside a field, as stations: found in one walk along the pass when it is
 * first followed, in proportion to the line's points, and looked up from then on.
 */
export class TracedPieces implements PassTrace {
  readonly piece: Float64Array = new Float64Array(6);
  /** start, end, start, end ... in rising order, metres along the pass */
  pieces: Float64Array = new Float64Array(2 * ROOM);
  /** how many pieces there are */
  count = 0;

  readonly #field: PolygonIndex;
  readonly #box: Float64Array;
  // stations between which the pass was handed over: on a loop, a lap apart
  #first: number = Number.POSITIVE_INFINITY;
  #last: number = Number.NEGATIVE_INFINITY;

  constructor(field: PolygonIndex) {
    this.#field = field;
    const { minX, minY, maxX, maxY } = field.bounds;
    this.#box = Float64Array.of(minX, minY, maxX, maxY);
  }

  /** Find the pieces of the pass that the numbers say. */
  trace(locator: LineLocator, numbers: Float64Array): void {
    this.count = 0;
    this.#first = Number.POSITIVE_INFINITY;
    this.#last = Number.NEGATIVE_INFINITY;
    locator.trace(numbers, this.#box, this);
    let kept = 0;
    for (let i = 0; i < this.count; i++) {
      if (this.pieces[2 * i + 1]! - this.pieces[2 * i]! <= ON_PASS) continue;
      this.pieces[2 * kept] = this.pieces[2 * i]!;
      this.pieces[2 * kept + 1] = this.pieces[2 * i + 1]!;
      kept++;
    }
    this.count = kept;
  }

  take(): void {
    const piece = this.piece;
    if (piece[2]! < this.#first) this.#first = piece[2]!;
    if (piece[5]! > this.#last) this.#last = piece[5]!;
    this.#divide(0, 1);
  }

  /** Fill a state's distances on a loop: without an end where the whole loop is inside. */
  fillLoop(state: WritableState): void {
    const { pieces, count } = this;
    const lap = this.#last - this.#first;
    const at = state.distanceAlong;
    const travel = state.travelSameDirection;
    // a piece that runs over the loop's start is one
    const joined = pieces[0]! <= this.#first + ON_PASS && pieces[2 * count - 1]! >= this.#last - ON_PASS;
    state.onPass = false;
    state.distanceToStart = Number.POSITIVE_INFINITY;
    state.distanceToEnd = Number.POSITIVE_INFINITY;
    if (joined && count === 1) {
      state.onPass = true;
      state.distanceToStart = 0;
      return;
    }
    for (let i = joined ? 1 : 0; i < count; i++) {
      const first = pieces[2 * i]!;
      const last = joined && i === count - 1 ? lap + pieces[1]! : pieces[2 * i + 1]!;
      let into = travel ? at - first : last - at;
      into -= lap * Math.floor(into / lap);
      if (into <= last - first) {
        state.onPass = true;
        state.distanceToStart = 0;
        state.distanceToEnd = last - first - into;
        return;
      }
      if (lap - into < state.distanceToStart) {
        state.distanceToStart = lap - into;
        state.distanceToEnd = lap - into + last - first;
      }
    }
  }

  // the shares of the piece that are inside, by halves where it crosses an edge
  #divide(from: number, to: number): void {
    const piece = this.piece;
    const ax = piece[0]!;
    const ay = piece[1]!;
    const dx = piece[3]! - ax;
    const dy = piece[4]! - ay;
    const share = this.#field.insideShare(ax + from * dx, ay + from * dy, ax + to * dx, ay + to * dy);
    if (share === 0) return;
    const base = piece[2]!;
    const length = piece[5]! - base;
    if (share < 1 && (to - from) * length > ON_PASS / 4) {
      const middle = (from + to) / 2;
      this.#divide(from, middle);
      this.#divide(middle, to);
      return;
    }
    this.#add(base + from * length, base + to * length);
  }

  #add(start: number, end: number): void {
    const before = this.count > 0 ? this.pieces[2 * this.count - 1]! : Number.NEGATIVE_INFINITY;
    if (end <= before) return;
    if (start <= before + ON_PASS) {
      this.pieces[2 * this.count - 1] = end;
      return;
    }
    if (2 * this.count === this.pieces.length) {
      const larger = new Float64Array(2 * this.pieces.length);
      larger.set(this.pieces);
      this.pieces = larger;
    }
    this.pieces[2 * this.count] = start;
    this.pieces[2 * this.count + 1] = end;
    this.count++;
  }
}
