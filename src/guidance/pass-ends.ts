import { PolygonIndex } from "../geometry/polygon-index.js";
import type { Polygon } from "../geometry/types.js";
import { FieldClip } from "./field-clip.js";
import type { WritableState } from "./guidance-state.js";
import { FIRST, LAST, type LineLocator, OFFSET, StraightLocator } from "./line-locator.js";
import { TracedPieces } from "./traced-pieces.js";

/** Where the pass of a state begins and ends, by the pattern's extension and the field's edges. */
export class PassEnds {
  readonly #clip: FieldClip | undefined;
  readonly #traced: TracedPieces | undefined;
  readonly #cut: Float64Array = new Float64Array(6);
  readonly #ends: Float64Array = new Float64Array(2);
  #locator: LineLocator | undefined;
  #cutPass: number = Number.NaN;

  /** @throws `FeeringError` for a polygon that is none */
  constructor(field: readonly Polygon[] | undefined) {
    if (field === undefined) return;
    this.#clip = new FieldClip(field, "options.field");
    this.#traced = new TracedPieces(new PolygonIndex(field));
  }

  /** Take another line or pattern. */
  useLocator(locator: LineLocator): void {
    this.#locator = locator;
    this.#cutPass = Number.NaN;
    if (!(locator instanceof StraightLocator)) return;
    this.#cut[2] = locator.axis.alongX;
    this.#cut[3] = locator.axis.alongY;
    this.#cut[4] = locator.ends[0]!;
    this.#cut[5] = locator.ends[1]!;
  }

  /** Fill a state's distances to start and end, seen in its direction of travel. Allocates nothing, save to grow a buffer. */
  measure(state: WritableState, numbers: Float64Array): void {
    const clip = this.#clip;
    const ends = this.#ends;
    if (clip === undefined) {
      ends[0] = numbers[FIRST]!;
      ends[1] = numbers[LAST]!;
      fill(state, ends, 0);
      return;
    }
    const locator = this.#locator!;
    const straight = locator instanceof StraightLocator;
    const traced = this.#traced!;
    if (this.#cutPass !== state.pass) {
      if (straight) this.#recut(clip, locator, numbers);
      else traced.trace(locator, numbers);
      this.#cutPass = state.pass;
    }
    const pieces = straight ? clip.pieces : traced.pieces;
    const count = straight ? clip.count : traced.count;
    if (count === 0) {
      state.onPass = false;
      state.distanceToStart = Number.POSITIVE_INFINITY;
      state.distanceToEnd = 0;
      return;
    }
    if (locator.closed) {
      traced.fillLoop(state);
      return;
    }
    const at = state.distanceAlong;
    const travel = state.travelSameDirection;
    // the first piece that ends ahead of the machine, or the last one of all
    let i = travel ? 0 : count - 1;
    if (travel) while (i < count - 1 && pieces[2 * i + 1]! < at) i++;
    else while (i > 0 && pieces[2 * i]! > at) i--;
    fill(state, pieces, 2 * i);
  }

  #recut(clip: FieldClip, locator: StraightLocator, numbers: Float64Array): void {
    const axis = locator.axis;
    const right = numbers[OFFSET]!;
    this.#cut[0] = axis.x + right * axis.alongY;
    this.#cut[1] = axis.y - right * axis.alongX;
    clip.cut(this.#cut);
  }
}

// from the start and end at a place in an array: handed over as numbers they would be boxed
function fill(state: WritableState, ends: Float64Array, place: number): void {
  const first = ends[place]!;
  const last = ends[place + 1]!;
  const at = state.distanceAlong;
  const travel = state.travelSameDirection;
  const toStart = travel ? first - at : at - last;
  const toEnd = (travel ? last - at : at - first) + 0;
  state.onPass = toStart <= 0 && toEnd >= 0;
  state.distanceToStart = toEnd < 0 ? Number.POSITIVE_INFINITY : toStart > 0 ? toStart : 0;
  state.distanceToEnd = toEnd;
}
