import type { CoverageRecord } from "../coverage/index.js";
import type { Boom } from "./boom.js";
import type { Carrier } from "./carrier.js";
import type { InTheAir } from "./in-the-air.js";
import type { SweptGround } from "./swept-ground.js";
import type { ToolLine } from "./tool-line.js";
import { ToolRows } from "./tool-rows.js";

/** Farther from its front than this a predicted end is elsewhere, not behind noise, metres. */
const FAR_FROM_FRONT = 0.75;
/** A cell reaches this far beyond its centre at most, in cells; a line farther ahead of fresh ground does not read it. */
const CELL_REACH = 0.75;

/** Depths of the footprint at which product in the air is looked for. */
const DEPTHS = 3;

/** Sections of a row, and where they lie along it. */
interface RowCuts {
  readonly cuts: Float64Array;
  readonly sections: Int32Array;
  readonly shares: Float64Array;
}

/**
 * How much of each section will land on ground that is worked already, its own fresh ground left out: on its line, or in its footprint, the rectangle from
 * its line ahead.
 */
export class WorkedAhead {
  private readonly coverage: CoverageRecord;
  private readonly swept: SweptGround;
  private readonly air: InTheAir;
  /** metres of the footprint along the travel; 0: the line alone */
  private readonly footprint: number;
  private readonly left: Float64Array;
  private readonly right: Float64Array;
  private readonly rows: ToolRows;
  /** for each row its sections, and where along it they begin and end, as fractions */
  private readonly cuts: readonly RowCuts[];
  private readonly ends = new Float64Array(4);
  private readonly guard: number;
  private speed = 0;
  private yawRate = 0;
  private travelX = 0;
  private travelY = 0;

  constructor(boom: Boom, coverage: CoverageRecord, swept: SweptGround, air: InTheAir, footprint: number) {
    const sections = boom.sections;
    this.coverage = coverage;
    this.swept = swept;
    this.air = air;
    this.footprint = footprint;
    this.left = Float64Array.from(sections, (s) => s.left);
    this.right = Float64Array.from(sections, (s) => s.right);
    this.rows = new ToolRows(boom);
    this.cuts = Array.from(this.rows.x, (_, row) => this.cutsOf(row));
    this.guard = CELL_REACH * coverage.cellSize;
  }

  private cutsOf(row: number): RowCuts {
    const sections = Int32Array.from(this.left.keys()).filter((i) => this.rows.of[i] === row);
    const from = this.left[sections[0]!]!;
    const width = this.right[sections[sections.length - 1]!]! - from;
    const cuts = new Float64Array(2 * sections.length);
    sections.forEach((i, k) => {
      cuts[2 * k] = (this.left[i]! - from) / width;
      cuts[2 * k + 1] = (this.right[i]! - from) / width;
    });
    return { cuts, sections, shares: new Float64Array(sections.length) };
  }

  /** Take the motion for this tick, and the tool's line now. */
  prepare(carrier: Carrier, line: ToolLine): void {
    this.speed = carrier.speed;
    this.yawRate = carrier.yawRate;
    const direction = carrier.speed < 0 ? -1 : 1;
    this.travelX = -line.uy * direction;
    this.travelY = line.ux * direction;
  }

  /** Metres of section i on ground that will be worked when product lands there: its share of the line, or of the footprint, times its width. */
  metres(i: number, line: ToolLine): number {
    const recorded = this.recorded(i, line);
    if (!this.air.possible) return recorded;
    const width = this.right[i]! - this.left[i]!;
    if (recorded >= width) return recorded;
    if (this.footprint === 0) return recorded + this.air.share(i, line, 0) * width;
    const length = this.speed < 0 ? -this.footprint : this.footprint;
    let share = 0;
    for (let d = 0; d < DEPTHS; d++) share += this.air.share(i, line, (length * (d + 0.5)) / DEPTHS) / DEPTHS;
    return recorded + share * width;
  }

  /** Metres of section i on worked ground of the record, where the line is clear of what the section itself has just worked. */
  private recorded(i: number, line: ToolLine): number {
    const left = this.left[i]!;
    const right = this.right[i]!;
    // far from the edges of worked ground one answer does for the whole row, and near them a few for parts of it
    if (line.covered < 0) this.ask(this.rows.of[i]!, line);
    if (line.covered === 2) return line.metres[i]!;
    if (line.covered !== 0.5) return line.covered * (right - left);
    const swept = this.swept;
    let ax = line.ox + left * line.ux;
    let ay = line.oy + left * line.uy;
    let bx = line.ox + right * line.ux;
    let by = line.oy + right * line.uy;
    const a = this.short(swept.leftEdge[i]!, left, ax, ay);
    ax += a * this.travelX;
    ay += a * this.travelY;
    const b = this.short(swept.rightEdge[i]!, right, bx, by);
    bx += b * this.travelX;
    by += b * this.travelY;
    return this.under(line, ax, ay, bx, by) * (right - left);
  }

  /** Worked ground under a whole row, gaps counted, where its line is clear of fresh ground. */
  private ask(row: number, line: ToolLine): void {
    const swept = this.swept;
    line.covered = 0.5;
    if (!swept.straight) return;
    const first = this.rows.first[row]!;
    const last = this.rows.last[row]!;
    const left = this.left[first]!;
    const right = this.right[last]!;
    const ax = line.ox + left * line.ux;
    const ay = line.oy + left * line.uy;
    const bx = line.ox + right * line.ux;
    const by = line.oy + right * line.uy;
    // the fronts lie on one line: where both ends are clear of it, all is
    if (!this.clear(swept.leftEdge[first]!, ax, ay) || !this.clear(swept.rightEdge[last]!, bx, by)) return;
    if (this.footprint === 0 && line.metres.length > 0) {
      const ends = this.ends;
      ends[0] = ax;
      ends[1] = ay;
      ends[2] = bx;
      ends[3] = by;
      this.pieces(row, line);
      return;
    }
    const share = this.under(line, ax, ay, bx, by);
    if (share === 0 || share === 1) line.covered = share;
    else if (line.metres.length > 0 && first < last) {
      line.covered = 2;
      this.halve(first, last, line);
    }
  }

  /** One walk along the row's line tells the metres of every section on it. */
  private pieces(row: number, line: ToolLine): void {
    const { cuts, sections, shares } = this.cuts[row]!;
    const share = this.coverage.coveredPieces(this.ends, cuts, shares);
    if (share === 0 || share === 1) {
      line.covered = share;
      return;
    }
    line.covered = 2;
    const width = this.right[sections[sections.length - 1]!]! - this.left[sections[0]!]!;
    for (let k = 0; k < sections.length; k++) line.metres[sections[k]!] = shares[k]! * width;
  }

  /** Fill in the metres of the sections of a part of a row: its halves, until one answer does. */
  private halve(first: number, last: number, line: ToolLine): void {
    const middle = (first + last) >> 1;
    this.part(first, middle, line);
    this.part(middle + 1, last, line);
  }

  private part(first: number, last: number, line: ToolLine): void {
    const left = this.left[first]!;
    const right = this.right[last]!;
    const share = this.under(
      line,
      line.ox + left * line.ux,
      line.oy + left * line.uy,
      line.ox + right * line.ux,
      line.oy + right * line.uy,
    );
    if (first === last) line.metres[first] = share * (right - left);
    else if (share === 0 || share === 1) {
      for (let i = first; i <= last; i++) line.metres[i] = share * (this.right[i]! - this.left[i]!);
    } else this.halve(first, last, line);
  }

  /** Share of worked ground of a part of a line, or of its footprint. */
  private under(line: ToolLine, ax: number, ay: number, bx: number, by: number): number {
    if (this.footprint === 0) return this.coverage.coveredAlong(ax, ay, bx, by);
    const length = this.speed < 0 ? -this.footprint : this.footprint;
    const dx = -length * line.uy;
    const dy = length * line.ux;
    return this.coverage.coveredShare(ax, ay, bx, by, bx + dx, by + dy, ax + dx, ay + dy);
  }

  private clear(edge: number, x: number, y: number): boolean {
    const dx = x - this.swept.frontX[edge]!;
    const dy = y - this.swept.frontY[edge]!;
    return dx * this.travelX + dy * this.travelY >= this.guard;
  }

  /** How much a predicted end falls short of being clear of the front of its edge, metres. */
  private short(edge: number, offset: number, x: number, y: number): number {
    const swept = this.swept;
    const dx = x - swept.frontX[edge]!;
    const dy = y - swept.frontY[edge]!;
    const guard = this.guard;
    const ahead = dx * this.travelX + dy * this.travelY;
    if (ahead >= guard || dx * dx + dy * dy > FAR_FROM_FRONT * FAR_FROM_FRONT) return 0;
    // an edge that really runs backwards does come over its own ground
    const own = this.speed - ((this.yawRate * Math.PI) / 180) * offset;
    const against = this.speed < 0 ? -own : own;
    return against < -0.1 * Math.abs(this.speed) ? 0 : guard - ahead;
  }
}
