import type { Chain } from "./chains.js";
import { type ElementFrame, elementPoint, frameOf, newFrame } from "./element-frame.js";
import { FlatPath } from "./flat-path.js";
import type { FlatSource } from "./flat-source.js";
import { OWN, type Pieces } from "./pieces.js";

/** Two points of a path nearer than this are one, metres; never more than a share of the distance. */
const SAME = 2e-9;
const SAME_SHARE = 1e-6;
/** The same as a share of extent and coordinates: what rounding may part. */
const ROUNDING = 4e-15;
/** Ends of two linked pieces are computed apart; nearer than this share of the distance they are drawn as one point. */
const JOIN = 1e-6;
/** Largest angle of a chord, radians: a coarse tolerance still leaves six to the circle. */
const WIDEST_CHORD = Math.PI / 3;

/** How arcs are drawn. @internal */
export interface Drawing {
  readonly d: number;
  /** sagitta, metres */
  readonly tolerance: number;
  /** tips of mitred corners by arc element; none: all round */
  readonly tips?: ReadonlyMap<number, readonly [number, number]>;
}

/** Points of a path nearer than this are one, metres. @internal */
export function sameWithin(source: FlatSource, d: number): number {
  const size = d + source.extent + Math.abs(source.originX) + Math.abs(source.originY);
  return Math.min(SAME, SAME_SHARE * d) + ROUNDING * size;
}

/** Most chords an arc may need so that none is farther than the tolerance from it. @internal */
export function chordAngle(d: number, tolerance: number): number {
  return Math.min(4 * Math.asin(Math.sqrt(Math.min(tolerance / (2 * d), 1))), WIDEST_CHORD);
}

/** How many points the pieces of a side take, at most. @internal */
export function countPoints(source: FlatSource, pieces: Pieces, side: number, drawing: Drawing): number {
  const widest = chordAngle(drawing.d, drawing.tolerance);
  const half = 2 * source.size;
  let count = 0;
  for (let p = 0; p < pieces.count; p++) {
    if (pieces.element[p]! >= half !== (side === 1)) continue;
    count += 2;
    if (((pieces.element[p]! % half) & 1) === 0) count += Math.floor((pieces.high[p]! - pieces.low[p]!) / widest);
  }
  return count;
}

/**
 * The points of a chain with their stations: ends of pieces exactly, arcs as chords of equal angle. A loop does not repeat
 * its first point.
 *
 * @internal
 */
export function flattenChain(source: FlatSource, pieces: Pieces, chain: Chain, drawing: Drawing): FlatPath {
  const pen = new Pen(source, pieces, drawing);
  const list = chain.pieces;
  const last = list.length - 1;
  for (let i = 0; i <= last; i++) {
    const p = list[i]!;
    const before = i > 0 ? list[i - 1]! : chain.closed ? list[last]! : -1;
    const after = i < last ? list[i + 1]! : chain.closed ? list[0]! : -1;
    const tip = pen.tipOf(p);
    if (tip !== undefined) {
      pen.push(tip[0], tip[1], p);
      continue;
    }
    if (i === 0 || !pen.followsOn(before, p)) {
      if (before < 0 || !pen.passesStraight(before, p)) pen.start(p, i === 0);
    }
    if (pen.isArc(p)) pen.arc(p);
    if (after < 0 || !pen.passesStraight(p, after)) pen.end(p);
  }
  if (chain.closed) pen.close();
  return pen.path;
}

class Pen {
  readonly path: FlatPath = new FlatPath();
  private readonly frame: ElementFrame = newFrame();
  private readonly point: Float64Array = new Float64Array(2);
  private readonly widest: number;
  private readonly same: number;
  private readonly join: number;

  constructor(
    private readonly source: FlatSource,
    private readonly pieces: Pieces,
    private readonly drawing: Drawing,
  ) {
    this.widest = chordAngle(drawing.d, drawing.tolerance);
    this.same = sameWithin(source, drawing.d);
    this.join = JOIN * drawing.d + this.same;
  }

  isArc(p: number): boolean {
    return ((this.pieces.element[p]! % (2 * this.source.size)) & 1) === 0;
  }

  tipOf(p: number): readonly [number, number] | undefined {
    return this.drawing.tips?.get(this.pieces.element[p]!);
  }

  // the joint of two own ends on one straight line, or of a segment and its mitred tip, needs no point
  passesStraight(p: number, q: number): boolean {
    if (!this.followsOn(p, q)) return false;
    if (this.tipOf(p) !== undefined || this.tipOf(q) !== undefined) return true;
    return !this.isArc(p) && !this.isArc(q);
  }

  // two own ends of neighbours in the source meet exactly
  followsOn(p: number, q: number): boolean {
    const { pieces, source } = this;
    if (pieces.highCause[p] !== OWN || pieces.lowCause[q] !== OWN) return false;
    if (this.isArc(p)) return this.placeOf(q) === this.placeOf(p);
    const corner = this.placeOf(q);
    return source.next[this.placeOf(p)] === corner && (this.isArc(q) || source.turn[corner] === 0);
  }

  // vertex of an arc, or segment
  private placeOf(p: number): number {
    return (this.pieces.element[p]! % (2 * this.source.size)) >> 1;
  }

  // the start of a piece is the end of the one before, but where a tie left a gap
  start(p: number, isFirst: boolean): void {
    this.place(p, this.pieces.low[p]!);
    if (isFirst || this.gap() > this.join) this.push(this.point[0]!, this.point[1]!, p, this.pieces.low[p]);
  }

  end(p: number): void {
    this.place(p, this.pieces.high[p]!);
    if (this.gap() > this.same) this.push(this.point[0]!, this.point[1]!, p, this.pieces.high[p]);
  }

  arc(p: number): void {
    const low = this.pieces.low[p]!;
    const sweep = this.pieces.high[p]! - low;
    const chords = Math.ceil(sweep / this.widest);
    for (let c = 1; c < chords; c++) {
      const t = low + (sweep * c) / chords;
      this.place(p, t);
      if (this.gap() > this.same) this.push(this.point[0]!, this.point[1]!, p, t);
    }
  }

  push(x: number, y: number, p: number, t = 0): void {
    const { source } = this;
    const local = this.pieces.element[p]! % (2 * source.size);
    this.path.push(x, y, source.station[local >> 1]! + ((local & 1) === 1 ? t : 0));
  }

  // the last point of a loop is its first
  close(): void {
    const { path } = this;
    while (path.count > 1 && this.gapBetween(path.data[0]!, path.data[1]!) <= this.join) path.count--;
  }

  private place(p: number, t: number): void {
    frameOf(this.source, this.pieces.element[p]!, this.frame);
    elementPoint(this.frame, t, this.drawing.d, this.point);
  }

  private gap(): number {
    return this.gapBetween(this.point[0]!, this.point[1]!);
  }

  private gapBetween(x: number, y: number): number {
    const { path } = this;
    if (path.count === 0) return Number.POSITIVE_INFINITY;
    const i = 3 * (path.count - 1);
    const dx = path.data[i]! - x;
    const dy = path.data[i + 1]! - y;
    return Math.sqrt(dx * dx + dy * dy);
  }
}
