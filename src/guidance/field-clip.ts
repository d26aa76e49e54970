import { FeeringError } from "../errors/feering-error.js";
import { requirePoints } from "../errors/require.js";
import { signedArea } from "../geometry/area.js";
import { requirePolygon } from "../geometry/require-polygon.js";
import type { Polygon, Ring } from "../geometry/types.js";
import { requirePolygonNear } from "./require-near.js";
import { sortCrossings } from "./sort-crossings.js";

/**
 * A corner this near to a pass counts as on it, metres: far below any fix, far above the rounding (1e-9 m) of coordinates of
 * 6e6 m. Gaps and pieces of a pass shorter than this are none.
 */
export const ON_PASS = 1e-6;

/**
 * Cuts straight passes at the edges of polygons; the polygons are taken together, where they overlap too.
 *
 * A pass that runs along an edge is inside. Method: corners are put to the right or left of the pass once each, so every
 * ring is entered as often as it is left, whatever the rounding; the crossings are sorted along the pass and wound up.
 * With a corner on the pass both ways of putting it are wound up together, so the result does not depend on the direction.
 * No allocation after construction.
 */
export class FieldClip {
  /** pieces of the last pass: start, end, start, end ... as stations in rising order, metres */
  readonly pieces: Float64Array;
  /** how many pieces there are */
  count = 0;

  readonly #xy: Float64Array;
  readonly #ringEnd: Int32Array;
  readonly #right: Float64Array;
  readonly #station: Float64Array;
  readonly #step: Int8Array;

  /** @throws `FeeringError` `too-few-points`, `not-finite` or `degenerate` for a ring that is none */
  constructor(polygons: readonly Polygon[], argument: string) {
    if (!Array.isArray(polygons)) {
      throw new FeeringError("too-few-points", `${argument} is no list of polygons`, { argument, value: polygons });
    }
    const rings: Ring[] = [];
    polygons.forEach((polygon: Polygon, i) => {
      requirePolygon(polygon, `${argument}[${i}]`);
      requirePolygonNear(polygon, `${argument}[${i}]`);
      rings.push(wound(polygon.exterior, 1, `${argument}[${i}].exterior`));
      polygon.holes.forEach((hole, j) => rings.push(wound(hole, -1, `${argument}[${i}].holes[${j}]`)));
    });
    const corners = rings.reduce((sum, ring) => sum + ring.length, 0);
    this.#xy = new Float64Array(2 * corners);
    this.#ringEnd = new Int32Array(rings.length);
    let n = 0;
    rings.forEach((ring, r) => {
      for (const [x, y] of ring) {
        this.#xy[2 * n] = x;
        this.#xy[2 * n + 1] = y;
        n++;
      }
      this.#ringEnd[r] = n;
    });
    this.#right = new Float64Array(corners);
    // every edge crosses at most once for each of the two ways of putting corners on the pass
    this.#station = new Float64Array(2 * corners);
    this.#step = new Int8Array(2 * corners);
    this.pieces = new Float64Array(2 * corners + 2);
  }

  /**
   * Cut one pass.
   *
   * @param pass - x, y of station 0, unit vector along (east, north), first station, last station; handed over in an array,
   * for numbers as arguments would be boxed
   */
  cut(pass: Float64Array): void {
    const x0 = pass[0]!;
    const y0 = pass[1]!;
    const ux = pass[2]!;
    const uy = pass[3]!;
    const xy = this.#xy;
    const right = this.#right;
    let touching = false;
    for (let i = 0; i < right.length; i++) {
      const r = (xy[2 * i]! - x0) * uy - (xy[2 * i + 1]! - y0) * ux;
      if (r <= ON_PASS && r >= -ON_PASS) {
        right[i] = 0;
        touching = true;
      } else {
        right[i] = r;
      }
    }
    let crossings = this.#cross(pass, 0, false);
    if (touching) crossings = this.#cross(pass, crossings, true);
    sortCrossings(this.#station, this.#step, crossings);
    this.#wind(crossings, pass[4]!, pass[5]!);
  }

  // append where rings cross the pass; corners on it are put to the right or to the left
  #cross(pass: Float64Array, from: number, zeroIsRight: boolean): number {
    const x0 = pass[0]!;
    const y0 = pass[1]!;
    const ux = pass[2]!;
    const uy = pass[3]!;
    const xy = this.#xy;
    const right = this.#right;
    let n = from;
    let begin = 0;
    for (let ring = 0; ring < this.#ringEnd.length; ring++) {
      const end = this.#ringEnd[ring]!;
      let before = end - 1;
      let wasRight = zeroIsRight ? right[before]! >= 0 : right[before]! > 0;
      for (let i = begin; i < end; i++) {
        const isRight = zeroIsRight ? right[i]! >= 0 : right[i]! > 0;
        if (isRight !== wasRight) {
          const r0 = right[before]!;
          const r1 = right[i]!;
          const s0 = (xy[2 * before]! - x0) * ux + (xy[2 * before + 1]! - y0) * uy;
          const s1 = (xy[2 * i]! - x0) * ux + (xy[2 * i + 1]! - y0) * uy;
          // from the nearer corner, so that a corner on the pass gives its own station
          const near = Math.abs(r0) <= Math.abs(r1);
          this.#station[n] = near ? s0 + (s1 - s0) * (r0 / (r0 - r1)) : s1 + (s0 - s1) * (r1 / (r1 - r0));
          // the inside lies to the left of an edge: one that leads to the right is where the pass comes in
          this.#step[n] = isRight ? 1 : -1;
          n++;
        }
        before = i;
        wasRight = isRight;
      }
      begin = end;
    }
    return n;
  }

  // sum the steps along the pass into pieces between the first and last station
  #wind(crossings: number, first: number, last: number): void {
    const pieces = this.pieces;
    let count = 0;
    let depth = 0;
    for (let i = 0; i < crossings; i++) {
      const was = depth;
      depth += this.#step[i]!;
      if (was === 0 && depth !== 0) {
        const start = this.#station[i]!;
        // a gap that is only rounding is closed: go on with the piece before
        if (count > 0 && start - pieces[2 * count - 1]! <= ON_PASS) count--;
        else pieces[2 * count] = start;
      } else if (was !== 0 && depth === 0) {
        pieces[2 * count + 1] = this.#station[i]!;
        if (pieces[2 * count + 1]! - pieces[2 * count]! > ON_PASS) count++;
      }
    }
    let kept = 0;
    for (let i = 0; i < count; i++) {
      const start = Math.max(first, pieces[2 * i]!);
      const end = Math.min(last, pieces[2 * i + 1]!);
      if (end - start <= ON_PASS) continue;
      pieces[2 * kept] = start;
      pieces[2 * kept + 1] = end;
      kept++;
    }
    this.count = kept;
  }
}

// the ring without its repeated last point, counter-clockwise for turn 1, clockwise for -1
function wound(ring: Ring, turn: number, argument: string): Ring {
  requirePoints(ring, argument, 3);
  const first = ring[0]!;
  const last = ring[ring.length - 1]!;
  const open = first[0] === last[0] && first[1] === last[1] ? ring.slice(0, -1) : ring;
  const area = signedArea(open);
  if (open.length < 3 || !(Math.abs(area) > 0)) {
    throw new FeeringError("degenerate", `${argument} has no area`, { argument, value: area });
  }
  return area * turn > 0 ? open : [...open].reverse();
}
