import type { Point } from "../geometry/index.js";
import { EdgeQueue } from "./drivable-line-queue.js";
import { type Corners, fitRadii, halfTurn, SLACK } from "./drivable-line-radii.js";

/** Product of the tangents of two half turns above which the bend of both is a reversal: its legs never meet. */
const REVERSAL = 1 - 1e-6;
/** Largest share of the radius by which a vertex of a zigzag may be cut off: a right angle departs by 0.41 of it. */
const CUT = 0.5;
/** Share of the radius below which a vertex of a zigzag is noise, cut off before anything else is tried. */
const NOISE = 1 / 200;

/**
 * Give every bend of a line room for an arc of a radius, the tightest first.
 *
 * Two bends to the same side that are too close lose the edge between them, as under a disc that rolls along the inside and
 * grows: their legs are drawn on to where they meet. Of two bends to opposite sides that are too close, a vertex that is
 * noise is cut off; else the edge between them is turned, both its ends shifted along their legs by the same amount; else the
 * vertex nearer to its neighbours' chord is cut off, by half the radius at most. What then has no room gets its vertices back,
 * and the largest radii that fit.
 *
 * @param points - distinct neighbours; a ring open, metres, near the origin
 * @param gap - straight needed between two long arcs to opposite sides, metres; `longArc` says what is long
 * @internal
 */
export function roomyCorners(
  points: readonly Point[],
  closed: boolean,
  radius: number,
  gap: number,
  longArc: number,
): Corners {
  const chain = new CornerChain(points, closed, radius, gap, longArc);
  chain.settle();
  return chain.result();
}

class CornerChain {
  readonly #source: readonly Point[];
  readonly #closed: boolean;
  readonly #radius: number;
  readonly #gap: number;
  readonly #longArc: number;
  readonly #x: Float64Array;
  readonly #y: Float64Array;
  // direction of the edge after each vertex
  readonly #dx: Float64Array;
  readonly #dy: Float64Array;
  readonly #tangent: Float64Array;
  readonly #next: Int32Array;
  readonly #previous: Int32Array;
  readonly #edge: Int32Array;
  // the source's vertices that each stands for
  readonly #first: Int32Array;
  readonly #last: Int32Array;
  readonly #stamp: Int32Array;
  readonly #alive: Uint8Array;
  #count: number;
  readonly #queue = new EdgeQueue();

  constructor(points: readonly Point[], closed: boolean, radius: number, gap: number, longArc: number) {
    const n = points.length;
    this.#source = points;
    this.#closed = closed;
    this.#radius = radius;
    this.#gap = gap;
    this.#longArc = longArc;
    this.#count = n;
    this.#x = Float64Array.from(points, (p) => p[0]);
    this.#y = Float64Array.from(points, (p) => p[1]);
    this.#dx = new Float64Array(n);
    this.#dy = new Float64Array(n);
    this.#tangent = new Float64Array(n);
    this.#next = Int32Array.from(points, (_, i) => (i + 1 < n ? i + 1 : closed ? 0 : -1));
    this.#previous = Int32Array.from(points, (_, i) => (i > 0 ? i - 1 : closed ? n - 1 : -1));
    this.#edge = Int32Array.from(points, (_, i) => i);
    this.#first = Int32Array.from(points, (_, i) => i);
    this.#last = Int32Array.from(points, (_, i) => i);
    this.#stamp = new Int32Array(n);
    this.#alive = new Uint8Array(n).fill(1);
    for (let i = 0; i < n; i++) if (this.#next[i]! >= 0) this.#aim(i);
    for (let i = 0; i < n; i++) this.#turn(i);
  }

  settle(): void {
    for (let i = 0; i < this.#x.length; i++) if (this.#next[i]! >= 0) this.#push(i);
    // an edge turned can crowd others again: a bound on that, reached by no line known
    let turns = 4 * this.#x.length + 16;
    for (let top = this.#queue.pop(); top !== undefined && turns > 0; top = this.#queue.pop()) {
      const a = top.edge;
      if (this.#alive[a] === 0 || this.#stamp[a] !== top.stamp || this.#next[a]! < 0) continue;
      const b = this.#next[a]!;
      const ta = this.#tangent[a]!;
      const tb = this.#tangent[b]!;
      const fixedA = this.#previous[a]! < 0;
      const fixedB = this.#next[b]! < 0;
      if (fixedA || fixedB) {
        if (fixedA && fixedB) continue;
        this.#easeEnd(fixedA ? b : a, fixedA ? this.#next[b]! : this.#previous[a]!);
      } else if (ta * tb >= 0) {
        this.#mergeAcross(a, b);
      } else if (!this.#cutSmaller(a, b, NOISE * this.#radius)) {
        if (this.#turnEdge(a, b)) turns--;
        else this.#cutSmaller(a, b, CUT * this.#radius);
      }
    }
  }

  result(): Corners {
    const order: number[] = [];
    const start = this.#alive.indexOf(1);
    for (let i = start, k = 0; i >= 0 && k < this.#count; i = this.#next[i]!, k++) order.push(i);
    const m = order.length;
    const stuck = new Uint8Array(m);
    for (let k = 0; k < m; k++) {
      if (this.#next[order[k]!]! < 0 || this.#room(order[k]!) >= this.#radius * (1 - SLACK)) continue;
      stuck[k] = 1;
      stuck[(k + 1) % m] = 1;
    }
    const n = this.#source.length;
    const points: Point[] = [];
    const edges: number[] = [];
    const sources: number[] = [];
    const add = (x: number, y: number, edge: number, source: number): void => {
      points.push([x, y]);
      edges.push(edge);
      sources.push(source);
    };
    const free = this.#closed ? stuck.indexOf(0) : 0;
    if (free < 0) {
      for (let i = 0; i < n; i++) add(this.#source[i]![0], this.#source[i]![1], i, i);
    } else {
      for (let k = 0; k < m; ) {
        const a = order[(free + k) % m]!;
        if (stuck[(free + k) % m] === 0) {
          add(this.#x[a]!, this.#y[a]!, this.#edge[a]!, this.#first[a]!);
          k++;
          continue;
        }
        let end = k;
        while (end + 1 < m && stuck[(free + end + 1) % m] === 1) end++;
        const b = order[(free + end) % m]!;
        const last = this.#last[b]!;
        for (let v = this.#first[a]!; ; v = (v + 1) % n) {
          add(this.#source[v]![0], this.#source[v]![1], v === last ? this.#edge[b]! : v, v);
          if (v === last) break;
        }
        k = end + 1;
      }
    }
    return fitRadii(points, edges, sources, this.#closed, this.#radius);
  }

  // both legs drawn on to where they meet; the edge between is gone
  #mergeAcross(a: number, b: number): boolean {
    const before = this.#previous[a]!;
    if (this.#count < 4 && this.#closed) return false;
    if (!(this.#tangent[a]! * this.#tangent[b]! < REVERSAL)) return false;
    const ux = this.#dx[before]!;
    const uy = this.#dy[before]!;
    const vx = this.#dx[b]!;
    const vy = this.#dy[b]!;
    const ex = this.#x[b]! - this.#x[a]!;
    const ey = this.#y[b]! - this.#y[a]!;
    const cross = ux * vy - uy * vx;
    const along = cross === 0 ? 0 : (ex * vy - ey * vx) / cross;
    this.#x[a] = this.#x[a]! + ux * along;
    this.#y[a] = this.#y[a]! + uy * along;
    this.#dx[a] = vx;
    this.#dy[a] = vy;
    this.#edge[a] = this.#edge[b]!;
    this.#last[a] = this.#last[b]!;
    this.#drop(b);
    this.#turn(a);
    this.#renew(before);
    this.#renew(a);
    return true;
  }

  // of two vertices the one nearer to its neighbours' chord cut off, if it is near enough
  #cutSmaller(a: number, b: number, limit: number): boolean {
    const ha = this.#height(a);
    const hb = this.#height(b);
    return ha <= hb
      ? this.#cut(a, ha, limit) || this.#cut(b, hb, limit)
      : this.#cut(b, hb, limit) || this.#cut(a, ha, limit);
  }

  #cut(m: number, height: number, limit: number): boolean {
    if (!(height <= limit) || (this.#closed && this.#count < 4)) return false;
    const before = this.#previous[m]!;
    const after = this.#next[m]!;
    this.#drop(m);
    this.#edge[before] = -1;
    this.#aim(before);
    this.#turn(before);
    this.#turn(after);
    if (this.#previous[before]! >= 0) this.#renew(this.#previous[before]!);
    this.#renew(before);
    this.#renew(after);
    return true;
  }

  // distance from a vertex to the chord of its neighbours; infinite where cutting it would turn an end of the line
  #height(m: number): number {
    const a = this.#previous[m]!;
    const b = this.#next[m]!;
    if (this.#previous[a]! < 0 || this.#next[b]! < 0) return Number.POSITIVE_INFINITY;
    const ex = this.#x[b]! - this.#x[a]!;
    const ey = this.#y[b]! - this.#y[a]!;
    const px = this.#x[m]! - this.#x[a]!;
    const py = this.#y[m]! - this.#y[a]!;
    const squared = ex * ex + ey * ey;
    const t = squared === 0 ? 0 : Math.min(1, Math.max(0, (px * ex + py * ey) / squared));
    return Math.hypot(px - t * ex, py - t * ey);
  }

  // a bend too near an end: a neighbour that bends the other way may be noise that makes it so
  #easeEnd(corner: number, inner: number): boolean {
    if (this.#previous[inner]! < 0 || this.#next[inner]! < 0) return false;
    if (!(this.#tangent[corner]! * this.#tangent[inner]! < 0)) return false;
    return this.#cut(inner, this.#height(inner), CUT * this.#radius);
  }

  // both ends of an edge shifted along their legs by the least that gives the edge room
  #turnEdge(a: number, b: number): boolean {
    const before = this.#previous[a]!;
    const after = this.#next[b]!;
    const freeA = this.#free(before, before, a);
    const freeB = this.#free(b, after, b);
    const capA = Math.max(0, freeA - this.#radius * Math.abs(this.#tangent[a]!));
    const capB = Math.max(0, freeB - this.#radius * Math.abs(this.#tangent[b]!));
    let low = 0;
    let high = Math.max(capA, capB);
    const shifted = new Float64Array(8);
    const fits = (shift: number): boolean => {
      const sa = Math.min(shift, capA);
      const sb = Math.min(shift, capB);
      const px = this.#x[a]! - sa * this.#dx[before]!;
      const py = this.#y[a]! - sa * this.#dy[before]!;
      const qx = this.#x[b]! + sb * this.#dx[b]!;
      const qy = this.#y[b]! + sb * this.#dy[b]!;
      const length = Math.hypot(qx - px, qy - py);
      const dx = (qx - px) / length;
      const dy = (qy - py) / length;
      const ta = halfTurn(this.#dx[before]!, this.#dy[before]!, dx, dy);
      const tb = halfTurn(dx, dy, this.#dx[b]!, this.#dy[b]!);
      shifted.set([px, py, qx, qy, sa + this.#radius * Math.abs(ta), sb + this.#radius * Math.abs(tb)]);
      return this.#radius * (Math.abs(ta) + Math.abs(tb)) + this.#gapBetween(ta, tb) <= length;
    };
    if (!(high > 0) || !fits(high)) return false;
    for (let k = 0; k < 60; k++) {
      const middle = (low + high) / 2;
      if (fits(middle)) high = middle;
      else low = middle;
    }
    fits(high);
    if (!(shifted[4]! <= freeA && shifted[5]! <= freeB)) return false;
    this.#x[a] = shifted[0]!;
    this.#y[a] = shifted[1]!;
    this.#x[b] = shifted[2]!;
    this.#y[b] = shifted[3]!;
    this.#edge[a] = -1;
    this.#aim(a);
    this.#turn(a);
    this.#turn(b);
    this.#renew(before);
    this.#renew(a);
    this.#renew(b);
    return true;
  }

  // length of an edge that its other end does not need
  #free(edge: number, other: number, own: number): number {
    const ta = this.#tangent[other]!;
    return this.#length(edge) - this.#radius * Math.abs(ta) - this.#gapBetween(ta, this.#tangent[own]!);
  }

  #gapBetween(ta: number, tb: number): number {
    if (this.#gap === 0 || !(ta * tb < 0)) return 0;
    const smaller = Math.min(Math.abs(ta), Math.abs(tb));
    return 2 * Math.atan(smaller) * this.#radius > this.#longArc ? this.#gap : 0;
  }

  // the largest radius that the edge has room for at both ends
  #room(a: number): number {
    const ta = this.#tangent[a]!;
    const tb = this.#tangent[this.#next[a]!]!;
    const sum = Math.abs(ta) + Math.abs(tb);
    if (sum === 0) return Number.POSITIVE_INFINITY;
    return (this.#length(a) - this.#gapBetween(ta, tb)) / sum;
  }

  #length(a: number): number {
    const b = this.#next[a]!;
    return (this.#x[b]! - this.#x[a]!) * this.#dx[a]! + (this.#y[b]! - this.#y[a]!) * this.#dy[a]!;
  }

  #aim(a: number): void {
    const b = this.#next[a]!;
    const ex = this.#x[b]! - this.#x[a]!;
    const ey = this.#y[b]! - this.#y[a]!;
    const length = Math.hypot(ex, ey);
    this.#dx[a] = length > 0 ? ex / length : 1;
    this.#dy[a] = length > 0 ? ey / length : 0;
  }

  #turn(i: number): void {
    const before = this.#previous[i]!;
    if (before < 0 || this.#next[i]! < 0) this.#tangent[i] = 0;
    else this.#tangent[i] = halfTurn(this.#dx[before]!, this.#dy[before]!, this.#dx[i]!, this.#dy[i]!);
  }

  #drop(i: number): void {
    this.#alive[i] = 0;
    this.#count--;
    const before = this.#previous[i]!;
    const after = this.#next[i]!;
    if (before >= 0) this.#next[before] = after;
    if (after >= 0) this.#previous[after] = before;
  }

  #renew(a: number): void {
    this.#stamp[a] = this.#stamp[a]! + 1;
    if (this.#next[a]! >= 0) this.#push(a);
  }

  #push(edge: number): void {
    const room = this.#room(edge);
    if (room < this.#radius * (1 - SLACK)) this.#queue.push(room, edge, this.#stamp[edge]!);
  }
}
