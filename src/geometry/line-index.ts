import { orient2d } from "robust-predicates";
import { FeeringError, requireObject, requirePoints } from "../errors/index.js";
import { CoherentSearch } from "./coherent-search.js";
import { type NearestOptions, type NearestPoint, NO_LENGTH } from "./nearest.js";
import type { Line } from "./types.js";

/**
 * A line made ready for many nearest-point queries, such as one with every fix.
 *
 * Every answer is the global nearest point by the rules of `nearestOnLine`, whatever the step from one query to the
 * next, wherever the point, however the vertices are spaced. Queries close to each other cost least. The line is
 * copied; the memory is about 70 bytes a vertex.
 *
 * @example
 * ```ts
 * const index = new LineIndex([[0, 0], [0, 100], [80, 100]]);
 * const nearest = index.nearest(3, 40); // signedDistance 3, station 40
 * ```
 */
export class LineIndex {
  /** length of the line, its closing segment included, metres */
  readonly length: number;
  /** whether the line returns from its last point to its first */
  readonly closed: boolean;

  readonly #xy: Float64Array;
  readonly #points: number;
  readonly #stations: Float64Array;
  readonly #search: CoherentSearch;
  readonly #result: { -readonly [K in keyof NearestPoint]: NearestPoint[K] };

  /**
   * @param line - at least two distinct points, metres
   * @param options - whether the line is closed
   * @throws `FeeringError` `too-few-points`, `not-finite`, or `degenerate` when all points coincide
   */
  constructor(line: Line, options: NearestOptions = {}) {
    requirePoints(line, "line", 2);
    requireObject(options, "options");
    const n = line.length;
    this.closed = options.closed ?? false;
    this.#points = n;
    this.#xy = new Float64Array(2 * n);
    for (let i = 0; i < n; i++) {
      this.#xy[2 * i] = line[i]![0];
      this.#xy[2 * i + 1] = line[i]![1];
    }
    const count = this.closed ? n : n - 1;
    const ends = new Float64Array(4 * count);
    this.#stations = new Float64Array(count + 1);
    let hasLength = false;
    for (let i = 0; i < count; i++) {
      const a = line[i]!;
      const b = line[i + 1 === n ? 0 : i + 1]!;
      ends[4 * i] = a[0];
      ends[4 * i + 1] = a[1];
      ends[4 * i + 2] = b[0];
      ends[4 * i + 3] = b[1];
      const ex = b[0] - a[0];
      const ey = b[1] - a[1];
      const squared = ex * ex + ey * ey;
      if (squared > NO_LENGTH) hasLength = true;
      this.#stations[i + 1] = this.#stations[i]! + Math.sqrt(squared);
    }
    this.length = this.#stations[count]!;
    if (!hasLength) {
      throw new FeeringError("degenerate", `line has no length: all its ${n} points coincide`, { argument: "line" });
    }
    this.#search = new CoherentSearch(ends);
    this.#result = { distance: 0, signedDistance: 0, x: 0, y: 0, segment: -1, fraction: 0, station: 0 };
  }

  /**
   * The nearest point of the line. Never throws; a query that is not finite gives NaN and segment -1.
   *
   * @param x - metres
   * @param y - metres
   * @returns an object that this index owns and overwrites with the next call: copy what you keep
   */
  nearest(x: number, y: number): NearestPoint {
    // hot: called with every fix, and for every section; allocates nothing
    const result = this.#result;
    // a difference with itself is 0 only for a finite number
    if (!(x - x === 0 && y - y === 0)) return this.#unknown();
    const search = this.#search;
    search.find(x, y);
    const segment = search.segment;
    if (segment < 0) return this.#unknown();
    const xy = this.#xy;
    const fraction = search.fraction;
    const from = 2 * segment;
    const to = segment + 1 === this.#points ? 0 : from + 2;
    const ax = xy[from]!;
    const ay = xy[from + 1]!;
    const bx = xy[to]!;
    const by = xy[to + 1]!;
    const distance = Math.sqrt(search.gap);
    const sign =
      fraction > 0 && fraction < 1 ? orient2d(ax, ay, bx, by, x, y) : this.#sideAtEnd(segment, fraction, x, y);
    result.distance = distance;
    result.signedDistance = sign < 0 ? -distance : distance;
    result.x = fraction === 1 ? bx : ax + fraction * (bx - ax);
    result.y = fraction === 1 ? by : ay + fraction * (by - ay);
    result.segment = segment;
    result.fraction = fraction;
    const start = this.#stations[segment]!;
    result.station = start + fraction * (this.#stations[segment + 1]! - start);
    return result;
  }

  #unknown(): NearestPoint {
    const result = this.#result;
    result.distance = Number.NaN;
    result.signedDistance = Number.NaN;
    result.x = Number.NaN;
    result.y = Number.NaN;
    result.segment = -1;
    result.fraction = Number.NaN;
    result.station = Number.NaN;
    return result;
  }

  // the side where the foot is a vertex, by both segments that meet there; the plain form is in nearest.ts
  #sideAtEnd(segment: number, fraction: number, x: number, y: number): number {
    const xy = this.#xy;
    const n = this.#points;
    const a = segment;
    const b = segment + 1 === n ? 0 : segment + 1;
    const here = orient2d(xy[2 * a]!, xy[2 * a + 1]!, xy[2 * b]!, xy[2 * b + 1]!, x, y);
    const corner = fraction === 0 ? a : b;
    const cornerX = xy[2 * corner]!;
    const cornerY = xy[2 * corner + 1]!;
    const step = fraction === 0 ? -1 : 1;
    let far = corner;
    for (let tries = 0; tries < n; tries++) {
      far += step;
      if (far < 0 || far >= n) {
        if (!this.closed) return here;
        far = far < 0 ? n - 1 : 0;
      }
      const farX = xy[2 * far]!;
      const farY = xy[2 * far + 1]!;
      if (farX === cornerX && farY === cornerY) continue;
      const first = fraction === 0 ? orient2d(farX, farY, cornerX, cornerY, x, y) : here;
      const second = fraction === 0 ? here : orient2d(cornerX, cornerY, farX, farY, x, y);
      const turn =
        fraction === 0
          ? orient2d(farX, farY, cornerX, cornerY, xy[2 * b]!, xy[2 * b + 1]!)
          : orient2d(xy[2 * a]!, xy[2 * a + 1]!, cornerX, cornerY, farX, farY);
      if (turn === 0) return first;
      if (first === 0 && second === 0) return 0;
      if (turn < 0) return first < 0 && second < 0 ? -1 : 1;
      return first > 0 && second > 0 ? 1 : -1;
    }
    return here;
  }
}
