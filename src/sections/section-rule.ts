import type { Boom } from "./boom.js";
import type { Carrier } from "./carrier.js";
import type { SectionGround } from "./section-ground.js";
import type { ResolvedSettings } from "./section-settings.js";
import type { SectionReason } from "./section-states.js";
import { ToolLine } from "./tool-line.js";
import { ToolRows } from "./tool-rows.js";

/** Ground outside the field that is this deep along the way is not missed between two fixes, metres. */
const LOOK = 0.5;
/** Most looks at the boundary for one order. */
const LOOKS = 16;

/**
 * When a section's orders go out, so that the rule of its ground holds where product lands.
 *
 * An order can only be given with a fix. For worked ground and the headland's line it is given with the fix whose effect comes nearest to the ideal instant: off
 * by half an interval at most, without bias. So it is for the field's boundary and closed zones where some of the width may lie outside. Where none may, on
 * comes at the first fix not too early and off at the last not too late: off by an interval at most, and nothing lands outside.
 */
export class SectionRule {
  private readonly ground: SectionGround;
  private readonly carrier: Carrier;
  private readonly rows: ToolRows;
  private readonly turnOnTime: Float64Array;
  private readonly turnOffTime: Float64Array;
  /** whether the boundary is a hard limit */
  private readonly hard: boolean;
  private readonly horizon: number;

  // the tool as it will be; on and off each for the boundary and for the rest; lines of the first row, then of the next
  private readonly onBoundary: readonly ToolLine[];
  private readonly onGround: readonly ToolLine[];
  private readonly offBoundary: readonly ToolLine[];
  private readonly offGround: readonly ToolLine[];

  private late = 0;
  private interval = 0;
  private longestInterval = 0;

  constructor(boom: Boom, ground: SectionGround, settings: ResolvedSettings, carrier: Carrier) {
    this.ground = ground;
    this.carrier = carrier;
    this.hard = settings.outsideTolerance === 0;
    this.turnOnTime = Float64Array.from(boom.sections, (s) => s.turnOnTime);
    this.turnOffTime = Float64Array.from(boom.sections, (s) => s.turnOffTime);
    this.horizon = Math.max(...this.turnOnTime, ...this.turnOffTime);
    this.rows = new ToolRows(boom);
    const lines = (count: number): ToolLine[] =>
      Array.from({ length: count * this.rows.x.length }, () => new ToolLine());
    this.onBoundary = lines(LOOKS + 1);
    this.onGround = lines(1);
    this.offBoundary = lines(LOOKS + 1);
    this.offGround = lines(1);
  }

  /**
   * Get ready for this tick, s: how long ago the fix was taken, the mean and the longest interval; and the first row's line now. False when the path that
   * was given does not tell where the boom will be.
   */
  prepare(late: number, interval: number, longestInterval: number, line: ToolLine): boolean {
    this.late = late;
    this.interval = interval;
    this.longestInterval = longestInterval;
    forget(this.onBoundary);
    forget(this.offBoundary);
    forget(this.offGround);
    const until = late + this.horizon + longestInterval;
    if (!this.carrier.known(this.onGround[0]!, until)) return false;
    this.ground.prepare(Math.abs(this.carrier.speed) * until, line);
    forget(this.onGround);
    return true;
  }

  /** `working` when section i, now ordered off, may be ordered on; else why not. */
  mayStart(i: number): SectionReason {
    const turnOnTime = this.turnOnTime[i]!;
    const row = this.rows.of[i]!;
    const line = this.line(this.onGround[row]!, row, turnOnTime + this.interval / 2);
    // inside from landing on until an order off, given with the next fix, could land
    const last = Math.max(turnOnTime, this.turnOffTime[i]!) + this.longestInterval;
    const reason = this.hard
      ? this.boundaryOver(i, this.onBoundary, turnOnTime, last, 0)
      : this.ground.boundary(i, line);
    return reason === "working" ? this.ground.inside(i, line, false) : reason;
  }

  /** `working` when section i, now ordered on, may stay on; else why it is to be ordered off. */
  mayStay(i: number): SectionReason {
    const turnOffTime = this.turnOffTime[i]!;
    const row = this.rows.of[i]!;
    const line = this.line(this.offGround[row]!, row, turnOffTime + this.interval / 2);
    const reason = this.hard
      ? this.boundaryOver(i, this.offBoundary, turnOffTime, turnOffTime + this.longestInterval, 1)
      : this.ground.boundary(i, line);
    return reason === "working" ? this.ground.inside(i, line, true) : reason;
  }

  private line(slot: ToolLine, row: number, time: number): ToolLine {
    const ahead = this.late + time;
    if (slot.ahead !== ahead) this.carrier.put(slot, this.rows.x[row]!, ahead);
    return slot;
  }

  /** The boundary asked all along a stretch of time, so that no narrow ground outside is missed between two fixes. */
  private boundaryOver(i: number, slots: readonly ToolLine[], from: number, to: number, first: number): SectionReason {
    const row = this.rows.of[i]!;
    const steps = Math.ceil(Math.min(LOOKS, Math.max(1, (Math.abs(this.carrier.speed) * (to - from)) / LOOK)));
    for (let k = first; k <= steps; k++) {
      const slot = slots[row * (LOOKS + 1) + k]!;
      const reason = this.ground.boundary(i, this.line(slot, row, from + ((to - from) * k) / steps));
      if (reason !== "working") return reason;
    }
    return "working";
  }
}

function forget(lines: readonly ToolLine[]): void {
  for (let k = 0; k < lines.length; k++) lines[k]!.ahead = -1;
}
