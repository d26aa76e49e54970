import { type Point, type Polygon, PolygonIndex, simplifyLine } from "../geometry/index.js";
import type { HeadlandRound } from "../headland/index.js";
import { offsetPolygon } from "../offset/index.js";

/** A way over a field. @internal */
export interface PlanWay {
  /** corners, both ends among them, metres */
  readonly points: readonly Point[];
  /** metres */
  readonly length: number;
}

/** Rounds are followed to within this, metres; coarser until there are few enough corners. */
const COARSE = 0.25;
const MOST_CORNERS = 90;
/** A way may run over so much of the mainfield, metres: it begins and ends at its edge. */
const TOUCH = 0.1;
/** Slack of the ground for ways, metres. */
const SLACK = 0.02;

/**
 * Shortest ways over a field from place to place: straight where the headland allows, along its innermost rounds where it does not, and over
 * the mainfield only where no headland leads there.
 *
 * A graph of the places that see each other; what sees what is found when first asked for, and kept.
 *
 * @internal
 */
export class PlanWays {
  private readonly ground: PolygonIndex;
  private readonly mainfield: PolygonIndex;
  private readonly corners: readonly Point[];
  /** 0 not known, 1 unseen, 2 seen over the mainfield only, 3 seen over the headland */
  private readonly sight: Uint8Array;
  private readonly fromCorner = new Map<number, Float64Array>();

  /**
   * @param half - half the machine's width, metres
   */
  constructor(
    field: readonly Polygon[],
    mainfield: readonly Polygon[],
    rounds: readonly HeadlandRound[],
    half: number,
  ) {
    const inside = half > SLACK ? offsetPolygon(field, SLACK - half, { tolerance: 0.01 }) : field;
    this.ground = new PolygonIndex(inside);
    this.mainfield = new PolygonIndex(mainfield);
    this.corners = cornersOf(innermost(rounds), mainfield);
    this.sight = new Uint8Array(this.corners.length ** 2);
  }

  /** The shortest way; null where none leads from one to the other. */
  between(from: Point, to: Point): PlanWay | null {
    return this.search(from, to, 3) ?? this.search(from, to, 2);
  }

  /** About how long the way is, by the corners nearest to both ends; metres, infinite where there is none. */
  distance(from: Point, to: Point): number {
    const straight = Math.hypot(to[0] - from[0], to[1] - from[1]);
    if (straight === 0 || this.corners.length === 0 || this.sees(from, to) === 3) return straight;
    const a = this.nearest(from);
    const b = this.nearest(to);
    const [pa, pb] = [this.corners[a]!, this.corners[b]!];
    const along = this.distances(a)[b]!;
    return Math.hypot(pa[0] - from[0], pa[1] - from[1]) + along + Math.hypot(pb[0] - to[0], pb[1] - to[1]);
  }

  private nearest([x, y]: Point): number {
    let best = 0;
    let least = Number.POSITIVE_INFINITY;
    for (let i = 0; i < this.corners.length; i++) {
      const corner = this.corners[i]!;
      const dx = corner[0] - x;
      const dy = corner[1] - y;
      const square = dx * dx + dy * dy;
      if (square < least) {
        least = square;
        best = i;
      }
    }
    return best;
  }

  /** Ways from one corner to all, over the mainfield at three times their length. */
  private distances(source: number): Float64Array {
    const known = this.fromCorner.get(source);
    if (known !== undefined) return known;
    const n = this.corners.length;
    const distance = new Float64Array(n).fill(Number.POSITIVE_INFINITY);
    distance[source] = 0;
    const done = new Uint8Array(n);
    for (;;) {
      let next = -1;
      for (let i = 0; i < n; i++) if (done[i] === 0 && (next < 0 || distance[i]! < distance[next]!)) next = i;
      if (next < 0 || distance[next] === Number.POSITIVE_INFINITY) break;
      done[next] = 1;
      const p = this.corners[next]!;
      for (let i = 0; i < n; i++) {
        if (done[i] === 1) continue;
        const q = this.corners[i]!;
        const step = Math.hypot(q[0] - p[0], q[1] - p[1]);
        if (distance[next]! + step >= distance[i]!) continue;
        const seen = this.between2(next, i);
        if (seen === 1) continue;
        const reached = distance[next]! + (seen === 3 ? step : 3 * step);
        if (reached < distance[i]!) distance[i] = reached;
      }
    }
    this.fromCorner.set(source, distance);
    return distance;
  }

  /** A* over corners: how far still to go is at least the straight distance (Hart, Nilsson and Raphael 1968). */
  private search(from: Point, to: Point, needed: number): PlanWay | null {
    if (this.sees(from, to) >= needed)
      return { points: [from, to], length: Math.hypot(to[0] - from[0], to[1] - from[1]) };
    const n = this.corners.length;
    const toGo = this.corners.map(([x, y]) => Math.hypot(to[0] - x, to[1] - y));
    const distance = new Float64Array(n + 1).fill(Number.POSITIVE_INFINITY);
    const before = new Int32Array(n + 1).fill(-1);
    const done = new Uint8Array(n);
    for (let i = 0; i < n; i++) {
      if (this.sees(from, this.corners[i]!) >= needed) {
        distance[i] = Math.hypot(this.corners[i]![0] - from[0], this.corners[i]![1] - from[1]);
      }
    }
    for (;;) {
      let next = -1;
      let least = distance[n]!;
      for (let i = 0; i < n; i++) {
        if (done[i] === 0 && distance[i]! + toGo[i]! < least) [least, next] = [distance[i]! + toGo[i]!, i];
      }
      if (next < 0) break;
      done[next] = 1;
      const p = this.corners[next]!;
      if (distance[next]! + toGo[next]! < distance[n]! && this.sees(p, to) >= needed) {
        distance[n] = distance[next]! + toGo[next]!;
        before[n] = next;
      }
      for (let i = 0; i < n; i++) {
        if (done[i] === 1) continue;
        const q = this.corners[i]!;
        const reached = distance[next]! + Math.hypot(q[0] - p[0], q[1] - p[1]);
        if (reached >= distance[i]! || this.between2(next, i) < needed) continue;
        distance[i] = reached;
        before[i] = next;
      }
    }
    if (distance[n] === Number.POSITIVE_INFINITY) return null;
    const points: Point[] = [to];
    for (let at = before[n]!; at >= 0; at = before[at]!) points.push(this.corners[at]!);
    points.push(from);
    return { points: points.reverse(), length: distance[n]! };
  }

  private between2(i: number, j: number): number {
    const at = i < j ? i * this.corners.length + j : j * this.corners.length + i;
    if (this.sight[at] === 0) this.sight[at] = this.sees(this.corners[i]!, this.corners[j]!);
    return this.sight[at]!;
  }

  private sees([ax, ay]: Point, [bx, by]: Point): number {
    // most that do not see each other show it half way
    if (!this.ground.contains((ax + bx) / 2, (ay + by) / 2)) return 1;
    if (this.ground.insideShare(ax, ay, bx, by) < 1 - 1e-9) return 1;
    const over = this.mainfield.insideShare(ax, ay, bx, by) * Math.hypot(bx - ax, by - ay);
    return over <= TOUCH ? 3 : 2;
  }
}

/** The round farthest in of each set, all that share its number. */
function innermost(rounds: readonly HeadlandRound[]): readonly HeadlandRound[] {
  const last = new Map<string, number>();
  for (const { source, index, number } of rounds) {
    const key = `${source} ${index}`;
    last.set(key, Math.max(last.get(key) ?? 0, number));
  }
  return rounds.filter(({ source, index, number }) => last.get(`${source} ${index}`) === number);
}

function cornersOf(rounds: readonly HeadlandRound[], mainfield: readonly Polygon[]): Point[] {
  const lines =
    rounds.length > 0 ? rounds.map(({ line }) => line) : mainfield.flatMap((one) => [one.exterior, ...one.holes]);
  for (let tolerance = COARSE; ; tolerance *= 2) {
    const corners = lines.flatMap((line) => simplifyLine(line, tolerance).slice(0, -1));
    if (corners.length <= MOST_CORNERS || tolerance > 10) return corners.slice(0, 4 * MOST_CORNERS);
  }
}
