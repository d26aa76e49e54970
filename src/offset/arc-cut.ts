import { applyKill } from "./apply-kill.js";
import { arcKill } from "./arc-kill.js";
import { type ElementFrame, setCone } from "./element-frame.js";
import type { FlatSource } from "./flat-source.js";
import { ANY_PART, DISC_END, DISC_START, type Kill, newKill, STRIP_LEFT, STRIP_RIGHT } from "./kill.js";
import { CHORD, type Killers, placeOf, STRIDE } from "./killers.js";
import type { PieceCut } from "./piece-cut.js";
import { tieAt } from "./tie.js";

/**
 * Cuts pieces of arcs by killers at one distance: the filters that spare most killers their angles, then the kill arcs.
 *
 * @internal
 */
export class ArcCut {
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

  setDistance(d: number): void {
    this.d = d;
    this.tie = tieAt(this.source, d);
  }

  /** @param span - how many leaves on either side of its own in the chain a piece goes through */
  piece(frame: ElementFrame, killers: Killers, leaves: Int32Array, count: number, span: number): void {
    this.coneLow = this.cut.low[0]!;
    this.coneHigh = this.cut.high[0]!;
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
    if (!this.leafMisses(frame, killers.chords, CHORD * leaf)) this.killersOf(frame, killers, leaf);
  }

  private narrowCone(frame: ElementFrame): void {
    this.coneLow = this.cut.low[0]!;
    this.coneHigh = this.cut.high[this.cut.count - 1]!;
    setCone(this.source, frame, this.coneLow, this.coneHigh);
  }

  private leafMisses(frame: ElementFrame, chords: Float64Array, c: number): boolean {
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

  private killersOf(frame: ElementFrame, killers: Killers, leaf: number): void {
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
    const fourSquares = 4 * d * d;
    const touching = this.tie * this.tie;
    // of half the cone's width; as the cone is narrowed it stays on the safe side
    const cosine = cone[6]! < 1 ? Math.sqrt(1 - cone[6]! * cone[6]!) : 0;
    const last = Math.min(4 * leaf + 4, killers.count);
    for (let j = 4 * leaf; j < last; j++) {
      const other = id[j]!;
      if (other >> 1 === v || other === arriving) continue;
      const k = STRIDE * j;
      const dx1 = data[k]! - ax;
      const dy1 = data[k + 1]! - ay;
      const dx2 = data[k + 2]! - ax;
      const dy2 = data[k + 3]! - ay;
      const x1 = dx1 * ux + dy1 * uy;
      const y1 = dx1 * nx + dy1 * ny;
      const x2 = dx2 * ux + dy2 * uy;
      const y2 = dx2 * nx + dy2 * ny;
      // as for a leaf: a disc of radius d through the vertex holds only what has r² < 2 d times its height
      const mx = cone[4]!;
      const my = cone[5]!;
      const h1 = x1 * mx + y1 * my;
      const h2 = x2 * mx + y2 * my;
      let a1 = x1 * my - y1 * mx;
      let a2 = x2 * my - y2 * mx;
      if (a1 < 0) a1 = -a1;
      if (a2 < 0) a2 = -a2;
      const half = cone[6]!;
      const top = h1 > h2 ? h1 : h2;
      const height = (top > 0 ? top : top * cosine) + (a1 > a2 ? a1 : a2) * half;
      const kf = data[k + 4]!;
      const kg = data[k + 5]!;
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
      if (foot >= length) {
        px = x2;
        py = y2;
      }
      const squared = px * px + py * py;
      if (squared >= fourSquares || (squared > touching && squared >= 2 * d * height)) continue;
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
    applyKill(this.source, this.cut, this.kill, id, side);
    const turn = from > 0 ? -2 * Math.PI : 2 * Math.PI;
    if (to + turn > 0 && from + turn < Math.PI) {
      kill.ends[0] = from + turn;
      kill.ends[1] = to + turn;
      applyKill(this.source, this.cut, this.kill, id, side);
    }
    if (to - turn > 0 && from - turn < Math.PI) {
      kill.ends[0] = from - turn;
      kill.ends[1] = to - turn;
      applyKill(this.source, this.cut, this.kill, id, side);
    }
  }
}
