import { ArcCut } from "./arc-cut.js";
import { type ElementFrame, frameOf, newFrame, setCone } from "./element-frame.js";
import { arcAngle, type FlatSource } from "./flat-source.js";
import { allSegments, Killers } from "./killers.js";

import { PieceCut } from "./piece-cut.js";
import { OWN, Pieces } from "./pieces.js";
import { SegmentCut } from "./segment-cut.js";
import { firstTwins } from "./twin-vertices.js";

/** The first level, in mean segment lengths; no round number, so that it meets no width of a regular source exactly. */
const FIRST_LEVEL = 23.618;
/** Each level is this many times the one before, up to the first distance asked for. */
const GROWTH = 3.0017;
/** Neighbouring pieces that go through the tree together. */
const GROUP = 16;
/** From so many leaves about a group on, a closer look at each pays. */
const CROWD = 150;
/** How many leaves on either side of its own in the chain a piece goes through. */
const ALL_LEAVES = 0x3fffffff;
const OWN_LEAVES = 2;
/** A feature that dies within this share of a distance asked for stays a killer for one more level: a tie that rounding
 * decides for one of two facing sides must not leave the other without its killer. */
const LATE_DEATH = 1e-9;

/**
 * The survivor sweep: alive pieces at growing distances.
 *
 * A point of an element is dead when anything of the source is nearer than the distance; what is dead stays dead at every
 * larger distance. And only survivors need kill: what kills a point first at some distance was itself alive until then.
 * So the sweep grows the distance by levels, and at each level the pieces still alive are cut by the features that still
 * have an alive piece, always by distances from the source itself.
 *
 * @internal
 */
export class SurvivorSweep {
  readonly source: FlatSource;
  /** every segment of the source, for questions about the whole of it */
  readonly all: Killers;
  /** alive at the distance last asked for */
  pieces: Pieces;
  private spare: Pieces;
  /** what neighbours leave of a crowded group */
  private readonly left: Pieces = new Pieces(4 * GROUP);
  private readonly live: Killers;
  private readonly cut: PieceCut = new PieceCut();
  /** frames of the pieces of a group */
  private readonly frames: ElementFrame[] = [];
  private readonly segmentCut: SegmentCut;
  private readonly arcCut: ArcCut;
  /** distance of the level at work */
  private distance = 0;
  private readonly leaves: Int32Array;
  private readonly box: Float64Array = new Float64Array(4);
  private readonly segmentAlive: Uint8Array;
  private readonly arcAlive: Uint8Array;
  /** features by their killer number that died late at the level before */
  private late: number[] = [];
  private reached = 0;

  /** @param all - the tree over the whole source, where there is one already */
  constructor(source: FlatSource, all: Killers = allSegments(source)) {
    this.source = source;
    this.all = all;
    this.live = new Killers(2 * source.size);
    this.pieces = wholeElements(source);
    this.spare = new Pieces(this.pieces.count + 16);
    this.segmentCut = new SegmentCut(source, this.cut);
    this.arcCut = new ArcCut(source, this.cut);
    this.leaves = new Int32Array(source.size + 1);
    for (let i = 0; i < GROUP; i++) this.frames.push(newFrame());
    this.segmentAlive = new Uint8Array(source.size);
    this.arcAlive = new Uint8Array(source.size);
  }

  /**
   * Go on to a larger distance.
   *
   * @param more - whether a still larger one will follow
   * @param side - the only side wanted, 0 left, 1 right; default both. The other one is left out where none follows
   */
  advance(d: number, more: boolean, side?: number): void {
    if (this.reached === 0) {
      const mean = this.meanLength();
      for (let level = FIRST_LEVEL * mean; level * 1.5 < d; level *= GROWTH) this.step(level, false);
    }
    this.step(d, more, more ? undefined : side);
  }

  private meanLength(): number {
    const { size, length } = this.source;
    let sum = 0;
    for (let k = 0; k < size; k++) sum += length[k]!;
    return sum / size;
  }

  private step(d: number, more: boolean, side?: number): void {
    const killers = this.reached === 0 ? this.all : this.collect();
    this.setDistance(d);
    const late: number[] = [];
    const out = this.spare;
    out.count = 0;
    // nothing comes after the last level that the other side could kill
    const split = side === undefined ? 0 : this.firstOfRight();
    const to = side === 0 ? split : this.pieces.count;
    for (let i = side === 1 ? split : 0; i < to; ) {
      const end = this.groupEnd(this.pieces, i, to, d);
      const found = killers.near(this.box, d, this.leaves);
      if (found < CROWD) this.cutGroup(this.pieces, i, end, killers, found, ALL_LEAVES, out, more ? late : undefined);
      else this.cutCrowded(i, end, killers, found, out, more ? late : undefined);
      i = end;
    }
    this.late = late;
    this.spare = this.pieces;
    this.pieces = out;
    this.reached = d;
  }

  private firstOfRight(): number {
    const { pieces, source } = this;
    let p = 0;
    while (p < pieces.count && pieces.element[p]! < 2 * source.size) p++;
    return p;
  }

  private setDistance(d: number): void {
    this.distance = d;
    this.segmentCut.setDistance(d);
    this.arcCut.setDistance(d);
  }

  // among very many leaves pieces are first cut by their neighbours: what is left of them then sees far fewer
  private cutCrowded(
    from: number,
    to: number,
    killers: Killers,
    found: number,
    out: Pieces,
    late: number[] | undefined,
  ): void {
    const { left, distance } = this;
    left.count = 0;
    this.cutGroup(this.pieces, from, to, killers, found, OWN_LEAVES, left, late);
    for (let i = 0; i < left.count; ) {
      const end = this.groupEnd(left, i, left.count, distance);
      let count = killers.near(this.box, distance, this.leaves);
      count = killers.sift(this.box, distance, this.leaves, count);
      this.cutGroup(left, i, end, killers, count, ALL_LEAVES, out, late);
      i = end;
    }
  }

  private cutGroup(
    pieces: Pieces,
    from: number,
    to: number,
    killers: Killers,
    found: number,
    span: number,
    out: Pieces,
    late: number[] | undefined,
  ): void {
    for (let p = from; p < to; p++) {
      const frame = this.frames[p - from]!;
      this.cutPiece(pieces, p, frame, killers, found, span);
      if (late !== undefined && this.cut.count === 0 && this.diesLate(pieces, p, frame, killers, found, span)) {
        late.push(pieces.element[p]! % (2 * this.source.size));
      }
      this.keep(out, pieces.element[p]!);
    }
  }

  // features with an alive piece; a vertex counts only where both its segments are dead, and open ends always do
  private collect(): Killers {
    const { source, pieces, segmentAlive, arcAlive, live } = this;
    const elements = 2 * source.size;
    segmentAlive.fill(0);
    arcAlive.fill(0);
    for (let p = 0; p < pieces.count; p++) {
      const local = pieces.element[p]! % elements;
      if ((local & 1) === 1) segmentAlive[local >> 1] = 1;
      else arcAlive[local >> 1] = 1;
    }
    for (const local of this.late) {
      if ((local & 1) === 1) segmentAlive[local >> 1] = 1;
      else arcAlive[local >> 1] = 1;
    }
    live.count = 0;
    for (let k = 0; k < source.size; k++) {
      const before = source.previous[k]!;
      const open = before < 0 || source.next[k]! < 0;
      if ((open || arcAlive[k] === 1) && segmentAlive[k] === 0 && (before < 0 || segmentAlive[before] === 0)) {
        live.addVertex(source, k);
      }
      if (segmentAlive[k] === 1) live.addSegment(source, k);
    }
    live.build();
    return live;
  }

  // as many pieces from the first on as go well through the tree together; their box
  private groupEnd(pieces: Pieces, first: number, to: number, d: number): number {
    const box = this.box;
    const last = Math.min(first + GROUP, to);
    this.pieceBox(pieces, first, this.frames[0]!, d);
    let west = box[0]!;
    let south = box[1]!;
    let east = box[2]!;
    let north = box[3]!;
    const most = Math.max(1.5 * (east - west + north - south), d);
    let i = first + 1;
    for (; i < last; i++) {
      this.pieceBox(pieces, i, this.frames[i - first]!, d);
      const w = Math.min(west, box[0]!);
      const s = Math.min(south, box[1]!);
      const e = Math.max(east, box[2]!);
      const n = Math.max(north, box[3]!);
      if (e - w + n - s > most) break;
      west = w;
      south = s;
      east = e;
      north = n;
    }
    box[0] = west;
    box[1] = south;
    box[2] = east;
    box[3] = north;
    return i;
  }

  private pieceBox(pieces: Pieces, p: number, frame: ElementFrame, d: number): void {
    // hot
    const { box } = this;
    frameOf(this.source, pieces.element[p]!, frame);
    const low = pieces.low[p]!;
    const high = pieces.high[p]!;
    const { axes, cone } = frame;
    let along1 = low;
    let along2 = high;
    let across1 = d;
    let across2 = d;
    let bulge = 0;
    if (frame.isArc) {
      setCone(this.source, frame, low, high);
      along1 = d * cone[0]!;
      across1 = d * cone[1]!;
      along2 = d * cone[2]!;
      across2 = d * cone[3]!;
      const half = cone[6]!;
      bulge = half < 1 ? d * (1 - Math.sqrt(1 - half * half)) : d;
    }
    const x1 = axes[0]! + along1 * axes[2]! + across1 * axes[4]!;
    const y1 = axes[1]! + along1 * axes[3]! + across1 * axes[5]!;
    const x2 = axes[0]! + along2 * axes[2]! + across2 * axes[4]!;
    const y2 = axes[1]! + along2 * axes[3]! + across2 * axes[5]!;
    box[0] = (x1 < x2 ? x1 : x2) - bulge;
    box[1] = (y1 < y2 ? y1 : y2) - bulge;
    box[2] = (x1 < x2 ? x2 : x1) + bulge;
    box[3] = (y1 < y2 ? y2 : y1) + bulge;
  }

  private cutPiece(
    pieces: Pieces,
    p: number,
    frame: ElementFrame,
    killers: Killers,
    found: number,
    span: number,
  ): void {
    this.cut.start(pieces.low[p]!, pieces.high[p]!, pieces.lowCause[p]!, pieces.highCause[p]!);
    if (frame.isArc) this.arcCut.piece(frame, killers, this.leaves, found, span);
    else this.segmentCut.piece(frame, killers, this.leaves, found, span);
  }

  private diesLate(
    pieces: Pieces,
    p: number,
    frame: ElementFrame,
    killers: Killers,
    found: number,
    span: number,
  ): boolean {
    const d = this.distance;
    this.setDistance(d * (1 - LATE_DEATH));
    if (frame.isArc) setCone(this.source, frame, pieces.low[p]!, pieces.high[p]!);
    this.cutPiece(pieces, p, frame, killers, found, span);
    this.setDistance(d);
    const late = this.cut.count > 0;
    this.cut.count = 0;
    return late;
  }

  private keep(out: Pieces, element: number): void {
    const cut = this.cut;
    for (let i = 0; i < cut.count; i++) {
      out.push(element, cut.low[i]!, cut.high[i]!, cut.lowCause[i]!, cut.highCause[i]!);
    }
  }
}

function wholeElements(source: FlatSource): Pieces {
  const pieces = new Pieces(Math.ceil((source.twoSided ? 3.2 : 1.8) * source.size) + 16);
  const twins = firstTwins(source);
  for (let side = 0; side < (source.twoSided ? 2 : 1); side++) {
    const offset = side * 2 * source.size;
    const taken = new Uint8Array(source.size);
    for (let k = 0; k < source.size; k++) {
      const angle = arcAngle(source, k, side);
      // arcs of vertices at one place are alive over the same directions: one stands for all
      if (angle > 0 && taken[twins[k]!] === 0) {
        pieces.push(offset + 2 * k, 0, angle, OWN, OWN);
        taken[twins[k]!] = 1;
      }
      if (source.next[k]! >= 0) pieces.push(offset + 2 * k + 1, 0, source.length[k]!, OWN, OWN);
    }
  }
  return pieces;
}
