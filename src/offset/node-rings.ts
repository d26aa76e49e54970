import { visitContacts } from "./contacts.js";
import { type RingSet, ringSet } from "./ring-set.js";

/** A ring of flat coordinates: x, y of each vertex, the first not repeated. @internal */
export type FlatRing = Float64Array;

/** Rounds of splitting; each may bring segments, moved by rounding, so near to each other that they need another. */
const ROUNDS = 10;

/**
 * Rings with a vertex wherever they meet: points nearer to each other than a room become one point, segments that come so
 * near to a point get a vertex there, and crossing ones where they cross. Nothing moves farther than the room in a round.
 *
 * @param room - metres
 * @returns rings that meet in vertices only, or run along each other from vertex to vertex
 *
 * @internal
 */
export function nodeRings(rings: readonly FlatRing[], room: number): readonly FlatRing[] {
  let now = rings;
  for (let round = 0; round < ROUNDS; round++) {
    const split = splitOnce(now, room);
    if (split === undefined) return now;
    now = split;
  }
  return now;
}

/** The rings one after the other. @internal */
export function setOf(rings: readonly FlatRing[]): RingSet {
  let size = 0;
  for (const ring of rings) size += ring.length / 2;
  const x = new Float64Array(size);
  const y = new Float64Array(size);
  const ends: number[] = [];
  let k = 0;
  for (const ring of rings) {
    for (let i = 0; i < ring.length; i += 2, k++) {
      x[k] = ring[i]!;
      y[k] = ring[i + 1]!;
    }
    ends.push(k);
  }
  return ringSet(x, y, ends);
}

/** A point within a segment: its place there, as a share, and the vertex that it becomes. */
interface Split {
  readonly at: number;
  readonly vertex: number;
}

// undefined where nothing is to be done
function splitOnce(rings: readonly FlatRing[], room: number): FlatRing[] | undefined {
  const set = setOf(rings);
  const { size, next } = set;
  const x = Array.from(set.x);
  const y = Array.from(set.y);
  const one = Array.from({ length: size }, (_, k) => k);
  const splits = new Map<number, Split[]>();
  let changed = false;
  const rootOf = (v: number): number => {
    let root = v;
    while (one[root] !== root) root = one[root]!;
    return root;
  };
  const near = (v: number, w: number): boolean => Math.hypot(x[v]! - x[w]!, y[v]! - y[w]!) <= room;
  const unite = (v: number, w: number): void => {
    if (x[v] === x[w] && y[v] === y[w]) return;
    const a = rootOf(v);
    const b = rootOf(w);
    if (a === b) return;
    one[Math.max(a, b)] = Math.min(a, b);
    changed = true;
  };
  const split = (segment: number, at: number, vertex: number): void => {
    const list = splits.get(segment);
    if (list === undefined) splits.set(segment, [{ at, vertex }]);
    else list.push({ at, vertex });
    changed = true;
  };
  // a vertex near the inside of a segment
  const onto = (vertex: number, segment: number): boolean => {
    const a = segment;
    const b = next[segment]!;
    if (near(vertex, a) || near(vertex, b)) return false;
    const ex = x[b]! - x[a]!;
    const ey = y[b]! - y[a]!;
    const length = Math.hypot(ex, ey);
    const dx = x[vertex]! - x[a]!;
    const dy = y[vertex]! - y[a]!;
    const along = (dx * ex + dy * ey) / length;
    if (!(along > 0 && along < length) || Math.abs(dx * ey - dy * ex) > room * length) return false;
    split(segment, along / length, vertex);
    return true;
  };
  visitContacts(set, room, (k, l) => {
    const kEnd = next[k]!;
    const lEnd = next[l]!;
    if (kEnd === l || lEnd === k) {
      onto(kEnd === l ? lEnd : l, k);
      onto(kEnd === l ? k : kEnd, l);
      return true;
    }
    let meets = false;
    for (const v of [k, kEnd]) {
      for (const w of [l, lEnd]) {
        if (!near(v, w)) continue;
        unite(v, w);
        meets = true;
      }
    }
    for (const v of [l, lEnd]) if (onto(v, k)) meets = true;
    for (const v of [k, kEnd]) if (onto(v, l)) meets = true;
    if (meets) return true;
    const ux = x[kEnd]! - x[k]!;
    const uy = y[kEnd]! - y[k]!;
    const vx = x[lEnd]! - x[l]!;
    const vy = y[lEnd]! - y[l]!;
    const cross = ux * vy - uy * vx;
    const wx = x[l]! - x[k]!;
    const wy = y[l]! - y[k]!;
    const t = (wx * vy - wy * vx) / cross;
    const s = (wx * uy - wy * ux) / cross;
    if (!(t > 0 && t < 1 && s > 0 && s < 1)) return true;
    const vertex = x.length;
    x.push(x[k]! + t * ux);
    y.push(y[k]! + t * uy);
    one.push(vertex);
    split(k, t, vertex);
    split(l, s, vertex);
    return true;
  });
  if (!changed) return undefined;
  const out: FlatRing[] = [];
  let k = 0;
  for (const ring of rings) {
    const flat: number[] = [];
    const push = (v: number): void => {
      const px = x[rootOf(v)]!;
      const py = y[rootOf(v)]!;
      if (flat.length === 0 || flat[flat.length - 2] !== px || flat[flat.length - 1] !== py) flat.push(px, py);
    };
    for (const end = k + ring.length / 2; k < end; k++) {
      push(k);
      for (const { vertex } of (splits.get(k) ?? []).sort((a, b) => a.at - b.at)) push(vertex);
    }
    while (flat.length > 2 && flat[0] === flat[flat.length - 2] && flat[1] === flat[flat.length - 1]) flat.length -= 2;
    if (flat.length > 2) out.push(Float64Array.from(flat));
  }
  return out;
}
