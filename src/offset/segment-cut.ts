import { applyKill } from "./apply-kill.js";
import type { ElementFrame } from "./element-frame.js";
import type { FlatSource } from "./flat-source.js";
import { type Kill, newKill, STRIP_LEFT } from "./kill.js";
import { CHORD, type Killers, placeOf, STRIDE } from "./killers.js";
import type { PieceCut } from "./piece-cut.js";
import { reflexKill, segmentKill } from "./segment-kill.js";
import { tieAt } from "./tie.js";

/**
 * Cuts pieces of shifted segments by killers at one distance: the filters that spare most killers their roots, then the
 * kill intervals.
 *
 * @internal
 */
export class SegmentCut {
  private readonly source: FlatSource;
  private readonly cut: PieceCut;
  private readonly kill: Kill = newKill();
  private d = 0;
  private tie = 0;

  constructor(source: FlatSource, cut: PieceCut) {
    this.source = source;
    this.cut = cut;
  }

  setDistance(d: number): void {
    this.d = d;
    this.tie = tieAt(this.source, d);
  }

  /** @param span - how many leaves on either side of its own in the chain a piece goes through */
  piece(frame: ElementFrame, killers: Killers, leaves: Int32Array, count: number, span: number): void {
    let down = placeOf(2 * frame.index, killers.id, leaves, count);
    let up = down + 1;
    const least = down - span > 0 ? down - span : 0;
    const most = up + span < count ? up + span : count;
    while (down >= least || up < most) {
      if (down >= least) this.leaf(frame, killers, leaves[down--]!);
      if (up < most && this.cut.count > 0) this.leaf(frame, killers, leaves[up++]!);
      if (this.cut.count === 0) return;
    }
  }

  private leaf(frame: ElementFrame, killers: Killers, leaf: number): void {
    if (!this.leafMisses(frame.axes, killers.chords, CHORD * leaf)) this.killersOf(frame, killers, leaf);
  }

  private leafMisses(axes: Float64Array, chords: Float64Array, c: number): boolean {
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

  private killersOf(frame: ElementFrame, killers: Killers, leaf: number): void {
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
    const own = 2 * frame.index + 1;
    for (let j = 4 * leaf; j < last; j++) {
      if (id[j] === own) continue;
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
      applyKill(this.source, this.cut, this.kill, id[j]!, frame.side);
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
}
