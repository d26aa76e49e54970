import { headingBetween } from "../geometry/angle.js";
import type { LinePath } from "./line-path.js";
import { meanCurvature, TurnIntegral } from "./turn-integral.js";

/** Sharpest corner whose trim is reckoned, radians: at a reversal it would be without end. */
const SHARPEST = 2.5;

/**
 * A chain of points as flat numbers: directions, stations, turns at its vertices, and what they add to the length of a
 * parallel.
 *
 * Beside segment i the parallel at distance r (right positive) has come, from the start of the line, the source's own
 * length and |r| times the sum of its corners before: an outer corner adds an arc of its turn θ, an inner one takes away
 * 2 tan(θ/2). So a pass's length is exact where no inner corner trims away more than the segments that meet there.
 */
export class Chain {
  /** whether it returns to its first point */
  readonly closed: boolean;
  /** how many vertices */
  readonly vertices: number;
  /** how many segments */
  readonly segments: number;
  /** x, y of each vertex */
  readonly xy: Float64Array;
  /** station of each segment's start, and of the last one's end */
  readonly stations: Float64Array;
  /** unit vector of each segment */
  readonly along: Float64Array;
  /** heading of each segment, degrees */
  readonly headings: Float64Array;
  /** turn at each vertex, radians, right positive, 0 at open ends */
  readonly turns: Float64Array;
  /** sum of what corners before a segment add to a parallel on the right, a metre of distance; one more than segments: for the whole line */
  readonly cornersRight: Float64Array;
  /** the same for a parallel on the left */
  readonly cornersLeft: Float64Array;

  readonly #integral: TurnIntegral;

  /**
   * @param path - points that are no neighbours' duplicates
   * @param window - length of line before and after a place over which curvature is averaged, metres
   */
  constructor(path: LinePath, window: number) {
    const { points, closed } = path;
    const n = points.length;
    const m = closed ? n : n - 1;
    this.closed = closed;
    this.vertices = n;
    this.segments = m;
    this.xy = new Float64Array(2 * n);
    this.stations = new Float64Array(m + 1);
    this.along = new Float64Array(2 * m);
    this.headings = new Float64Array(m);
    this.turns = new Float64Array(n);
    this.cornersRight = new Float64Array(m + 1);
    this.cornersLeft = new Float64Array(m + 1);
    for (let i = 0; i < n; i++) {
      this.xy[2 * i] = points[i]![0];
      this.xy[2 * i + 1] = points[i]![1];
    }
    for (let i = 0; i < m; i++) {
      const a = points[i]!;
      const b = points[i + 1 === n ? 0 : i + 1]!;
      const dx = b[0] - a[0];
      const dy = b[1] - a[1];
      const length = Math.sqrt(dx * dx + dy * dy);
      this.along[2 * i] = dx / length;
      this.along[2 * i + 1] = dy / length;
      this.headings[i] = headingBetween(a, b);
      this.stations[i + 1] = this.stations[i]! + length;
    }
    for (let i = closed ? 0 : 1; i < m; i++) this.turns[i] = this.#turn(i === 0 ? m - 1 : i - 1, i);
    for (let i = 1; i <= m; i++) {
      // the last vertex of a lap is the first one
      const turn = this.turns[i === n ? 0 : i]!;
      const trim = 2 * Math.tan(Math.min(Math.abs(turn), SHARPEST) / 2);
      this.cornersRight[i] = this.cornersRight[i - 1]! + (turn > 0 ? -trim : -turn);
      this.cornersLeft[i] = this.cornersLeft[i - 1]! + (turn < 0 ? -trim : turn);
    }
    this.#integral = new TurnIntegral(this.stations, this.turns, closed, window);
  }

  /** length of the line, its closing segment included, metres */
  get length(): number {
    return this.stations[this.segments]!;
  }

  /** Put the mean curvature about the station in a slot, 1/m, right positive, into another. No allocation. */
  curvature(numbers: Float64Array, station: number, slot: number): void {
    meanCurvature(this.#integral, numbers, station, slot);
  }

  #turn(before: number, after: number): number {
    const ax = this.along[2 * before]!;
    const ay = this.along[2 * before + 1]!;
    const bx = this.along[2 * after]!;
    const by = this.along[2 * after + 1]!;
    // clockwise: from north to east is positive
    return Math.atan2(ay * bx - ax * by, ax * bx + ay * by);
  }
}
