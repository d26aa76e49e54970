import type { CoverageRecord } from "../coverage/index.js";
import type { Polygon } from "../geometry/index.js";
import type { Boom } from "./boom.js";
import type { ResolvedSettings } from "./section-settings.js";
import type { HeadlandRule, SectionReason } from "./section-states.js";
import type { SweptGround } from "./swept-ground.js";
import { ToolLine } from "./tool-line.js";
import { WorkedAhead } from "./worked-ahead.js";
import { Zone } from "./zone.js";

/** Less than this outside the field is nothing, and all but this is all, metres: no position tells it. */
const OUTSIDE_RESOLUTION = 1e-3;
/** Ground outside the field that is this deep along the way is not missed between two fixes, metres. */
const LOOK = 0.5;
/** Most looks at the boundary for one order. */
const LOOKS = 16;
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
  private readonly toolX: number;
  private readonly worked: WorkedAhead;
  private readonly left: Float64Array;
  private readonly right: Float64Array;
  private readonly turnOnTime: Float64Array;
  private readonly turnOffTime: Float64Array;
  /** most metres of each section on worked ground to be ordered on */
  private readonly startLimit: Float64Array;
  /** most metres of each section on worked ground to stay on */
  private readonly stayLimit: Float64Array;
  /** most of each section's width outside, as a share */
  private readonly outsideLimit: Float64Array;
  /** whether the boundary is a hard limit */
  private readonly hard: boolean;
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

  constructor(boom: Boom, ground: RuleGround, settings: ResolvedSettings, swept: SweptGround) {
    this.toolX = boom.x;
    this.worked = new WorkedAhead(boom, ground.coverage, swept);
    this.headlandRule = settings.headlandRule;
    this.field = ground.field === undefined ? undefined : new Zone(ground.field);
    this.closed = ground.closed.length === 0 ? undefined : new Zone(ground.closed);
    this.headland = new Zone(ground.headland);
    const cell = ground.coverage.cellSize;
    const overlap = settings.overlapTolerance;
    const outside = settings.outsideTolerance;
    this.hard = outside === 0;
    const sections = boom.sections;
    const n = sections.length;
    this.left = Float64Array.from(sections, (s) => s.left);
    this.right = Float64Array.from(sections, (s) => s.right);
    this.turnOnTime = Float64Array.from(sections, (s) => s.turnOnTime);
    this.turnOffTime = Float64Array.from(sections, (s) => s.turnOffTime);
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
    this.worked.prepare(speed, yawRate, line);
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
    const turnOnTime = this.turnOnTime[i]!;
    let reason: SectionReason;
    if (this.hard) {
      // inside from landing on until an order off, given with the next fix, could land
      const last = Math.max(turnOnTime, this.turnOffTime[i]!) + this.longestInterval;
      reason = this.boundaryOver(i, this.onBoundary, turnOnTime, last, 0);
    } else reason = this.boundary(i, this.line(this.onBoundary[0]!, turnOnTime + this.interval / 2));
    if (reason !== "working") return reason;
    const line = this.line(this.onGround, turnOnTime + this.interval / 2);
    reason = this.headlandSide(i, line);
    if (reason !== "working") return reason;
    return this.worked.metres(i, line) <= this.startLimit[i]! ? "working" : "worked-already";
  }

  /** `working` when section i, now ordered on, may stay on; else why it is to be ordered off. */
  mayStay(i: number): SectionReason {
    if (this.runsBackwards(i)) return "backwards";
    const turnOffTime = this.turnOffTime[i]!;
    let reason: SectionReason;
    if (this.hard) {
      const next = turnOffTime + this.longestInterval;
      reason = this.boundaryOver(i, this.offBoundary, turnOffTime, next, 1);
    } else reason = this.boundary(i, this.line(this.offBoundary[0]!, turnOffTime + this.interval / 2));
    if (reason !== "working") return reason;
    const line = this.line(this.offGround, turnOffTime + this.interval / 2);
    reason = this.headlandSide(i, line);
    if (reason !== "working") return reason;
    return this.worked.metres(i, line) <= this.stayLimit[i]! ? "working" : "worked-already";
  }

  /** v (1 - kappa y) at the section's middle, against the direction of travel or nothing. */
  private runsBackwards(i: number): boolean {
    const own = this.speed - (((this.yawRate * Math.PI) / 180) * (this.left[i]! + this.right[i]!)) / 2;
    return this.speed < 0 ? own >= 0 : own <= 0;
  }

  private line(slot: ToolLine, time: number): ToolLine {
    const ahead = this.late + time;
    if (slot.ahead !== ahead) {
      slot.predict(this.x, this.y, this.heading, this.speed, this.yawRate, this.toolX, ahead);
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
    const left = this.left[i]!;
    const right = this.right[i]!;
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
    const left = this.left[i]!;
    const right = this.right[i]!;
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
}

function between(value: number, low: number, high: number): number {
  return Math.max(low, Math.min(high, value));
}
