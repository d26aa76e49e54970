import type { Polygon } from "../geometry/types.js";
import { FieldClip } from "./field-clip.js";
import type { GuidancePattern } from "./guidance-pattern.js";
import type { WritableState } from "./guidance-state.js";
import { passOffset } from "./pass-number.js";
import { firstStation, lastStation, patternAxis, type StraightAxis } from "./straight-axis.js";

/** Where the pass of a state begins and ends, by the pattern's extension and the field's edges. */
export class PassEnds {
  readonly #clip: FieldClip | undefined;
  readonly #cut = new Float64Array(6);
  #pattern: GuidancePattern | undefined;
  #axis: StraightAxis | undefined;
  #cutPass = Number.NaN;

  /** @throws `FeeringError` for a polygon that is none */
  constructor(field: readonly Polygon[] | undefined) {
    this.#clip = field === undefined ? undefined : new FieldClip(field, "options.field");
  }

  /** Take another pattern. */
  usePattern(pattern: GuidancePattern): void {
    const axis = patternAxis(pattern);
    this.#pattern = pattern;
    this.#axis = axis;
    this.#cutPass = Number.NaN;
    this.#cut[2] = axis.alongX;
    this.#cut[3] = axis.alongY;
    this.#cut[4] = firstStation(pattern);
    this.#cut[5] = lastStation(pattern, axis);
  }

  /** Fill a state's distances to start and end, seen in its direction of travel. No allocation. */
  measure(state: WritableState): void {
    const clip = this.#clip;
    const cut = this.#cut;
    if (clip === undefined) {
      // the fifth and sixth number of the cut are the pass's own ends
      fill(state, cut, 4);
      return;
    }
    if (this.#cutPass !== state.pass) this.#recut(clip, state.pass);
    const pieces = clip.pieces;
    const count = clip.count;
    if (count === 0) {
      state.onPass = false;
      state.distanceToStart = Number.POSITIVE_INFINITY;
      state.distanceToEnd = 0;
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

  #recut(clip: FieldClip, pass: number): void {
    const axis = this.#axis!;
    const right = passOffset(this.#pattern!, pass);
    this.#cut[0] = axis.x + right * axis.alongY;
    this.#cut[1] = axis.y - right * axis.alongX;
    clip.cut(this.#cut);
    this.#cutPass = pass;
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
