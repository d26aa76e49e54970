import type { CoverageRecord } from "../coverage/index.js";
import type { Polygon } from "../geometry/index.js";
import type { Boom } from "./boom.js";
import type { Carrier } from "./carrier.js";
import { InTheAir } from "./in-the-air.js";
import type { OrderBook } from "./order-book.js";
import type { ResolvedSettings } from "./section-settings.js";
import type { HeadlandRule, SectionReason } from "./section-states.js";
import type { SweptGround } from "./swept-ground.js";
import type { ToolLine } from "./tool-line.js";
import { ToolRows } from "./tool-rows.js";
import { WorkedAhead } from "./worked-ahead.js";
import { Zone } from "./zone.js";

/** Less than this outside the field is nothing, and all but this is all, metres: no position tells it. */
const OUTSIDE_RESOLUTION = 1e-3;

/** The geometry that the rule asks. */
export interface RuleGround {
  /** boundary of the field; undefined: no limit */
  readonly field: readonly Polygon[] | undefined;
  /** the headland */
  readonly headland: readonly Polygon[];
  /** ground never to be worked */
  readonly closed: readonly Polygon[];
  /** what has been worked */
  readonly coverage: CoverageRecord;
  /** what has been swept of it last */
  readonly swept: SweptGround;
  /** orders under way */
  readonly orders: OrderBook;
}

/**
 * The rule of a section at one instant: it ought to work exactly while the share of its width outside the field or in a closed zone is
 * within the outside tolerance, and the share on worked ground within the overlap tolerance. Taken on its row's line at that instant.
 */
export class SectionGround {
  /** which ground is worked */
  headlandRule: HeadlandRule;

  private readonly carrier: Carrier;
  private readonly field: Zone | undefined;
  private readonly headland: Zone;
  private readonly closed: Zone | undefined;
  private readonly worked: WorkedAhead;
  private readonly air: InTheAir;
  private readonly rows: ToolRows;
  private readonly left: Float64Array;
  private readonly right: Float64Array;
  /** most metres of each section on worked ground to be ordered on */
  private readonly startLimit: Float64Array;
  /** most metres of each section on worked ground to stay on */
  private readonly stayLimit: Float64Array;
  /** most of each section's width outside, as a share */
  private readonly outsideLimit: Float64Array;
  /** metres from the reference point to the boom's farthest corner, and some */
  private readonly span: number;
  /** metres from the place of the fix that the zones are ready for */
  private reach = 0;
  /** ends of a segment, and its share in a zone */
  private readonly segment = new Float64Array(5);

  constructor(boom: Boom, ground: RuleGround, settings: ResolvedSettings, carrier: Carrier) {
    this.carrier = carrier;
    this.rows = new ToolRows(boom);
    this.air = new InTheAir(boom, ground.coverage, ground.orders, carrier);
    const footprint = settings.overlapBy === "area" ? settings.footprintLength : 0;
    this.worked = new WorkedAhead(boom, ground.coverage, ground.swept, this.air, footprint);
    this.headlandRule = settings.headlandRule;
    this.field = ground.field === undefined ? undefined : new Zone(ground.field);
    this.closed = ground.closed.length === 0 ? undefined : new Zone(ground.closed);
    this.headland = new Zone(ground.headland);
    const cell = ground.coverage.cellSize;
    const overlap = settings.overlapTolerance;
    const outside = settings.outsideTolerance;
    const sections = boom.sections;
    const n = sections.length;
    this.left = Float64Array.from(sections, (s) => s.left);
    this.right = Float64Array.from(sections, (s) => s.right);
    this.startLimit = new Float64Array(n);
    this.stayLimit = new Float64Array(n);
    this.outsideLimit = new Float64Array(n);
    let span = 0;
    for (let i = 0; i < n; i++) {
      const section = sections[i]!;
      const width = section.right - section.left;
      // where an edge of worked ground runs along the section's edge the record is wrong by 0.71 of a cell at most: such a sliver neither makes
      // nothing something nor all less than all, and a quarter of a cell between on and off keeps it from fluttering
      const grain = Math.min(cell, width / 5);
      // a section with a neighbour on a row before it has such an edge on that side too
      const sliver = besideOtherRow(boom, i) ? 0.75 * grain : 0;
      this.startLimit[i] = between(
        overlap * width - 0.125 * grain,
        0.5 * grain + sliver,
        width - 0.75 * grain - sliver,
      );
      this.stayLimit[i] = between(overlap * width + 0.125 * grain, 0.75 * grain + sliver, width - 0.5 * grain - sliver);
      const least = OUTSIDE_RESOLUTION / width;
      this.outsideLimit[i] = between(outside, least, 1 - least);
      span = Math.max(span, Math.hypot(section.x, Math.max(Math.abs(section.left), Math.abs(section.right))));
    }
    this.span = span + 1;
  }

  /** Get ready for lines of this tick: time of the place, s, how far ahead the last of them will be, s, and the first row's line now. */
  prepare(start: number, horizon: number, line: ToolLine): void {
    this.worked.prepare(this.carrier, line);
    this.air.prepare(start, horizon);
    this.open(Math.abs(this.carrier.speed) * horizon + this.span);
  }

  /** `working` where section i may work on a line: its whole row at one instant. `on`: whether it is ordered on. */
  verdict(i: number, line: ToolLine, on: boolean): SectionReason {
    const reason = this.boundary(i, line);
    if (reason !== "working") return reason;
    return this.inside(i, line, on);
  }

  /** The field and closed zones alone, and whether the section moves forward at all. */
  boundary(i: number, line: ToolLine): SectionReason {
    if (this.backwards(i, line)) return "backwards";
    // a path that does not tell
    if (!line.known) return "position";
    const field = this.field;
    const closed = this.closed;
    if (line.inField === 1 && line.inClosed === 0) return "working";
    if (this.carrier.farthest + this.span > this.reach) this.open(this.carrier.farthest + this.span);
    // one answer for the whole row does where all of it is inside, or outside
    if (line.inField < 0) line.inField = field === undefined ? 1 : this.whole(field, i, line);
    if (line.inClosed < 0) line.inClosed = closed === undefined ? 0 : this.whole(closed, i, line);
    const segment = this.segment;
    this.across(this.left[i]!, this.right[i]!, line);
    const limit = this.outsideLimit[i]!;
    let out = line.inField === 1 ? 0 : 1;
    if (line.inField === 0.5) {
      field!.share(segment);
      out = 1 - segment[4]!;
    }
    if (!(out <= limit)) return "outside-field";
    if (line.inClosed !== 0) {
      closed!.share(segment);
      out += segment[4]!;
    }
    return out <= limit ? "working" : "closed-zone";
  }

  /** Share of the row of section i in a zone: 0, 1, or 0.5 for anything else. */
  private whole(zone: Zone, i: number, line: ToolLine): 0 | 1 | 0.5 {
    const row = this.rows.of[i]!;
    this.across(this.left[this.rows.first[row]!]!, this.right[this.rows.last[row]!]!, line);
    zone.share(this.segment);
    const share = this.segment[4]!;
    return share === 0 ? 0 : share === 1 ? 1 : 0.5;
  }

  /** The segment of a line from one offset to another. */
  private across(left: number, right: number, line: ToolLine): void {
    const segment = this.segment;
    segment[0] = line.ox + left * line.ux;
    segment[1] = line.oy + left * line.uy;
    segment[2] = line.ox + right * line.ux;
    segment[3] = line.oy + right * line.uy;
  }

  /** Whether nothing but worked ground of the record can be against a section of a row on this line, as far as has been asked in this tick. */
  level(line: ToolLine): boolean {
    const forward = this.carrier.speed < 0 ? -line.speed : line.speed;
    return (
      line.ahead !== -1 &&
      line.inField === 1 &&
      line.inClosed === 0 &&
      this.headlandRule === "both" &&
      !this.air.possible &&
      forward > Math.abs(line.turn) * this.span
    );
  }

  /** Whether section i may stay on for what the record has on this line, as far as has been asked in this tick. */
  free(i: number, line: ToolLine): boolean {
    if (line.covered === 2) return line.metres[i]! <= this.stayLimit[i]!;
    return line.covered === 0;
  }

  /** Headland and worked ground, where the boundary allows. */
  inside(i: number, line: ToolLine, on: boolean): SectionReason {
    const reason = this.headlandSide(i, line);
    if (reason !== "working") return reason;
    const limit = on ? this.stayLimit[i]! : this.startLimit[i]!;
    return this.worked.metres(i, line) <= limit ? "working" : "worked-already";
  }

  /** v (1 - kappa y) at the section's middle, against the direction of travel or nothing. */
  private backwards(i: number, line: ToolLine): boolean {
    const own = line.speed - (line.turn * (this.left[i]! + this.right[i]!)) / 2;
    return this.carrier.speed < 0 ? own >= 0 : own <= 0;
  }

  private headlandSide(i: number, line: ToolLine): SectionReason {
    if (this.headlandRule === "both") return "working";
    if (this.carrier.farthest + this.span > this.reach) this.open(this.carrier.farthest + this.span);
    this.across(this.left[i]!, this.right[i]!, line);
    this.headland.share(this.segment);
    const share = this.segment[4]!;
    const limit = this.outsideLimit[i]!;
    if (this.headlandRule === "mainfield") return share <= limit ? "working" : "headland";
    return 1 - share <= limit ? "working" : "mainfield";
  }

  private open(reach: number): void {
    const { x, y } = this.carrier;
    this.reach = reach;
    this.field?.prepare(x, y, reach);
    this.closed?.prepare(x, y, reach);
    if (this.headlandRule !== "both") this.headland.prepare(x, y, reach);
  }
}

/** Whether a section shares an edge with a neighbour on another row. */
function besideOtherRow(boom: Boom, i: number): boolean {
  const section = boom.sections[i]!;
  const before = boom.sections[i - 1];
  const after = boom.sections[i + 1];
  return (
    (before !== undefined && before.right === section.left && before.x !== section.x) ||
    (after !== undefined && after.left === section.right && after.x !== section.x)
  );
}

function between(value: number, low: number, high: number): number {
  return Math.max(low, Math.min(high, value));
}
