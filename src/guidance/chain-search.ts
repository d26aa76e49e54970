import { orient2d } from "robust-predicates";
import { boxTree, FAN } from "../geometry/box-tree.js";
import type { Chain } from "./chain.js";

/** Numbers of a segment: start x and y, vector x and y, inverse of the squared length, end x and y. */
const STRIDE = 7;

/** A box is passed over when it is farther than the nearest so far by more than the rounding of both. */
const ROOM = 1 + 1e-14;

/** Query x and y, and squared distance below which a segment is looked for: slots of what goes in. */
export const QUERY_X = 0;
/** query, metres north */
export const QUERY_Y = 1;
/** squared distance, square metres: in, farther segments are not looked for; out, that of the nearest */
export const GAP = 2;
/** out: place on the segment, 0 to 1 */
export const FRACTION = 3;
/** out: below 0 on the left, above 0 on the right, 0 on the line */
export const SIDE = 4;

// last query, and the squared step from it beyond which a search begins anew
const LAST_X = 5;
const LAST_Y = 6;
const FAR = 7;

/** Steps longer than this many segments begin anew. */
const JUMP = 16;

/** What all searches on one chain share. */
export interface ChainTree {
  /** seven numbers a segment */
  readonly segments: Float64Array;
  /** how many segments */
  readonly count: number;
  /** boxes over four each, in chain order, level by level */
  readonly boxes: Float64Array;
  /** first box of each level */
  readonly levels: Int32Array;
  /** exact side to which the line turns at each vertex: 1 right, -1 left, 0 straight on or an open end */
  readonly turned: Int8Array;
  /** the chain itself */
  readonly chain: Chain;
}

/** Prepare a chain for searches. */
export function chainTree(chain: Chain): ChainTree {
  const { xy, vertices: n, segments: m } = chain;
  const segments = new Float64Array(STRIDE * m);
  const ends = new Float64Array(4 * m);
  for (let i = 0; i < m; i++) {
    const k = STRIDE * i;
    const to = i + 1 === n ? 0 : i + 1;
    for (let j = 0; j < 2; j++) {
      ends[4 * i + j] = segments[k + j] = xy[2 * i + j]!;
      ends[4 * i + 2 + j] = segments[k + 5 + j] = xy[2 * to + j]!;
    }
    const ex = segments[k + 5]! - segments[k]!;
    const ey = segments[k + 6]! - segments[k + 1]!;
    segments[k + 2] = ex;
    segments[k + 3] = ey;
    segments[k + 4] = 1 / (ex * ex + ey * ey);
  }
  const turned = new Int8Array(n);
  for (let b = 0; b < n; b++) {
    if (!chain.closed && (b === 0 || b === n - 1)) continue;
    const a = 2 * (b === 0 ? n - 1 : b - 1);
    const c = 2 * (b === n - 1 ? 0 : b + 1);
    turned[b] = Math.sign(orient2d(xy[a]!, xy[a + 1]!, xy[2 * b]!, xy[2 * b + 1]!, xy[c]!, xy[c + 1]!));
  }
  return { segments, count: m, ...boxTree(ends), turned, chain };
}

/**
 * Nearest segment of a chain, exact whatever the step from one query to the next: begun where the last one ended, a search goes
 * up the tree of boxes and down again only into boxes that are nearer than the best so far. No box is left out: at the root
 * all of the chain is accounted for. Rules of equal distances and sides are those of `nearestOnLine`. No allocation.
 */
export class ChainSearch {
  /** what the last search found, -1 where all is beyond GAP; and where the next begins */
  segment = 0;
  /** what goes in and comes out, in the slots named above: numbers as arguments would be boxed */
  readonly io: Float64Array = new Float64Array(8);

  readonly #tree: ChainTree;
  readonly #pending: Int32Array;
  readonly #pendingLevel: Int32Array;
  #hint = 0;

  constructor(tree: ChainTree) {
    this.#tree = tree;
    const depth = FAN * tree.levels.length + FAN;
    this.#pending = new Int32Array(depth);
    this.#pendingLevel = new Int32Array(depth);
    const mean = (tree.chain.length / tree.count) * JUMP;
    this.io[FAR] = mean * mean;
    this.io[LAST_X] = Number.POSITIVE_INFINITY;
  }

  /** Begin the next search at a segment near the query at `QUERY_X`, `QUERY_Y`. */
  begin(segment: number): void {
    this.#hint = segment;
    this.io[LAST_X] = this.io[QUERY_X]!;
    this.io[LAST_Y] = this.io[QUERY_Y]!;
  }

  // a new place to begin: down the tree, into the box that is nearest each time
  #jump(): void {
    const { boxes, levels } = this.#tree;
    const io = this.io;
    const x = io[QUERY_X]!;
    const y = io[QUERY_Y]!;
    let node = 0;
    for (let level = levels.length - 3; level >= 0; level--) {
      const from = levels[level]!;
      const count = levels[level + 1]! - from;
      const first = node * FAN;
      const last = first + FAN < count ? first + FAN : count;
      let least = Number.POSITIVE_INFINITY;
      for (let child = first; child < last; child++) {
        const box = 4 * (from + child);
        const west = boxes[box]! - x;
        const east = x - boxes[box + 2]!;
        const south = boxes[box + 1]! - y;
        const north = y - boxes[box + 3]!;
        const dx = west > 0 ? west : east > 0 ? east : 0;
        const dy = south > 0 ? south : north > 0 ? north : 0;
        const gap = dx * dx + dy * dy;
        if (gap < least) {
          least = gap;
          node = child;
        }
      }
    }
    this.#hint = node * FAN;
  }

  /** Find the nearest segment to the query that is nearer than GAP, its place and gap. */
  find(): void {
    // hot
    const { boxes, levels } = this.#tree;
    const io = this.io;
    const x = io[QUERY_X]!;
    const y = io[QUERY_Y]!;
    const top = levels.length - 2;
    this.segment = -1;
    const movedX = x - io[LAST_X]!;
    const movedY = y - io[LAST_Y]!;
    io[LAST_X] = x;
    io[LAST_Y] = y;
    if (movedX * movedX + movedY * movedY > io[FAR]!) this.#jump();
    let node = this.#hint >> 2;
    this.#visit(node);
    let limit = io[GAP]! * ROOM;
    for (let level = 0; level < top; level++) {
      const from = levels[level]!;
      const count = levels[level + 1]! - from;
      const first = node & ~(FAN - 1);
      const last = first + FAN < count ? first + FAN : count;
      for (let other = first; other < last; other++) {
        if (other === node) continue;
        const box = 4 * (from + other);
        const west = boxes[box]! - x;
        const east = x - boxes[box + 2]!;
        const south = boxes[box + 1]! - y;
        const north = y - boxes[box + 3]!;
        const dx = west > 0 ? west : east > 0 ? east : 0;
        const dy = south > 0 ? south : north > 0 ? north : 0;
        if (dx * dx + dy * dy > limit) continue;
        if (level === 0) this.#visit(other);
        else this.#descend(other, level);
        limit = io[GAP]! * ROOM;
      }
      node >>= 2;
    }
    if (this.segment >= 0) this.#hint = this.segment;
  }

  #descend(start: number, startLevel: number): void {
    const { boxes, levels } = this.#tree;
    const io = this.io;
    const nodes = this.#pending;
    const at = this.#pendingLevel;
    const x = io[QUERY_X]!;
    const y = io[QUERY_Y]!;
    let limit = io[GAP]! * ROOM;
    let depth = 1;
    nodes[0] = start;
    at[0] = startLevel;
    while (depth > 0) {
      depth--;
      const node = nodes[depth]!;
      const level = at[depth]! - 1;
      const from = levels[level]!;
      const count = levels[level + 1]! - from;
      const first = node * FAN;
      const last = first + FAN < count ? first + FAN : count;
      for (let child = first; child < last; child++) {
        const box = 4 * (from + child);
        const west = boxes[box]! - x;
        const east = x - boxes[box + 2]!;
        const south = boxes[box + 1]! - y;
        const north = y - boxes[box + 3]!;
        const dx = west > 0 ? west : east > 0 ? east : 0;
        const dy = south > 0 ? south : north > 0 ? north : 0;
        if (dx * dx + dy * dy > limit) continue;
        if (level === 0) {
          this.#visit(child);
          limit = io[GAP]! * ROOM;
        } else {
          nodes[depth] = child;
          at[depth++] = level;
        }
      }
    }
  }

  // the segments of a lowest box
  #visit(box: number): void {
    const { segments, count } = this.#tree;
    const io = this.io;
    const x = io[QUERY_X]!;
    const y = io[QUERY_Y]!;
    const from = box * FAN;
    const to = from + FAN < count ? from + FAN : count;
    let best = io[GAP]!;
    let k = from * STRIDE - STRIDE;
    for (let i = from; i < to; i++) {
      k += STRIDE;
      const ex = segments[k + 2]!;
      const ey = segments[k + 3]!;
      const inverse = segments[k + 4]!;
      const dx = x - segments[k]!;
      const dy = y - segments[k + 1]!;
      let t = (dx * ex + dy * ey) * inverse;
      let gap: number;
      if (t <= 0) {
        t = 0;
        gap = dx * dx + dy * dy;
      } else if (t >= 1) {
        t = 1;
        const endX = x - segments[k + 5]!;
        const endY = y - segments[k + 6]!;
        gap = endX * endX + endY * endY;
      } else {
        const cross = dx * ey - dy * ex;
        gap = cross * cross * inverse;
      }
      if (gap < best || (gap === best && i < this.segment)) {
        best = gap;
        io[GAP] = gap;
        io[FRACTION] = t;
        this.segment = i;
      }
    }
  }

  /** The side of the line on which the query lies, from what `find` found, into SIDE. */
  side(): void {
    const { count, turned, chain } = this.#tree;
    const io = this.io;
    const segment = this.segment;
    const fraction = io[FRACTION]!;
    this.#sideOf(segment);
    if (fraction > 0 && fraction < 1) return;
    const n = chain.vertices;
    const corner = fraction === 0 ? segment : segment + 1 === n ? 0 : segment + 1;
    const turn = turned[corner]!;
    const here = io[SIDE]!;
    if (!chain.closed && (corner === 0 || corner === n - 1)) return;
    const other = fraction === 0 ? (segment === 0 ? count - 1 : segment - 1) : segment + 1 === count ? 0 : segment + 1;
    this.#sideOf(other);
    const there = io[SIDE]!;
    const first = fraction === 0 ? there : here;
    // beyond the outside of a corner lies its outer side; at the tip of a reversal the side of the arriving segment
    if (turn === 0) io[SIDE] = first;
    else if (here === 0 && there === 0) io[SIDE] = 0;
    else if (turn < 0) io[SIDE] = here < 0 && there < 0 ? -1 : 1;
    else io[SIDE] = here > 0 && there > 0 ? 1 : -1;
  }

  // exact: by the predicate where the plain product may be wrong about the sign
  #sideOf(segment: number): void {
    const segments = this.#tree.segments;
    const io = this.io;
    const k = segment * STRIDE;
    const x = io[QUERY_X]!;
    const y = io[QUERY_Y]!;
    const ax = segments[k]!;
    const ay = segments[k + 1]!;
    const bx = segments[k + 5]!;
    const by = segments[k + 6]!;
    const left = (ax - x) * (by - y);
    const right = (ay - y) * (bx - x);
    const product = left - right;
    const doubt = IN_DOUBT * (Math.abs(left) + Math.abs(right));
    // right of the line is positive
    if (product > doubt) io[SIDE] = -1;
    else if (product < -doubt) io[SIDE] = 1;
    else io[SIDE] = Math.sign(orient2d(ax, ay, bx, by, x, y));
  }
}

/** Share of the terms of a side's product below which its sign is not sure: the bound of Shewchuk (1997) for orient2d. */
const IN_DOUBT = 3.3306690738754716e-16;
