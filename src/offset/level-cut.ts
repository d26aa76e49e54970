import { arcKill } from "./arc-kill.js";
import { type ElementFrame, setCone } from "./element-frame.js";
import { arcAngle, type FlatSource } from "./flat-source.js";
import { ANY_PART, DISC_END, DISC_START, type Kill, newKill, STRIP_LEFT, STRIP_RIGHT } from "./kill.js";
import { CHORD, type Killers, STRIDE } from "./killers.js";
import type { PieceCut } from "./piece-cut.js";
import { OTHER } from "./pieces.js";
import { reflexKill, segmentKill } from "./segment-kill.js";

/** Rounding that counts as a tie, as a share of extent and distance: ties survive. */
const TIE = 4e-15;

/**
 * Cuts pieces by killers at one distance: the filters that spare most killers their roots, then the kill intervals.
 *
 * @internal
 */
export class LevelCut {
  private readonly source: FlatSource;
  private readonly cut: PieceCut;
  private readonly kill: Kill = newKill();
  /** nearest point of the killer to the vertex of an arc; place of the last foot asked for */
  private readonly nearest: Float64Array = new Float64Array(3);
  private coneLow = 0;
  private coneHigh = 0;
  private d = 0;
  private tie = 0;

  constructor(source: FlatSource, cut: PieceCut) {
    this.source = source;
    this.cut = cut;
  }

  get distance(): number {
    return this.d;
  }

  setDistance(d: number): void {
    this.d = d;
    this.tie = TIE * (this.source.extent + d);
  }

  /** @param span - how many leaves on either side of its own in the chain a piece goes through */
  segment(frame: ElementFrame, killers: Killers, leaves: Int32Array, count: number, span: number): void {
    let down = placeOf(2 * frame.index, killers.id, leaves, count);
    let up = down + 1;
    const least = down - span > 0 ? down - span : 0;
    const most = up + span < count ? up + span : count;
    while (down >= least || up < most) {
      if (down >= least) {
        const leaf = leaves[down--]!;
        if (!this.leafMissesSegment(frame.axes, killers.chords, CHORD * leaf)) this.leafOnSegment(frame, killers, leaf);
      }
      if (up < most && this.cut.count > 0) {
        const leaf = leaves[up++]!;
        if (!this.leafMissesSegment(frame.axes, killers.chords, CHORD * leaf)) this.leafOnSegment(frame, killers, leaf);
      }
      if (this.cut.count === 0) return;
    }
  }

  arc(frame: ElementFrame, killers: Killers, leaves: Int32Array, count: number, span: number): void {
    this.coneLow = this.cut.low[0]!;
    this.coneHigh = this.cut.high[0]!;
    let down = placeOf(2 * frame.index, killers.id, leaves, count);
    let up = down + 1;
    const least = down - span > 0 ? down - span : 0;
    const most = up + span < count ? up + span : count;
    while (down >= least || up < most) {
      if (down >= least) {
        const leaf = leaves[down--]!;
        if (!this.leafMissesArc(frame, killers.chords, CHORD * leaf)) this.leafOnArc(frame, killers, leaf);
      }
      if (up < most && this.cut.count > 0) {
        const leaf = leaves[up++]!;
        if (!this.leafMissesArc(frame, killers.chords, CHORD * leaf)) this.leafOnArc(frame, killers, leaf);
      }
      if (this.cut.count === 0) return;
    }
  }

  private leafMissesSegment(axes: Float64Array, chords: Float64Array, c: number): boolean {
    // hot: once a piece and leaf near it
    const bulge = chords[c + 5]!;
    const dx = chords[c]! - axes[0]!;
    const dy = chords[c + 1]! - axes[1]!;
    const ex = chords[c + 2]!;
    const ey = chords[c + 3]!;
    const y1 = dx * axes[4]! + dy * axes[5]!;
    const rise = ex * axes[4]! + ey * axes[5]!;
    let top = y1 + bulge;
    let bottom = y1 - bulge;
    if (rise > 0) top += rise;
    else bottom += rise;
    const { d, tie } = this;
    // below the base line (all of it on the line may be a twin), or beyond what the discs reach
    if ((top <= tie && bottom < -tie) || bottom >= 2 * d - tie) return true;
    const x1 = dx * axes[2]! + dy * axes[3]!;
    const x2 = x1 + ex * axes[2]! + ey * axes[3]!;
    const before = this.cut.low[0]! - (x1 > x2 ? x1 : x2);
    const after = (x1 > x2 ? x2 : x1) - this.cut.high[this.cut.count - 1]!;
    const gap = (before > after ? before : after) - bulge;
    if (gap <= 0) return false;
    // where in its height the discs reach farthest
    if (top > d) top = bottom > d ? bottom : d;
    return gap * gap >= top * (2 * d - top);
  }

  private leafOnSegment(frame: ElementFrame, killers: Killers, leaf: number): void {
    // hot: once a piece and leaf that passed
    const { data, id } = killers;
    const { axes } = frame;
    const { cut, d, tie } = this;
    const killer = this.kill.killer;
    const ax = axes[0]!;
    const ay = axes[1]!;
    const ux = axes[2]!;
    const uy = axes[3]!;
    const nx = axes[4]!;
    const ny = axes[5]!;
    const reach = 2 * d - tie;
    let low = cut.low[0]!;
    let high = cut.high[cut.count - 1]!;
    const last = Math.min(4 * leaf + 4, killers.count);
    for (let j = 4 * leaf; j < last; j++) {
      const k = STRIDE * j;
      const dx1 = data[k]! - ax;
      const dy1 = data[k + 1]! - ay;
      const dx2 = data[k + 2]! - ax;
      const dy2 = data[k + 3]! - ay;
      const y1 = dx1 * nx + dy1 * ny;
      const y2 = dx2 * nx + dy2 * ny;
      let top = y1 > y2 ? y1 : y2;
      const bottom = y1 > y2 ? y2 : y1;
      if ((top <= tie && bottom < -tie) || bottom >= reach) continue;
      const x1 = dx1 * ux + dy1 * uy;
      const x2 = dx2 * ux + dy2 * uy;
      const before = low - (x1 > x2 ? x1 : x2);
      const after = (x1 > x2 ? x2 : x1) - high;
      const gap = before > after ? before : after;
      if (gap > 0) {
        if (top > d) top = bottom > d ? bottom : d;
        if (gap * gap >= top * (2 * d - top)) continue;
      }
      const f = data[k + 4]!;
      const g = data[k + 5]!;
      killer[0] = x1;
      killer[1] = y1;
      killer[2] = x2;
      killer[3] = y2;
      killer[4] = f * ux + g * uy;
      killer[5] = f * nx + g * ny;
      killer[6] = data[k + 6]!;
      if (!this.killsSegment(frame, id[j]!)) continue;
      this.apply(id[j]!, frame.side);
      if (cut.count === 0) return;
      low = cut.low[0]!;
      high = cut.high[cut.count - 1]!;
    }
  }

  private killsSegment(frame: ElementFrame, id: number): boolean {
    // hot
    const source = this.source;
    const k = frame.index;
    const killer = this.kill.killer;
    if (killer[1]! <= this.tie && killer[3]! <= this.tie) return this.twin(k, id);
    if ((id & 1) === 1) {
      const other = id >> 1;
      const end = source.next[k]!;
      if (other === end) return this.reflex(frame, end, true);
      if (other === source.previous[k]!) return this.reflex(frame, k, false);
    }
    return segmentKill(this.kill, this.d);
  }

  // a killer on the base line kills nothing; but where one way is taken twice, the later parallel would repeat the first
  private twin(k: number, id: number): boolean {
    const { killer, ends, parts } = this.kill;
    if ((id & 1) === 0 || id >> 1 >= k || !(killer[4]! > 0)) return false;
    ends[0] = killer[0]!;
    ends[1] = killer[2]!;
    parts[0] = STRIP_LEFT;
    parts[1] = STRIP_LEFT;
    return true;
  }

  // a convex or straight neighbour never kills
  private reflex(frame: ElementFrame, vertex: number, atEnd: boolean): boolean {
    const turn = this.source.turn[vertex]!;
    const reflex = frame.side === 0 ? turn > 0 : turn < 0;
    if (!reflex || turn === Math.PI || turn === -Math.PI) return false;
    reflexKill(this.kill, this.d, this.source.length[frame.index]!, atEnd);
    return true;
  }

  private narrowCone(frame: ElementFrame): void {
    this.coneLow = this.cut.low[0]!;
    this.coneHigh = this.cut.high[this.cut.count - 1]!;
    setCone(this.source, frame, this.coneLow, this.coneHigh);
  }

  private leafMissesArc(frame: ElementFrame, chords: Float64Array, c: number): boolean {
    // hot: once an arc and leaf near it
    const { axes, cone } = frame;
    const bulge = chords[c + 5]!;
    const x1 = chords[c]! - axes[0]!;
    const y1 = chords[c + 1]! - axes[1]!;
    const ex = chords[c + 2]!;
    const ey = chords[c + 3]!;
    let t = -(x1 * ex + y1 * ey) * chords[c + 4]!;
    if (t < 0) t = 0;
    if (t > 1) t = 1;
    const px = x1 + t * ex;
    const py = y1 + t * ey;
    const least = Math.sqrt(px * px + py * py) - bulge;
    if (least <= 0) return false;
    const d = this.d;
    if (least >= 2 * d) return true;
    // middle direction of the cone, in the source's axes
    const mx = cone[4]! * axes[2]! + cone[5]! * axes[4]!;
    const my = cone[4]! * axes[3]! + cone[5]! * axes[5]!;
    // a disc of radius d through the origin, its centre in the cone, holds only what has r² < 2 d times its height
    const h1 = x1 * mx + y1 * my;
    const h2 = h1 + ex * mx + ey * my;
    let height = (h1 > h2 ? h1 : h2) + bulge;
    if (height < 0) height = 0;
    const a1 = x1 * my - y1 * mx;
    const a2 = a1 + ex * my - ey * mx;
    const aside = Math.max(Math.abs(a1), Math.abs(a2)) + bulge;
    return least * least >= 2 * d * (height + aside * cone[6]!);
  }

  private leafOnArc(frame: ElementFrame, killers: Killers, leaf: number): void {
    // hot: once an arc and leaf that passed
    const { data, id } = killers;
    const { axes, cone } = frame;
    const { cut, d } = this;
    const killer = this.kill.killer;
    const ax = axes[0]!;
    const ay = axes[1]!;
    const ux = axes[2]!;
    const uy = axes[3]!;
    const nx = axes[4]!;
    const ny = axes[5]!;
    const v = frame.index;
    const arriving = 2 * this.source.previous[v]! + 1;
    const last = Math.min(4 * leaf + 4, killers.count);
    for (let j = 4 * leaf; j < last; j++) {
      const other = id[j]!;
      if (other >> 1 === v || other === arriving) continue;
      const k = STRIDE * j;
      const dx1 = data[k]! - ax;
      const dy1 = data[k + 1]! - ay;
      const dx2 = data[k + 2]! - ax;
      const dy2 = data[k + 3]! - ay;
      const kf = data[k + 4]!;
      const kg = data[k + 5]!;
      const x1 = dx1 * ux + dy1 * uy;
      const y1 = dx1 * nx + dy1 * ny;
      const f = kf * ux + kg * uy;
      const g = kf * nx + kg * ny;
      const length = data[k + 6]!;
      // nearest point of the killer to the vertex
      const foot = -(x1 * f + y1 * g);
      let px = x1;
      let py = y1;
      if (foot > 0) {
        const height = g * x1 - f * y1;
        px = height * g;
        py = -height * f;
      }
      const x2 = dx2 * ux + dy2 * uy;
      const y2 = dx2 * nx + dy2 * ny;
      if (foot >= length) {
        px = x2;
        py = y2;
      }
      if (px * px + py * py >= 4 * d * d) continue;
      killer[0] = x1;
      killer[1] = y1;
      killer[2] = x2;
      killer[3] = y2;
      killer[4] = f;
      killer[5] = g;
      killer[6] = length;
      this.nearest[0] = px;
      this.nearest[1] = py;
      if (this.arcMissed(cone)) continue;
      if (cut.count > 0) this.killArc(other, frame.side);
      if (cut.count === 0) return;
      if (cut.low[0]! !== this.coneLow || cut.high[cut.count - 1]! !== this.coneHigh) this.narrowCone(frame);
    }
  }

  // whether the killer misses the arc for sure; where it surely kills all of it, that is done here
  private arcMissed(cone: Float64Array): boolean {
    // hot: once an arc and killer of a leaf that passed
    const { d, tie } = this;
    const px = this.nearest[0]!;
    const py = this.nearest[1]!;
    this.kill.parts[0] = ANY_PART;
    if (px * px + py * py <= tie * tie) return false;
    // the kill set is one arc that holds the nearest point's direction and not the opposite one
    const fromLow = px * cone[1]! - py * cone[0]!;
    const toHigh = py * cone[2]! - px * cone[3]!;
    const first = this.squaredToKiller(d * cone[0]!, d * cone[1]!);
    const footFirst = this.nearest[2]!;
    const second = this.squaredToKiller(d * cone[2]!, d * cone[3]!);
    const footSecond = this.nearest[2]!;
    const alive = d * d - 2 * d * tie;
    const dead = d * d - 4 * d * tie;
    if (first >= alive && second >= alive) return !(fromLow >= 0 && toHigh >= 0);
    if (first < dead && second < dead && !(fromLow <= 0 && toHigh <= 0)) this.cut.count = 0;
    // the foot runs along the killer one way only, unless the killer's own direction or its opposite lies in the cone
    const { killer, parts } = this.kill;
    const f = killer[4]!;
    const g = killer[5]!;
    if (f * cone[1]! - g * cone[0]! > 0 === g * cone[2]! - f * cone[3]! > 0) return false;
    const length = killer[6]!;
    if (footFirst > 0 && footSecond > 0 && footFirst < length && footSecond < length) parts[0] = STRIP_LEFT;
    else if (footFirst < 0 && footSecond < 0) parts[0] = DISC_START;
    else if (footFirst > length && footSecond > length) parts[0] = DISC_END;
    return false;
  }

  private squaredToKiller(px: number, py: number): number {
    // hot
    const killer = this.kill.killer;
    const dx = px - killer[0]!;
    const dy = py - killer[1]!;
    const along = dx * killer[4]! + dy * killer[5]!;
    this.nearest[2] = along;
    if (along <= 0) return dx * dx + dy * dy;
    if (along >= killer[6]!) {
      const ex = px - killer[2]!;
      const ey = py - killer[3]!;
      return ex * ex + ey * ey;
    }
    const across = dx * killer[5]! - dy * killer[4]!;
    return across * across;
  }

  private killArc(id: number, side: number): void {
    const kill = this.kill;
    const killer = kill.killer;
    const length = killer[6]!;
    const foot = -(killer[0]! * killer[4]! + killer[1]! * killer[5]!);
    const height = Math.abs(killer[5]! * killer[0]! - killer[4]! * killer[1]!);
    if (length <= this.tie) {
      // a vertex, or as good as one: at the arc's own centre it is a tie
      if (Math.hypot(killer[0]!, killer[1]!) <= this.tie || !arcKill(kill, this.d)) return;
    } else if (height <= this.tie && foot >= -this.tie && foot <= length + this.tie) {
      // the vertex lies on the killer: inside it nothing is left, at its end a half-plane
      if (foot > this.tie && foot < length - this.tie) {
        this.cut.count = 0;
        return;
      }
      const atStart = foot <= this.tie;
      const middle = atStart ? Math.atan2(killer[4]!, killer[5]!) : Math.atan2(-killer[4]!, -killer[5]!);
      kill.ends[0] = middle - Math.PI / 2;
      kill.ends[1] = middle + Math.PI / 2;
      // going on in angle from a direction leads to its right: left of the killer lies before the middle, seen from its start
      kill.parts[0] = atStart ? STRIP_LEFT : STRIP_RIGHT;
      kill.parts[1] = atStart ? STRIP_RIGHT : STRIP_LEFT;
    } else if (!arcKill(kill, this.d)) {
      return;
    }
    const from = kill.ends[0]!;
    const to = kill.ends[1]!;
    this.apply(id, side);
    const turn = from > 0 ? -2 * Math.PI : 2 * Math.PI;
    if (to + turn > 0 && from + turn < Math.PI) {
      kill.ends[0] = from + turn;
      kill.ends[1] = to + turn;
      this.apply(id, side);
    }
    if (to - turn > 0 && from - turn < Math.PI) {
      kill.ends[0] = from - turn;
      kill.ends[1] = to - turn;
      this.apply(id, side);
    }
  }

  private apply(id: number, side: number): void {
    const ends = this.kill.ends;
    const cut = this.cut;
    if (ends[0]! >= cut.high[cut.count - 1]! || ends[1]! <= cut.low[0]!) return;
    cut.cut(ends, this.cause(id, this.kill.parts[0]!, side), this.cause(id, this.kill.parts[1]!, side));
  }

  // the element that goes on where the killer's part is touched
  private cause(id: number, part: number, side: number): number {
    const source = this.source;
    const offset = side * 2 * source.size;
    const k = id >> 1;
    if ((id & 1) === 1) {
      if (part === STRIP_LEFT) return offset + id;
      if (part === STRIP_RIGHT) return OTHER;
    }
    const vertex = part === DISC_END && (id & 1) === 1 ? source.next[k]! : k;
    return part >= DISC_START && arcAngle(source, vertex, side) > 0 ? offset + 2 * vertex : OTHER;
  }
}

// last of the leaves, which come in chain order, that starts no later than a feature: killers near it in the chain kill most
function placeOf(id: number, ids: Int32Array, leaves: Int32Array, count: number): number {
  // hot
  let low = 0;
  let high = count;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (ids[4 * leaves[middle]!]! <= id) low = middle + 1;
    else high = middle;
  }
  return low - 1;
}
