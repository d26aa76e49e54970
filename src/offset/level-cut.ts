import { arcKill } from "./arc-kill.js";
import type { ElementFrame } from "./element-frame.js";
import { arcAngle, type FlatSource } from "./flat-source.js";
import { DISC_END, DISC_START, type Kill, newKill, STRIP_LEFT, STRIP_RIGHT } from "./kill.js";
import type { Killers } from "./killers.js";
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
  /** unit directions of the piece's ends and middle, for arcs */
  private readonly cone: Float64Array = new Float64Array(8);
  private d = 0;
  private tie = 0;

  constructor(source: FlatSource, cut: PieceCut) {
    this.source = source;
    this.cut = cut;
  }

  setDistance(d: number): void {
    this.d = d;
    this.tie = TIE * (this.source.extent + d);
  }

  segment(frame: ElementFrame, killers: Killers, leaves: Int32Array, count: number): void {
    for (let i = 0; i < count; i++) {
      const leaf = leaves[i]!;
      if (this.leafMissesSegment(frame.axes, killers.boxes, 4 * leaf)) continue;
      this.leafOnSegment(frame, killers, leaf);
      if (this.cut.count === 0) return;
    }
  }

  arc(frame: ElementFrame, killers: Killers, leaves: Int32Array, count: number): void {
    this.setCone();
    for (let i = 0; i < count; i++) {
      const leaf = leaves[i]!;
      if (this.leafMissesArc(frame.axes, killers.boxes, 4 * leaf)) continue;
      this.leafOnArc(frame, killers, leaf);
      if (this.cut.count === 0) return;
    }
  }

  private leafMissesSegment(axes: Float64Array, boxes: Float64Array, b: number): boolean {
    // hot: once a piece and leaf near it
    const halfX = (boxes[b + 2]! - boxes[b]!) / 2;
    const halfY = (boxes[b + 3]! - boxes[b + 1]!) / 2;
    const x = boxes[b]! + halfX - axes[0]!;
    const y = boxes[b + 1]! + halfY - axes[1]!;
    const ux = axes[2]!;
    const uy = axes[3]!;
    const across = x * axes[4]! + y * axes[5]!;
    const acrossHalf = Math.abs(uy) * halfX + Math.abs(ux) * halfY;
    let top = across + acrossHalf;
    const bottom = across - acrossHalf;
    const d = this.d;
    // below the base line (all of it on the line may be a twin), or beyond what the discs reach
    if ((top <= this.tie && bottom < -this.tie) || bottom >= 2 * d - this.tie) return true;
    const along = x * ux + y * uy;
    const alongHalf = Math.abs(ux) * halfX + Math.abs(uy) * halfY;
    let gap = this.cut.low[0]! - along - alongHalf;
    const after = along - alongHalf - this.cut.high[this.cut.count - 1]!;
    if (after > gap) gap = after;
    if (gap <= 0) return false;
    if (top > d) top = d;
    return gap * gap >= top * (2 * d - top);
  }

  private leafOnSegment(frame: ElementFrame, killers: Killers, leaf: number): void {
    const last = Math.min(4 * leaf + 4, killers.count);
    for (let j = 4 * leaf; j < last; j++) {
      if (this.missesSegment(frame.axes, killers, j)) continue;
      if (!this.killsSegment(frame, killers.id[j]!)) continue;
      this.apply(killers.id[j]!, frame.side);
      if (this.cut.count === 0) return;
    }
  }

  private missesSegment(axes: Float64Array, killers: Killers, j: number): boolean {
    // hot: once a piece and killer of a leaf that passed
    const nx = axes[4]!;
    const ny = axes[5]!;
    const dx1 = killers.x1[j]! - axes[0]!;
    const dy1 = killers.y1[j]! - axes[1]!;
    const dx2 = killers.x2[j]! - axes[0]!;
    const dy2 = killers.y2[j]! - axes[1]!;
    const y1 = dx1 * nx + dy1 * ny;
    const y2 = dx2 * nx + dy2 * ny;
    const d = this.d;
    let top = y1 > y2 ? y1 : y2;
    const bottom = y1 > y2 ? y2 : y1;
    if ((top <= this.tie && bottom < -this.tie) || bottom >= 2 * d - this.tie) return true;
    const ux = axes[2]!;
    const uy = axes[3]!;
    const x1 = dx1 * ux + dy1 * uy;
    const x2 = dx2 * ux + dy2 * uy;
    let gap = this.cut.low[0]! - (x1 > x2 ? x1 : x2);
    const after = (x1 > x2 ? x2 : x1) - this.cut.high[this.cut.count - 1]!;
    if (after > gap) gap = after;
    if (gap > 0) {
      if (top > d) top = d;
      if (gap * gap >= top * (2 * d - top)) return true;
    }
    const killer = this.kill.killer;
    const f = killers.f[j]!;
    const g = killers.g[j]!;
    killer[0] = x1;
    killer[1] = y1;
    killer[2] = x2;
    killer[3] = y2;
    killer[4] = f * ux + g * uy;
    killer[5] = f * nx + g * ny;
    killer[6] = killers.length[j]!;
    return false;
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

  // the piece's cone of directions: sine and cosine of low, of high, of the middle, of the half width
  private setCone(): void {
    const low = this.cut.low[0]!;
    const high = this.cut.high[0]!;
    const cone = this.cone;
    cone[0] = Math.sin(low);
    cone[1] = Math.cos(low);
    cone[2] = Math.sin(high);
    cone[3] = Math.cos(high);
    cone[4] = Math.sin((low + high) / 2);
    cone[5] = Math.cos((low + high) / 2);
    cone[6] = Math.sin((high - low) / 2);
  }

  private leafMissesArc(axes: Float64Array, boxes: Float64Array, b: number): boolean {
    // hot: once an arc and leaf near it
    const halfX = (boxes[b + 2]! - boxes[b]!) / 2;
    const halfY = (boxes[b + 3]! - boxes[b + 1]!) / 2;
    const x = boxes[b]! + halfX - axes[0]!;
    const y = boxes[b + 1]! + halfY - axes[1]!;
    let gapX = Math.abs(x) - halfX;
    if (gapX < 0) gapX = 0;
    let gapY = Math.abs(y) - halfY;
    if (gapY < 0) gapY = 0;
    const squared = gapX * gapX + gapY * gapY;
    const d = this.d;
    if (squared >= 4 * d * d) return true;
    const cone = this.cone;
    // middle direction of the cone, in the source's axes
    const mx = cone[4]! * axes[2]! + cone[5]! * axes[4]!;
    const my = cone[4]! * axes[3]! + cone[5]! * axes[5]!;
    const amx = Math.abs(mx);
    const amy = Math.abs(my);
    // a disc of radius d through the origin, its centre in the cone, holds only what has r² < 2 d times its height
    let height = x * mx + y * my + amx * halfX + amy * halfY;
    if (height < 0) height = 0;
    const aside = Math.abs(x * my - y * mx) + amy * halfX + amx * halfY;
    return squared >= 2 * d * (height + aside * cone[6]!) && squared > 0;
  }

  private leafOnArc(frame: ElementFrame, killers: Killers, leaf: number): void {
    const last = Math.min(4 * leaf + 4, killers.count);
    const v = frame.index;
    const arriving = 2 * this.source.previous[v]! + 1;
    for (let j = 4 * leaf; j < last; j++) {
      const id = killers.id[j]!;
      if (id === 2 * v || id === 2 * v + 1 || id === arriving) continue;
      if (this.missesArc(frame.axes, killers, j)) continue;
      this.killArc(id, frame.side);
      if (this.cut.count === 0) return;
    }
  }

  private missesArc(axes: Float64Array, killers: Killers, j: number): boolean {
    // hot: once an arc and killer of a leaf that passed
    const nx = axes[4]!;
    const ny = axes[5]!;
    const ux = axes[2]!;
    const uy = axes[3]!;
    const dx1 = killers.x1[j]! - axes[0]!;
    const dy1 = killers.y1[j]! - axes[1]!;
    const dx2 = killers.x2[j]! - axes[0]!;
    const dy2 = killers.y2[j]! - axes[1]!;
    const x1 = dx1 * ux + dy1 * uy;
    const y1 = dx1 * nx + dy1 * ny;
    const cone = this.cone;
    const x2 = dx2 * ux + dy2 * uy;
    const y2 = dx2 * nx + dy2 * ny;
    const kf = killers.f[j]!;
    const kg = killers.g[j]!;
    const f = kf * ux + kg * uy;
    const g = kf * nx + kg * ny;
    const length = killers.length[j]!;
    const d = this.d;
    // nearest point of the killer to the vertex
    const foot = -(x1 * f + y1 * g);
    let px = x1;
    let py = y1;
    if (foot >= length) {
      px = x2;
      py = y2;
    } else if (foot > 0) {
      const height = g * x1 - f * y1;
      px = height * g;
      py = -height * f;
    }
    const squared = px * px + py * py;
    if (squared >= 4 * d * d) return true;
    const killer = this.kill.killer;
    killer[0] = x1;
    killer[1] = y1;
    killer[2] = x2;
    killer[3] = y2;
    killer[4] = f;
    killer[5] = g;
    killer[6] = length;
    if (squared <= this.tie * this.tie) return false;
    // the kill set is one arc about the nearest point's direction: outside the cone, with both ends alive, it misses
    const inside = px * cone[1]! - py * cone[0]! >= 0 && py * cone[2]! - px * cone[3]! >= 0;
    if (inside) return false;
    const alive = d * d - 2 * d * this.tie;
    return (
      this.squaredToKiller(d * cone[0]!, d * cone[1]!) >= alive &&
      this.squaredToKiller(d * cone[2]!, d * cone[3]!) >= alive
    );
  }

  private squaredToKiller(px: number, py: number): number {
    // hot
    const killer = this.kill.killer;
    const dx = px - killer[0]!;
    const dy = py - killer[1]!;
    const along = dx * killer[4]! + dy * killer[5]!;
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
