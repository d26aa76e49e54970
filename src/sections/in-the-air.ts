import type { CoverageRecord } from "../coverage/index.js";
import { RADIANS, wrapDifference } from "../geometry/angle.js";
import type { Boom } from "./boom.js";
import type { Carrier } from "./carrier.js";
import type { OrderBook } from "./order-book.js";
import { ToolLine } from "./tool-line.js";
import { ToolRows } from "./tool-rows.js";

/** Turn between two poses looked at, degrees: 3 mm between arc and chord at 12 m. */
const STEP = 2.5;
/** Most poses. */
const POSES = 160;
/** Poses of a path that is given, at least. */
const PATH_POSES = 16;
/** A turn smaller than this brings no section over another's ground, degrees. */
const LEAST_TURN = 0.5;
/** One row meets its own ground only after nearly a round, degrees. */
const ROUND = 350;
/** Most points of a section's line. */
const POINTS = 32;
/** A point that lands this near a row has not been passed by it, metres: rounding. */
const PASSED = 1e-9;
/** A pose this near the landing is the landing, s: rounding. */
const SAME = 1e-9;

/**
 * Ground that will have been worked by orders under way before product lands on it: by a row in front, at the inner side of a tight turn, after a round.
 *
 * The points of a section's line to come are followed backwards in the machine's own axes. Where one passes a row between the last marking and its own landing, it
 * passes some section of it, at a time; whether product of that section lands then, the order book tells.
 */
export class InTheAir {
  private readonly carrier: Carrier;
  private readonly coverage: CoverageRecord;
  private readonly orders: OrderBook;
  private readonly rows: ToolRows;
  private readonly left: Float64Array;
  private readonly right: Float64Array;
  private readonly poses: readonly ToolLine[] = Array.from({ length: POSES + 1 }, () => new ToolLine());
  /** poses of this tick, less one; 0 where no section can come over ground under way */
  private count = 0;
  private step = 0;
  /** time of the place of the fix, s */
  private start = 0;

  constructor(boom: Boom, coverage: CoverageRecord, orders: OrderBook, carrier: Carrier) {
    this.carrier = carrier;
    this.coverage = coverage;
    this.orders = orders;
    this.rows = new ToolRows(boom);
    this.left = Float64Array.from(boom.sections, (s) => s.left);
    this.right = Float64Array.from(boom.sections, (s) => s.right);
  }

  /** Whether any section can come over ground under way, in this tick. */
  get possible(): boolean {
    return this.count > 0;
  }

  /** Look ahead from a place at a time, s, as far as lines are asked for, s. */
  prepare(start: number, horizon: number): void {
    this.start = start;
    this.count = 0;
    const carrier = this.carrier;
    let turn = Math.abs(carrier.yawRate) * horizon;
    if (carrier.guided) turn = this.pathTurn(horizon);
    if (turn < LEAST_TURN || !(horizon > 0)) return;
    // on one arc a single row without a part that runs backwards comes over no ground within a round
    if (!carrier.guided && this.rows.x.length === 1 && turn < ROUND && this.forward()) return;
    this.count = Math.min(POSES, Math.max(carrier.guided ? PATH_POSES : 2, Math.ceil(turn / STEP)));
    this.step = horizon / this.count;
    for (let k = 0; k <= this.count; k++) carrier.put(this.poses[k]!, 0, k * this.step);
  }

  /** Share of the points of section i's line, `deep` metres ahead of its row, that are worked then but not yet in the record; where that is possible. */
  share(i: number, line: ToolLine, deep: number): number {
    const own = this.rows.x[this.rows.of[i]!]!;
    if (!this.meets(i, line, own, deep)) return 0;
    const left = this.left[i]!;
    const width = this.right[i]! - left;
    const points = Math.min(POINTS, Math.max(4, Math.ceil(width / this.coverage.cellSize)));
    let worked = 0;
    for (let p = 0; p < points; p++) {
      const y = left + (width * (p + 0.5)) / points;
      const px = line.ox + y * line.ux - deep * line.uy;
      const py = line.oy + y * line.uy + deep * line.ux;
      if (this.passed(px, py, own + deep, y, line.ahead) && !this.coverage.isCovered(px, py)) worked++;
    }
    return worked / points;
  }

  /** Whether every part of the boom runs forward on its arc. */
  private forward(): boolean {
    const turn = this.carrier.yawRate * RADIANS;
    const speed = Math.abs(this.carrier.speed);
    const last = this.left.length - 1;
    return speed > Math.abs(turn) * Math.max(Math.abs(this.left[0]!), Math.abs(this.right[last]!));
  }

  /** Largest change of heading on a path that is given, degrees, by four looks. */
  private pathTurn(horizon: number): number {
    const line = this.poses[0]!;
    let most = 0;
    for (let k = 1; k <= 4; k++) {
      this.carrier.put(line, 0, (horizon * k) / 4);
      const heading = Math.atan2(-line.uy, line.ux) / RADIANS;
      most = Math.max(most, Math.abs(wrapDifference(heading - this.carrier.heading)));
    }
    return most;
  }

  /** Whether an end of a section's line is on both sides of a row on the way: else no point between them passes it. */
  private meets(i: number, line: ToolLine, own: number, deep: number): boolean {
    const rows = this.rows.x;
    for (let r = 0; r < rows.length; r++) {
      const row = rows[r]!;
      // at the landing
      let low = own + deep - row;
      let high = low;
      for (let k = 0; k <= this.count && k * this.step < line.ahead; k++) {
        const a = this.forwardOf(this.poses[k]!, line, this.left[i]!, deep) - row;
        const b = this.forwardOf(this.poses[k]!, line, this.right[i]!, deep) - row;
        low = Math.min(low, a, b);
        high = Math.max(high, a, b);
      }
      if (low < -PASSED && high > PASSED) return true;
    }
    return false;
  }

  /** Metres that a place of a line lies ahead of a pose. */
  private forwardOf(pose: ToolLine, line: ToolLine, y: number, deep: number): number {
    const dx = line.ox + y * line.ux - deep * line.uy - pose.ox;
    const dy = line.oy + y * line.uy + deep * line.ux - pose.oy;
    return dy * pose.ux - dx * pose.uy;
  }

  /** Whether product lands on a point before `until` s after the fix; at that time it lies `x` ahead and `y` right of the reference point. */
  private passed(px: number, py: number, x: number, y: number, until: number): boolean {
    const rows = this.rows.x;
    let beforeX = 0;
    let beforeY = 0;
    let before = 0;
    for (let k = 0; before < until; k++) {
      let time = k * this.step;
      let hereX = x;
      let hereY = y;
      if (k <= this.count && time < until - SAME) {
        const pose = this.poses[k]!;
        const dx = px - pose.ox;
        const dy = py - pose.oy;
        hereX = dy * pose.ux - dx * pose.uy;
        hereY = dx * pose.ux + dy * pose.uy;
      } else time = until;
      if (k > 0) {
        for (let r = 0; r < rows.length; r++) {
          const a = beforeX - rows[r]!;
          const b = hereX - rows[r]!;
          // on the row itself is before it, but the landing is no passing
          if (a < 0 === b < 0 || (time === until && Math.abs(b) <= PASSED)) continue;
          const f = a / (a - b);
          const j = this.sectionAt(beforeY + f * (hereY - beforeY), r);
          if (j >= 0 && this.orders.workingAt(j, this.start + before + f * (time - before))) return true;
        }
      }
      beforeX = hereX;
      beforeY = hereY;
      before = time;
    }
    return false;
  }

  /** The section at an offset on a row, -1 for none. */
  private sectionAt(y: number, row: number): number {
    let low = 0;
    let high = this.left.length - 1;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (this.left[middle]! <= y) low = middle;
      else high = middle - 1;
    }
    return y >= this.left[low]! && y < this.right[low]! && this.rows.of[low] === row ? low : -1;
  }
}
