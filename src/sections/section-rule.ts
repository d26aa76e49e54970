import type { Boom } from "./boom.js";
import type { Carrier } from "./carrier.js";
import type { SectionClock } from "./section-clock.js";
import type { SectionGround } from "./section-ground.js";
import type { ResolvedSettings } from "./section-settings.js";
import type { SectionReason } from "./section-states.js";
import { ToolLine } from "./tool-line.js";
import { ToolRows } from "./tool-rows.js";

/** Ground outside the field that is this deep along the way is not missed between two fixes, metres. */
const LOOK = 0.5;
/** Most looks at the boundary for one order. */
const LOOKS = 16;
/** An instant is found to this way of the machine, metres. */
const EXACT = 1e-3;
/** Most halvings for it. */
const HALVINGS = 24;
/** How far beyond the next fix a host is told when to switch by itself, in intervals: the fix may come late. */
const MARGIN = 1.5;

/**
 * When a section's orders go out, so that the rule of its ground holds where product lands.
 *
 * An order can only be given with a fix. For worked ground and the headland's line it is given with the fix whose effect comes nearest to the ideal instant: off
 * by half an interval at most, without bias. So it is for the field's boundary and closed zones where some of the width may lie outside. Where none may, on
 * comes at the first fix not too early and off at the last not too late: off by an interval at most, and nothing lands outside.
 *
 * The ideal instant itself is found by halving. A host that switches between fixes has no nearest fix to wait for: its orders go out at that instant.
 */
export class SectionRule {
  private readonly ground: SectionGround;
  private readonly carrier: Carrier;
  private readonly rows: ToolRows;
  private readonly turnOnTime: Float64Array;
  private readonly turnOffTime: Float64Array;
  /** whether the boundary is a hard limit */
  private readonly hard: boolean;
  private readonly betweenFixes: boolean;
  private readonly horizon: number;

  // the tool as it will be; on and off each for the boundary and for the rest; lines of the first row, then of the next
  private readonly onBoundary: readonly ToolLine[];
  private readonly onGround: readonly ToolLine[];
  private readonly offBoundary: readonly ToolLine[];
  private readonly offGround: readonly ToolLine[];
  /** the tool until the next fix, and at one instant */
  private readonly onNext: readonly ToolLine[];
  private readonly offNext: readonly ToolLine[];
  private readonly probe: ToolLine = new ToolLine();
  /** what a line is asked for, s from now: an instant, and a stretch from and to; in an array, so that no number is boxed */
  private readonly asked: Float64Array = new Float64Array(3);

  /** what {@link SectionRule.findChange} found, s from now; in an array, so that no number is boxed */
  readonly change: Float64Array = new Float64Array(1);
  /** instants not before which {@link SectionRule.findChange} looks, s from now: any, and all but what the boundary asks for off */
  readonly notBefore: Float64Array = new Float64Array(2);
  /** why the section is in the state that it found */
  changeReason: SectionReason = "working";

  /** whether all sections have one turn-off time, so that a row's lines are the same for all of them */
  private readonly alike: boolean;
  /** of each row: 1 when nothing but worked ground can turn a section off before the next fix, 0 when not, -1 when not asked in this tick */
  private readonly calmRows: Int8Array;
  /** looks at the boundary for an order off, and until the next fix, in this tick */
  private boundarySteps = 0;
  private nextSteps = 0;

  private late = 0;
  /** half the mean interval; 0 where the host switches between fixes */
  private half = 0;
  /** how far instants are looked for, s */
  private window = 0;
  private longestInterval = 0;

  constructor(boom: Boom, ground: SectionGround, settings: ResolvedSettings, carrier: Carrier) {
    this.ground = ground;
    this.carrier = carrier;
    this.hard = settings.outsideTolerance === 0;
    this.betweenFixes = settings.betweenFixes;
    this.turnOnTime = Float64Array.from(boom.sections, (s) => s.turnOnTime);
    this.turnOffTime = Float64Array.from(boom.sections, (s) => s.turnOffTime);
    this.horizon = Math.max(...this.turnOnTime, ...this.turnOffTime);
    this.rows = new ToolRows(boom);
    const lines = (count: number): ToolLine[] =>
      Array.from({ length: count * this.rows.x.length }, () => new ToolLine(boom.sections.length));
    this.onBoundary = lines(LOOKS + 1);
    this.onGround = lines(1);
    this.offBoundary = lines(LOOKS + 1);
    this.offGround = lines(1);
    this.onNext = lines(LOOKS + 1);
    this.offNext = lines(LOOKS + 1);
    this.alike = boom.sections.every((s) => s.turnOffTime === boom.sections[0]!.turnOffTime);
    this.calmRows = new Int8Array(this.rows.x.length);
  }

  /**
   * Get ready for this tick: what time it is and how often fixes come, how long ago the fix was taken and the time since the one before, s; and the first row's line
   * now. False when the path that was given does not tell where the boom will be.
   */
  prepare(clock: SectionClock, late: number, since: number, line: ToolLine): boolean {
    const interval = clock.interval;
    const longestInterval = Math.max(interval, since);
    const now = clock.now;
    this.late = late;
    this.half = this.betweenFixes ? 0 : interval / 2;
    this.window = this.betweenFixes ? MARGIN * longestInterval : longestInterval;
    this.longestInterval = longestInterval;
    forget(this.onBoundary);
    forget(this.offBoundary);
    forget(this.offGround);
    const until = late + this.horizon + MARGIN * longestInterval;
    if (!this.carrier.known(this.onGround[0]!, until)) return false;
    this.ground.prepare(now - late, until, line);
    forget(this.onGround);
    forget(this.onNext);
    forget(this.offNext);
    this.calmRows.fill(-1);
    this.boundarySteps = this.hard && !this.betweenFixes ? this.steps(longestInterval) : 0;
    this.nextSteps = this.window === 0 ? 0 : this.steps(this.window);
    return true;
  }

  /** How long ago the fix before may have been, s. */
  get lookBack(): number {
    return this.window;
  }

  /**
   * Shortest time between two landings, s. An order between fixes lands just where the rule turns over: the next fix, a centimetre aside, must not take it back.
   */
  get hold(): number {
    return this.betweenFixes ? this.longestInterval : 0;
  }

  /** `working` when section i, now ordered off, may be ordered on; else why not. */
  mayStart(i: number): SectionReason {
    const turnOnTime = this.turnOnTime[i]!;
    const row = this.rows.of[i]!;
    const asked = this.asked;
    asked[0] = turnOnTime + this.half;
    const line = this.line(this.onGround[row]!, row);
    // inside from landing on until an order off, given with the next fix, could land
    asked[1] = turnOnTime;
    asked[2] = Math.max(turnOnTime, this.turnOffTime[i]!) + this.longestInterval;
    const reason = this.hard ? this.boundaryOver(i, this.onBoundary, 0) : this.ground.boundary(i, line);
    return reason === "working" ? this.ground.inside(i, line, false) : reason;
  }

  /**
   * Whether section i, now ordered on, may stay on and ought to until the next fix, as one look at its row tells: no boundary, headland or turn near, nothing in the air,
   * and its part of the row's lines free. False where that look does not tell.
   */
  calm(i: number): boolean {
    const row = this.rows.of[i]!;
    if (this.calmRows[row] !== 1 || !this.ground.free(i, this.offGround[row]!)) return false;
    for (let k = 1; k <= this.nextSteps; k++) {
      if (!this.ground.free(i, this.offNext[row * (LOOKS + 1) + k]!)) return false;
    }
    return true;
  }

  /** Look at the lines of a row once one of its sections has been asked, for {@link SectionRule.calm}. */
  settle(i: number): void {
    const row = this.rows.of[i]!;
    if (this.calmRows[row] !== -1) return;
    // where the boundary is hard it is asked on its own lines alone
    let calm = this.alike && (this.boundarySteps > 0 || this.ground.level(this.offGround[row]!));
    const first = row * (LOOKS + 1);
    for (let k = 1; calm && k <= this.boundarySteps; k++) calm = this.ground.level(this.offBoundary[first + k]!);
    for (let k = 1; calm && k <= this.nextSteps; k++) calm = this.ground.level(this.offNext[first + k]!);
    this.calmRows[row] = calm ? 1 : 0;
  }

  private steps(time: number): number {
    return Math.ceil(Math.min(LOOKS, Math.max(1, (Math.abs(this.carrier.speed) * time) / LOOK)));
  }

  /** `working` when section i, now ordered on, may stay on; else why it is to be ordered off. */
  mayStay(i: number): SectionReason {
    const turnOffTime = this.turnOffTime[i]!;
    const row = this.rows.of[i]!;
    const asked = this.asked;
    asked[0] = turnOffTime + this.half;
    const line = this.line(this.offGround[row]!, row);
    asked[1] = turnOffTime;
    asked[2] = turnOffTime + this.longestInterval;
    const reason =
      this.hard && !this.betweenFixes ? this.boundaryOver(i, this.offBoundary, 1) : this.ground.boundary(i, line);
    return reason === "working" ? this.ground.inside(i, line, true) : reason;
  }

  /**
   * When section i ought to be ordered over exactly: s from now into `change`, within the time to the next fix. 0 when that is due already, NaN when it is not
   * before the next fix. Not before the two instants of {@link SectionRule.notBefore}.
   *
   * @param on - whether it is ordered on now
   * @param first - whether now itself is asked too
   */
  findChange(i: number, on: boolean, first: boolean): void {
    const change = this.change;
    const from = this.notBefore[0]!;
    const softFrom = this.notBefore[1]!;
    const asked = this.asked;
    change[0] = Number.NaN;
    const window = this.window;
    const delay = on ? this.turnOffTime[i]! : this.turnOnTime[i]!;
    const slots = on ? this.offNext : this.onNext;
    const row = this.rows.of[i]!;
    const speed = Math.abs(this.carrier.speed);
    const steps = this.nextSteps;
    let low = 0;
    for (let k = first ? 0 : 1; k <= steps; k++) {
      const slot = slots[row * (LOOKS + 1) + k]!;
      let high = k === 0 ? 0 : (window * k) / steps;
      asked[0] = delay + high;
      if (high >= from && this.changes(i, on, this.line(slot, row), high >= softFrom)) {
        if (high === 0) {
          change[0] = 0;
          return;
        }
        if (low < from) {
          // the instant may be the earliest that is allowed
          asked[0] = delay + from;
          if (this.changes(i, on, this.line(this.probe, row), from >= softFrom)) {
            if (this.allowed(i, on, from)) change[0] = from;
            return;
          }
          low = from;
        }
        let reason = this.changeReason;
        for (let h = 0; h < HALVINGS && speed * (high - low) > EXACT; h++) {
          const middle = (low + high) / 2;
          asked[0] = delay + middle;
          if (this.changes(i, on, this.line(this.probe, row), middle >= softFrom)) {
            high = middle;
            reason = this.changeReason;
          } else low = middle;
        }
        this.changeReason = reason;
        // nothing lands outside a hard boundary
        const at = on && this.hard && beyond(reason) ? low : high;
        if (this.allowed(i, on, at)) change[0] = at;
        return;
      }
      low = high;
    }
  }

  /** Whether section i ought to be in the other state on a line. */
  private changes(i: number, on: boolean, line: ToolLine, soft: boolean): boolean {
    const reason = this.ground.verdict(i, line, on);
    this.changeReason = reason;
    if (!on) return reason === "working";
    return reason !== "working" && (soft || beyond(reason));
  }

  /** Whether an order on in `at` s leaves time to be off before a hard boundary by an order of the next fix. */
  private allowed(i: number, on: boolean, at: number): boolean {
    if (on || !this.hard) return true;
    const landing = this.turnOnTime[i]! + at;
    this.asked[1] = landing;
    this.asked[2] = Math.max(landing + this.hold, this.turnOffTime[i]! + this.longestInterval);
    return this.boundaryOver(i, this.onBoundary, 0) === "working";
  }

  /** A row's line at the instant asked for. */
  private line(slot: ToolLine, row: number): ToolLine {
    const ahead = this.late + this.asked[0]!;
    if (slot.ahead !== ahead) {
      slot.ahead = ahead;
      this.carrier.follow(slot, this.rows.x[row]!);
    }
    return slot;
  }

  /** The boundary asked all along the stretch of time asked for, so that no narrow ground outside is missed between two fixes. */
  private boundaryOver(i: number, slots: readonly ToolLine[], first: number): SectionReason {
    const asked = this.asked;
    const from = asked[1]!;
    const to = asked[2]!;
    const row = this.rows.of[i]!;
    const steps = this.steps(to - from);
    for (let k = first; k <= steps; k++) {
      const slot = slots[row * (LOOKS + 1) + k]!;
      asked[0] = from + ((to - from) * k) / steps;
      const reason = this.ground.boundary(i, this.line(slot, row));
      if (reason !== "working") return reason;
    }
    return "working";
  }
}

/** Whether a reason is one of the field's boundary and of the section's own motion, not of worked ground or the headland. */
export function beyond(reason: SectionReason): boolean {
  return reason !== "worked-already" && reason !== "headland" && reason !== "mainfield";
}

function forget(lines: readonly ToolLine[]): void {
  for (let k = 0; k < lines.length; k++) lines[k]!.ahead = -1;
}
