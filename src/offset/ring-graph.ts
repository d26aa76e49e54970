import type { FlatRing } from "./node-rings.js";

/**
 * The segments of noded rings as a graph; the ground lies on their left.
 *
 * @internal
 */
export class RingGraph {
  private readonly x: number[] = [];
  private readonly y: number[] = [];
  /** of each vertex the segments that leave it and those that arrive, before any was cancelled */
  private readonly degree: number[] = [];
  private from: number[] = [];
  private to: number[] = [];
  /** pairs of vertices between which segments ran both ways, and no other is left */
  private lines: [number, number][] = [];
  /** from this segment on they are sides of opened lines */
  private sides: number = Number.POSITIVE_INFINITY;

  constructor(rings: readonly FlatRing[]) {
    const numbers = new Map<number, Map<number, number>>();
    for (const ring of rings) {
      const vertices: number[] = [];
      // the sum turns -0 into 0
      for (let i = 0; i < ring.length; i += 2) vertices.push(this.vertexAt(ring[i]! + 0, ring[i + 1]! + 0, numbers));
      for (let i = 0; i < vertices.length; i++) {
        const a = vertices[i]!;
        const b = vertices[i + 1 === vertices.length ? 0 : i + 1]!;
        this.from.push(a);
        this.to.push(b);
        this.degree[a]!++;
        this.degree[b]!++;
      }
    }
  }

  /** take away pairs of segments that run from one vertex to another and back: they are lines of no width */
  cancel(): void {
    const { x, from, to } = this;
    const size = x.length;
    const open = new Map<number, number[]>();
    const gone = new Uint8Array(from.length);
    const lines = new Map<number, [number, number]>();
    for (let e = 0; e < from.length; e++) {
      const a = from[e]!;
      const b = to[e]!;
      const other = open.get(b * size + a)?.pop();
      if (other !== undefined) {
        gone[e] = 1;
        gone[other] = 1;
        lines.set(Math.min(a, b) * size + Math.max(a, b), [a, b]);
        continue;
      }
      const same = open.get(a * size + b);
      if (same === undefined) open.set(a * size + b, [e]);
      else same.push(e);
    }
    this.keep((e) => gone[e] === 0);
    this.lines = [...lines.values()].filter(
      ([a, b]) => !open.get(a * size + b)?.length && !open.get(b * size + a)?.length,
    );
  }

  /** take away rings of ground, or of none, that are no wider than this: twice the area over the perimeter */
  dropThin(width: number): void {
    const gone = new Uint8Array(this.from.length);
    for (const ring of this.walk()) {
      if (this.isThin(ring, width)) for (const e of ring) gone[e] = 1;
    }
    this.keep((e) => gone[e] === 0);
  }

  /**
   * Bring the lines of no width back that lead from ground to ground, as corridors; those that end in nothing stay away.
   *
   * @param half - how far each side is moved, metres
   * @param reach - how far from ground a line may end to lead there, metres
   */
  openNecks(half: number, reach: number): void {
    this.joinEnds(reach);
    const lines = this.leadingLines();
    if (lines.length === 0) return;
    this.sides = this.from.length;
    const meets = new Set<number>();
    for (const [a, b] of lines) {
      this.from.push(a, b);
      this.to.push(b, a);
      meets.add(a).add(b);
    }
    const around = this.around();
    for (const v of meets) this.openVertex(v, around[v]!, half);
  }

  /** the rings, none through a vertex twice, without vertices that stand only where something met them that is gone */
  rings(room: number): FlatRing[] {
    const now = new Int32Array(this.x.length);
    for (let e = 0; e < this.from.length; e++) {
      now[this.from[e]!]!++;
      now[this.to[e]!]!++;
    }
    return this.walk()
      .filter((ring) => ring.length > 2)
      .map((ring) => this.straightened(ring, now, room));
  }

  private keep(stays: (e: number) => boolean): void {
    this.from = this.from.filter((_, e) => stays(e));
    // `from` has its new length already, `to` its old one
    this.to = this.to.filter((_, e) => stays(e));
  }

  private vertexAt(px: number, py: number, numbers: Map<number, Map<number, number>>): number {
    let row = numbers.get(px);
    if (row === undefined) {
      row = new Map();
      numbers.set(px, row);
    }
    let v = row.get(py);
    if (v === undefined) {
      v = this.addVertex(px, py, 0);
      row.set(py, v);
    }
    return v;
  }

  private addVertex(px: number, py: number, degree: number): number {
    this.x.push(px);
    this.y.push(py);
    this.degree.push(degree);
    return this.x.length - 1;
  }

  // where two arcs touch on a line, rounding decides over a stretch far longer than itself where their ground begins
  private joinEnds(reach: number): void {
    const { x, y } = this;
    const ground = new Set(this.from);
    const others = new Map<number, number>();
    const ends = new Set<number>();
    for (const [a, b] of this.lines) {
      for (const [v, w] of [
        [a, b],
        [b, a],
      ] as const) {
        if (others.has(v) || ground.has(v)) ends.delete(v);
        else ends.add(v);
        others.set(v, w);
      }
    }
    const gap = (v: number, w: number): number => Math.hypot(x[v]! - x[w]!, y[v]! - y[w]!);
    for (const end of ends) {
      if (gap(end, others.get(end)!) <= reach) continue;
      let nearest = -1;
      for (const v of ground) {
        if (gap(end, v) <= reach && (nearest < 0 || gap(end, v) < gap(end, nearest))) nearest = v;
      }
      if (nearest >= 0) this.lines.push([end, nearest]);
    }
  }

  // lines left when those with a free end are taken away again and again, and those that no ground holds
  private leadingLines(): [number, number][] {
    const ground = new Set(this.from);
    const count = new Map<number, number>();
    for (const v of this.lines.flat()) count.set(v, (count.get(v) ?? 0) + 1);
    let lines = this.lines;
    for (let before = -1; before !== lines.length; ) {
      before = lines.length;
      lines = lines.filter(([a, b]) => {
        if ((ground.has(a) || count.get(a)! > 1) && (ground.has(b) || count.get(b)! > 1)) return true;
        count.set(a, count.get(a)! - 1);
        count.set(b, count.get(b)! - 1);
        return false;
      });
    }
    // what hangs together with ground
    const held = new Set<number>(ground);
    for (let before = -1; before !== held.size; ) {
      before = held.size;
      for (const [a, b] of lines) if (held.has(a) || held.has(b)) held.add(a).add(b);
    }
    return lines.filter(([a]) => held.has(a));
  }

  // between two corridors, or one and ground, the vertex moves away from them: each of its copies turns round one of the
  // spaces without ground
  private openVertex(v: number, around: readonly End[], half: number): void {
    const n = around.length;
    for (let i = 0; i < n; i++) {
      const arrives = around[i]!;
      const leaves = around[i + 1 === n ? 0 : i + 1]!;
      if (arrives.leaves || !leaves.leaves) continue;
      let span = leaves.angle - arrives.angle;
      if (span <= 0) span += 2 * Math.PI;
      const middle = arrives.angle + span / 2;
      const copy = this.addVertex(this.x[v]! + half * Math.cos(middle), this.y[v]! + half * Math.sin(middle), 2);
      this.to[arrives.segment] = copy;
      this.from[leaves.segment] = copy;
    }
  }

  // rings of segment numbers, none through a vertex twice
  private walk(): number[][] {
    const { x, from } = this;
    const follower = this.followers();
    const used = new Uint8Array(from.length);
    const place = new Int32Array(x.length).fill(-1);
    const out: number[][] = [];
    for (let first = 0; first < from.length; first++) {
      const path: number[] = [];
      for (let e = first; used[e] === 0; e = follower[e]!) {
        used[e] = 1;
        const seen = place[from[e]!]!;
        if (seen >= 0) {
          const loop = path.splice(seen);
          for (const other of loop) place[from[other]!] = -1;
          out.push(loop);
        }
        place[from[e]!] = path.length;
        path.push(e);
      }
      for (const other of path) place[from[other]!] = -1;
      if (path.length > 0) out.push(path);
    }
    return out;
  }

  // the segment that goes on from each: seen round a vertex, ground begins behind a segment that leaves and ends before one
  // that arrives, so the two are matched as brackets are
  private followers(): Int32Array {
    const out = new Int32Array(this.from.length).fill(-1);
    for (const ends of this.around()) {
      const open: number[] = [];
      // twice round: a bracket may open before the seam and close behind it
      for (let turn = 0; turn < 2; turn++) {
        for (const { segment, leaves } of ends) {
          if (leaves) {
            if (turn === 0) open.push(segment);
          } else if (out[segment]! < 0) {
            const after = open.pop();
            if (after !== undefined) out[segment] = after;
          }
        }
      }
    }
    return out;
  }

  // the ends of segments at each vertex, counter-clockwise; of an opened line the side that leaves first
  private around(): End[][] {
    const { x, y, from, to } = this;
    const ends: End[][] = x.map(() => []);
    for (let e = 0; e < from.length; e++) {
      const a = from[e]!;
      const b = to[e]!;
      ends[a]!.push({ segment: e, leaves: true, angle: Math.atan2(y[b]! - y[a]!, x[b]! - x[a]!) });
      ends[b]!.push({ segment: e, leaves: false, angle: Math.atan2(y[a]! - y[b]!, x[a]! - x[b]!) });
    }
    for (const list of ends) {
      if (list.length > 2 || this.sides < from.length) {
        list.sort((p, q) => p.angle - q.angle || Number(q.leaves) - Number(p.leaves));
      }
    }
    return ends;
  }

  private straightened(ring: readonly number[], now: Int32Array, room: number): FlatRing {
    const { x, y, degree, from } = this;
    const kept: number[] = [];
    const n = ring.length;
    for (let i = 0; i < n; i++) {
      const v = from[ring[i]!]!;
      const a = kept.length > 0 ? kept[kept.length - 1]! : from[ring[n - 1]!]!;
      const b = from[ring[i + 1 === n ? 0 : i + 1]!]!;
      if (degree[v]! > 2 && now[v] === 2 && this.isBetween(v, a, b, room)) continue;
      kept.push(v);
    }
    const flat = new Float64Array(2 * kept.length);
    kept.forEach((v, i) => {
      flat[2 * i] = x[v]!;
      flat[2 * i + 1] = y[v]!;
    });
    return flat;
  }

  private isBetween(v: number, a: number, b: number, room: number): boolean {
    const { x, y } = this;
    const ux = x[v]! - x[a]!;
    const uy = y[v]! - y[a]!;
    const wx = x[b]! - x[v]!;
    const wy = y[b]! - y[v]!;
    if (ux * wx + uy * wy <= 0) return false;
    return Math.abs(ux * wy - uy * wx) <= room * Math.hypot(ux + wx, uy + wy);
  }

  private isThin(ring: readonly number[], width: number): boolean {
    const { x, y, from, to } = this;
    const x0 = x[from[ring[0]!]!]!;
    const y0 = y[from[ring[0]!]!]!;
    let twice = 0;
    let length = 0;
    for (const e of ring) {
      const px = x[from[e]!]! - x0;
      const py = y[from[e]!]! - y0;
      const qx = x[to[e]!]! - x0;
      const qy = y[to[e]!]! - y0;
      twice += px * qy - py * qx;
      length += Math.hypot(qx - px, qy - py);
    }
    return Math.abs(twice) <= width * length;
  }
}

/** An end of a segment at a vertex. */
interface End {
  readonly segment: number;
  /** whether the segment leaves the vertex, else it arrives */
  readonly leaves: boolean;
  /** direction from the vertex, radians */
  readonly angle: number;
}
