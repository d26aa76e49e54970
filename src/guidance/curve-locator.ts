import { RADIANS, wrapHeading } from "../geometry/angle.js";
import { Chain } from "./chain.js";
import { ChainSearch, chainTree, FRACTION, GAP, QUERY_X, QUERY_Y, SIDE } from "./chain-search.js";
import type { Extension } from "./guidance-pattern.js";
import type { LinePath } from "./line-path.js";
import {
  ALONG,
  ALONG_X,
  ALONG_Y,
  CURVATURE,
  DISTANCE,
  FIRST,
  LAST,
  LINE_HEADING,
  type LineLocator,
  OFFSET,
  type PassTrace,
  RIGHT,
  STATION,
  X,
  Y,
} from "./line-locator.js";
import { traceChain } from "./trace-chain.js";
import { walkPass } from "./walk-pass.js";

/** A point this much nearer to the line than its pass is trimmed away, metres: above the rounding at coordinates of 6e6 m. */
export const ALIVE = 1e-6;

/** Tightest curvature ever given, 1/m: where a pass has a corner, its curvature is without limit. */
export const TIGHTEST = 10;

// from the line's curvature to that of its parallel; apart, for a number kept over the call before it would be boxed
function toPass(numbers: Float64Array): void {
  const own = numbers[CURVATURE]!;
  const rest = 1 - numbers[OFFSET]! * own;
  const curvature = own / rest;
  if (!(rest > 0) || curvature > TIGHTEST || curvature < -TIGHTEST) numbers[CURVATURE] = own > 0 ? TIGHTEST : -TIGHTEST;
  else numbers[CURVATURE] = curvature;
}

/** Where a place lies beside a chain: which segment its foot is on, or which vertex it is. */
export interface ChainPlace {
  /** segment of the foot: 0 to one less than segments; -1 on the extension before the start, `segments` on the one past the end */
  segment: number;
  /** vertex that the foot is, where the line has a corner; -1 within a segment or at an open end */
  corner: number;
}

/**
 * The locator of chains of points: curves, closed lines, spirals. With ends that are extended or not.
 *
 * The foot is the nearest point of the line and its extensions, exactly. Past an end that is not extended the distance is that
 * from the end's own direction, as on a straight line, so that a machine that has run out over the end keeps its line.
 */
export class CurveLocator implements LineLocator {
  readonly closed: boolean;
  /** the line's numbers */
  readonly chain: Chain;
  /** move of the pattern east and north, metres */
  readonly shift: Float64Array;
  /** where the machine is, after `locate` */
  readonly place: ChainPlace = { segment: 0, corner: -1 };
  /** where the probe is, after `probe` */
  readonly probePlace: ChainPlace = { segment: 0, corner: -1 };
  /** numbers of the probe, in the slots X to DISTANCE */
  readonly probeNumbers: Float64Array = new Float64Array(DISTANCE + 1);
  /** whether the line runs on straight before its start */
  readonly before: boolean;
  /** whether the line runs on straight past its end */
  readonly after: boolean;

  readonly #search: ChainSearch;
  // look-ahead points have a search of their own, for each begins where its last one ended
  readonly #probeSearch: ChainSearch;

  constructor(path: LinePath, extension: Extension, east: number, north: number, window: number) {
    this.closed = path.closed;
    this.chain = new Chain(path, window);
    const tree = chainTree(this.chain);
    this.#search = new ChainSearch(tree);
    this.#probeSearch = new ChainSearch(tree);
    this.shift = Float64Array.of(east, north);
    this.before = !path.closed && (extension === "both" || extension === "a");
    this.after = !path.closed && (extension === "both" || extension === "b");
  }

  locate(numbers: Float64Array): void {
    this.#find(this.#search, numbers, this.place);
    const chain = this.chain;
    const segment = this.place.segment;
    if (this.place.corner >= 0) {
      numbers[LINE_HEADING] = wrapHeading(Math.atan2(numbers[ALONG_X]!, numbers[ALONG_Y]!) / RADIANS);
    } else {
      const last = chain.segments - 1;
      numbers[LINE_HEADING] = chain.headings[segment < 0 ? 0 : segment > last ? last : segment]!;
    }
  }

  /** The same for `probeNumbers` and `probePlace`. */
  probe(): void {
    this.#find(this.#probeSearch, this.probeNumbers, this.probePlace);
  }

  /**
   * Whether the point at X, Y of `probeNumbers` belongs to the pass at a distance: nothing of the line or of its extensions is
   * nearer. The search begins at a segment near it.
   */
  alive(numbers: Float64Array, near: number): boolean {
    const search = this.#probeSearch;
    const io = search.io;
    const x = this.probeNumbers[X]! - this.shift[0]!;
    const y = this.probeNumbers[Y]! - this.shift[1]!;
    const least = Math.abs(numbers[OFFSET]!) - ALIVE;
    io[QUERY_X] = x;
    io[QUERY_Y] = y;
    io[GAP] = least > 0 ? least * least : 0;
    search.begin(near);
    search.find();
    if (search.segment >= 0) return false;
    const { xy, along, segments: m, vertices: n } = this.chain;
    if (this.before) {
      const dx = x - xy[0]!;
      const dy = y - xy[1]!;
      if (dx * along[0]! + dy * along[1]! < 0 && Math.abs(dx * along[1]! - dy * along[0]!) < least) return false;
    }
    if (this.after) {
      const dx = x - xy[2 * n - 2]!;
      const dy = y - xy[2 * n - 1]!;
      const ux = along[2 * m - 2]!;
      const uy = along[2 * m - 1]!;
      if (dx * ux + dy * uy > 0 && Math.abs(dx * uy - dy * ux) < least) return false;
    }
    return true;
  }

  measure(numbers: Float64Array): void {
    const chain = this.chain;
    const { segment, corner } = this.place;
    const offset = numbers[OFFSET]!;
    const away = Math.abs(offset);
    const corners = offset < 0 ? chain.cornersLeft : chain.cornersRight;
    const m = chain.segments;
    const station = numbers[STATION]!;
    let along = station;
    if (corner >= 0) {
      // from the direction before the corner to the one square to the machine
      const before = corner === 0 ? m - 1 : corner - 1;
      const ax = chain.along[2 * before]!;
      const ay = chain.along[2 * before + 1]!;
      const ux = numbers[ALONG_X]!;
      const uy = numbers[ALONG_Y]!;
      const turned = Math.atan2(ay * ux - ax * uy, ax * ux + ay * uy);
      // an arc where the corner is an outer one; an inner corner is where the pass's pieces meet
      const outer = offset < 0 ? turned > 0 : turned < 0;
      // a loop's first corner ends its lap
      along = chain.stations[before + 1]! + away * (corners[before]! + (outer ? Math.abs(turned) : 0));
    } else if (segment >= m) along += away * corners[m - 1]!;
    else if (segment >= 0) along += away * corners[segment]!;
    numbers[ALONG] = along;
    if (this.closed) {
      const whole = chain.stations[m]! + away * corners[m]!;
      if (along >= whole) numbers[ALONG] = whole > 0 ? along - whole : 0;
      numbers[FIRST] = Number.NEGATIVE_INFINITY;
      numbers[LAST] = Number.POSITIVE_INFINITY;
    } else {
      numbers[FIRST] = this.before ? Number.NEGATIVE_INFINITY : 0;
      numbers[LAST] = this.after ? Number.POSITIVE_INFINITY : chain.stations[m]! + away * corners[m]!;
    }
    if (segment < 0 || segment >= m) {
      numbers[CURVATURE] = 0;
      return;
    }
    chain.curvature(numbers, STATION, CURVATURE);
    toPass(numbers);
  }

  lookAhead(numbers: Float64Array): void {
    walkPass(this, numbers);
  }

  trace(numbers: Float64Array, box: Float64Array, to: PassTrace): void {
    traceChain(this, numbers, box, to);
  }

  // the nearest point of line and extensions to X, Y; fills RIGHT to DISTANCE and the place
  #find(search: ChainSearch, numbers: Float64Array, place: ChainPlace): void {
    const chain = this.chain;
    const x = numbers[X]! - this.shift[0]!;
    const y = numbers[Y]! - this.shift[1]!;
    const io = search.io;
    io[QUERY_X] = x;
    io[QUERY_Y] = y;
    io[GAP] = Number.POSITIVE_INFINITY;
    search.find();
    search.side();
    const segment = search.segment;
    const fraction = io[FRACTION]!;
    const distance = Math.sqrt(io[GAP]);
    const right = io[SIDE]! < 0 ? -distance : distance;
    const n = chain.vertices;
    const m = chain.segments;
    const along = chain.along;
    place.segment = segment;
    place.corner = -1;
    numbers[RIGHT] = right;
    numbers[DISTANCE] = distance;
    numbers[STATION] = chain.stations[segment]! + fraction * (chain.stations[segment + 1]! - chain.stations[segment]!);
    numbers[ALONG_X] = along[2 * segment]!;
    numbers[ALONG_Y] = along[2 * segment + 1]!;
    if (!this.closed) {
      // beyond the ends: on a straight extension, or beside the end's own direction
      const xy = chain.xy;
      const startX = x - xy[0]!;
      const startY = y - xy[1]!;
      const behind = startX * along[0]! + startY * along[1]!;
      const k = 2 * (m - 1);
      const endX = x - xy[2 * n - 2]!;
      const endY = y - xy[2 * n - 1]!;
      const past = endX * along[k]! + endY * along[k + 1]!;
      let least = distance;
      if (behind < 0) {
        const lateral = startX * along[1]! - startY * along[0]!;
        const away = Math.abs(lateral);
        const atEnd = segment === 0 && fraction === 0;
        if (atEnd || (this.before && away < least)) {
          place.segment = -1;
          numbers[RIGHT] = lateral;
          if (this.before) {
            least = away;
            numbers[DISTANCE] = away;
          }
          numbers[STATION] = behind;
          numbers[ALONG_X] = along[0]!;
          numbers[ALONG_Y] = along[1]!;
        }
      }
      if (past > 0) {
        const lateral = endX * along[k + 1]! - endY * along[k]!;
        const away = Math.abs(lateral);
        const atEnd = place.segment === m - 1 && fraction === 1;
        if (atEnd || (this.after && away < least)) {
          place.segment = m;
          numbers[RIGHT] = lateral;
          if (this.after) numbers[DISTANCE] = away;
          numbers[STATION] = chain.stations[m]! + past;
          numbers[ALONG_X] = along[k]!;
          numbers[ALONG_Y] = along[k + 1]!;
        }
      }
      if (place.segment < 0 || place.segment === m) return;
      if ((segment === 0 && fraction === 0) || (segment === m - 1 && fraction === 1)) return;
    }
    if (fraction > 0 && fraction < 1) return;
    // the foot is a vertex: the line's direction there is square to the way to it
    const corner = fraction === 0 ? segment : segment + 1 === n ? 0 : segment + 1;
    place.corner = corner;
    if (!(distance > 0)) return;
    numbers[ALONG_X] = -(y - chain.xy[2 * corner + 1]!) / right;
    numbers[ALONG_Y] = (x - chain.xy[2 * corner]!) / right;
  }
}
