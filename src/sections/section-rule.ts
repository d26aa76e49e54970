import type { CoverageRecord } from "../coverage/index.js";
import type { Polygon } from "../geometry/index.js";
import type { Boom } from "./boom.js";
import type { ResolvedSettings } from "./section-settings.js";
import type { HeadlandRule, SectionReason } from "./section-states.js";
import type { SweptGround } from "./swept-ground.js";
import { ToolLine } from "./tool-line.js";
import { Zone } from "./zone.js";

/** Less than this outside the field is nothing, and all but this is all, metres: no position tells it. */
const OUTSIDE_RESOLUTION = 1e-3;
/** Ground outside the field that is this deep along the way is not missed between two fixes, metres. */
const LOOK = 0.5;
/** Most looks at the boundary for one order. */
const LOOKS = 16;
/** Farther from its front than this a predicted end is elsewhere, not behind noise, metres. */
const FAR_FROM_FRONT = 0.75;
/** A cell reaches this far beyond its centre at most, in cells; a line farther ahead of fresh ground does not read it. */
const CELL_REACH = 0.75;

/** The geometry that a {@link SectionRule} asks. */
export interface RuleGround {
  /** boundary of the field; undefined: no limit */
  readonly field: readonly Polygon[] | undefined;
  /** the headland */
  readonly headland: readonly Polygon[];
  /** ground never to be worked */
  readonly closed: readonly Polygon[];
  /** what has been worked */
  readonly coverage: CoverageRecord;
}

/**
 * The rule of a section: at every instant it ought to work exactly while the share of its width outside the field or in a closed zone is
 * within the outside tolerance, and the share on worked ground within the overlap tolerance.
 *
 * An order can only be given with a fix. For worked ground and the headland's line it is given with the fix whose effect comes nearest to the ideal instant: off
 * by half an interval at most, without bias. So it is for the field's boundary and closed zones where some of the width may lie outside. Where none may, on
 * comes at the first fix not too early and off at the last not too late: off by an interval at most, and nothing lands outside.
 */
export class SectionRule {
  /** which ground is worked */
  headlandRule: HeadlandRule;

  private readonly field: Zone | undefined;
  private readonly headland: Zone;
  private readonly closed: Zone | undefined;
  private readonly coverage: CoverageRecord;
  private readonly boom: Boom;
  private readonly swept: SweptGround;
  /** most metres of each section on worked ground to be ordered on */
  private readonly startLimit: Float64Array;
  /** most metres of each section on worked ground to stay on */
  private readonly stayLimit: Float64Array;
  /** most of each section's width outside, as a share */
  private readonly outsideLimit: Float64Array;
  /** whether the boundary is a hard limit */
  private readonly hard: boolean;
  private readonly guard: number;
  private readonly span: number;
  private readonly horizon: number;

  // the tool as it will be; on and off each for the boundary and for the rest
  private readonly onBoundary: readonly ToolLine[] = Array.from({ length: LOOKS + 1 }, () => new ToolLine());
  private readonly onGround: ToolLine = new ToolLine();
  private readonly offBoundary: readonly ToolLine[] = Array.from({ length: LOOKS + 1 }, () => new ToolLine());
  private readonly offGround: ToolLine = new ToolLine();

  private x = 0;
  private y = 0;
  private heading = 0;
  private speed = 0;
  private yawRate = 0;
  private late = 0;
  private interval = 0;
  private longestInterval = 0;
  private travelX = 0;
  private travelY = 0;

  constructor(boom: Boom, ground: RuleGround, settings: ResolvedSettings, swept: SweptGround) {
    this.boom = boom;
    this.swept = swept;
    this.coverage = ground.coverage;
    this.headlandRule = settings.headlandRule;
    this.field = ground.field === undefined ? undefined : new Zone(ground.field);
    this.closed = ground.closed.length === 0 ? undefined : new Zone(ground.closed);
    this.headland = new Zone(ground.headland);
    const cell = ground.coverage.cellSize;
    this.guard = CELL_REACH * cell;
    const overlap = settings.overlapTolerance;
    const outside = settings.outsideTolerance;
    this.hard = outside === 0;
    const sections = boom.sections;
    const n = sections.length;
    this.startLimit = new Float64Array(n);
    this.stayLimit = new Float64Array(n);
    this.outsideLimit = new Float64Array(n);
    for (let i = 0; i < n; i++) {
      const width = sections[i]!.right - sections[i]!.left;
      // where an edge of worked ground runs along the section's edge the record is wrong by 0.71 of a cell at most: such a sliver neither makes
      // nothing something nor all less than all, and a quarter of a cell between on and off keeps it from fluttering
      const grain = Math.min(cell, width / 5);
      this.startLimit[i] = between(overlap * width - 0.125 * grain, 0.5 * grain, width - 0.75 * grain);
      this.stayLimit[i] = between(overlap * width + 0.125 * grain, 0.75 * grain, width - 0.5 * grain);
      const least = OUTSIDE_RESOLUTION / width;
      this.outsideLimit[i] = between(outside, least, 1 - least);
    }
    let widest = 0;
    let horizon = 0;
    for (const s of boom.sections) {
      widest = Math.max(widest, Math.abs(s.left), Math.abs(s.right));
      horizon = Math.max(horizon, s.turnOnTime, s.turnOffTime);
    }
    this.span = Math.hypot(boom.x, widest) + 1;
    this.horizon = horizon;
  }

  /** Take the machine's motion for this tick: metres, degrees, m/s, degrees/s, s. */
  prepare(
    x: number,
    y: number,
    heading: number,
    speed: number,
    yawRate: number,
    late: number,
    interval: number,
    longestInterval: number,
    line: ToolLine,
  ): void {
    this.x = x;
    this.y = y;
    this.heading = heading;
    this.speed = speed;
    this.yawRate = yawRate;
    this.late = late;
    this.interval = interval;
    this.longestInterval = longestInterval;
    const direction = speed < 0 ? -1 : 1;
    this.travelX = -line.uy * direction;
    this.travelY = line.ux * direction;
    for (let k = 0; k <= LOOKS; k++) {
      this.onBoundary[k]!.ahead = -1;
      this.offBoundary[k]!.ahead = -1;
    }
    this.onGround.ahead = -1;
    this.offGround.ahead = -1;
    const reach = Math.abs(speed) * (this.horizon + late + longestInterval) + this.span;
    this.field?.prepare(x, y, reach);
    this.closed?.prepare(x, y, reach);
    if (this.headlandRule !== "both") this.headland.prepare(x, y, reach);
  }

  /** `working` when section i, now ordered off, may be ordered on; else why not. */
  mayStart(i: number): SectionReason {
    if (this.runsBackwards(i)) return "backwards";
    const section = this.boom.sections[i]!;
    let reason: SectionReason;
    if (this.hard) {
      // inside from landing on until an order off, given with the next fix, could land
      const last = Math.max(section.turnOnTime, section.turnOffTime) + this.longestInterval;
      reason = this.boundaryOver(i, this.onBoundary, section.turnOnTime, last, 0);
    } else reason = this.boundary(i, this.line(this.onBoundary[0]!, section.turnOnTime + this.interval / 2));
    if (reason !== "working") return reason;
    const line = this.line(this.onGround, section.turnOnTime + this.interval / 2);
    reason = this.headlandSide(i, line);
    if (reason !== "working") return reason;
    return this.worked(i, line) <= this.startLimit[i]! ? "working" : "worked-already";
  }

  /** `working` when section i, now ordered on, may stay on; else why it is to be ordered off. */
  mayStay(i: number): SectionReason {
    if (this.runsBackwards(i)) return "backwards";
    const section = this.boom.sections[i]!;
    let reason: SectionReason;
    if (this.hard) {
      const next = section.turnOffTime + this.longestInterval;
      reason = this.boundaryOver(i, this.offBoundary, section.turnOffTime, next, 1);
    } else reason = this.boundary(i, this.line(this.offBoundary[0]!, section.turnOffTime + this.interval / 2));
    if (reason !== "working") return reason;
    const line = this.line(this.offGround, section.turnOffTime + this.interval / 2);
    reason = this.headlandSide(i, line);
    if (reason !== "working") return reason;
    return this.worked(i, line) <= this.stayLimit[i]! ? "working" : "worked-already";
  }

  /** v (1 - kappa y) at the section's middle, against the direction of travel or nothing. */
  private runsBackwards(i: number): boolean {
    const section = this.boom.sections[i]!;
    const own = this.speed - (((this.yawRate * Math.PI) / 180) * (section.left + section.right)) / 2;
    return this.speed < 0 ? own >= 0 : own <= 0;
  }

  private line(slot: ToolLine, time: number): ToolLine {
    const ahead = this.late + time;
    if (slot.ahead !== ahead) {
      slot.predict(this.x, this.y, this.heading, this.speed, this.yawRate, this.boom.x, ahead);
    }
    return slot;
  }

  /** The boundary asked all along a stretch of time, so that no narrow ground outside is missed between two fixes. */
  private boundaryOver(i: number, slots: readonly ToolLine[], from: number, to: number, first: number): SectionReason {
    const steps = Math.ceil(Math.min(LOOKS, Math.max(1, (Math.abs(this.speed) * (to - from)) / LOOK)));
    for (let k = first; k <= steps; k++) {
      const reason = this.boundary(i, this.line(slots[k]!, from + ((to - from) * k) / steps));
      if (reason !== "working") return reason;
    }
    return "working";
  }

  private boundary(i: number, line: ToolLine): SectionReason {
    const field = this.field;
    const closed = this.closed;
    if (field === undefined && closed === undefined) return "working";
    const { left, right } = this.boom.sections[i]!;
    const ax = line.ox + left * line.ux;
    const ay = line.oy + left * line.uy;
    const bx = line.ox + right * line.ux;
    const by = line.oy + right * line.uy;
    const limit = this.outsideLimit[i]!;
    let out = field === undefined ? 0 : 1 - field.share(ax, ay, bx, by);
    if (!(out <= limit)) return "outside-field";
    if (closed !== undefined) out += closed.share(ax, ay, bx, by);
    return out <= limit ? "working" : "closed-zone";
  }

  private headlandSide(i: number, line: ToolLine): SectionReason {
    if (this.headlandRule === "both") return "working";
    const { left, right } = this.boom.sections[i]!;
    const share = this.headland.share(
      line.ox + left * line.ux,
      line.oy + left * line.uy,
      line.ox + right * line.ux,
      line.oy + right * line.uy,
    );
    const limit = this.outsideLimit[i]!;
    if (this.headlandRule === "mainfield") return share <= limit ? "working" : "headland";
    return 1 - share <= limit ? "working" : "mainfield";
  }

  /** Metres of section i on worked ground, where the line is clear of what the section itself has just worked. */
  private worked(i: number, line: ToolLine): number {
    const { left, right } = this.boom.sections[i]!;
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
    return this.coverage.coveredAlong(ax, ay, bx, by) * (right - left);
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

function between(value: number, low: number, high: number): number {
  return Math.max(low, Math.min(high, value));
}
