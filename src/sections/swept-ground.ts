import type { CoverageRecord } from "../coverage/index.js";
import type { Boom } from "./boom.js";
import type { OrderBook } from "./order-book.js";
import type { ToolLine } from "./tool-line.js";

/** An edge that falls back by less than this is the position's noise, not motion, metres. */
const FOLD = 0.5;
/** An edge that moves farther than this between two fixes is a jump, metres. */
const FARTHEST_STEP = 50;

/**
 * The ground that the sections sweep, and the marking of it.
 *
 * Every edge of a section has a front: the farthest point that it has reached in the direction of travel. Quads reach from front to front, so that
 * neighbours in time and across share exact corners, and noise that throws the line back by a few centimetres marks no ground
 * twice. What is marked is where product lands: an order that lands between two fixes cuts the quad there.
 */
export class SweptGround {
  /** cells newly worked by the last call of {@link SweptGround.mark} */
  newCells = 0;
  /** cells worked again by it */
  againCells = 0;
  /** front of each edge, metres east */
  readonly frontX: Float64Array;
  /** front of each edge, metres north */
  readonly frontY: Float64Array;
  /** index of each section's left edge */
  readonly leftEdge: Int32Array;
  /** index of each section's right edge */
  readonly rightEdge: Int32Array;
  /** whether every edge stands at its front, so that the fronts of a row lie on one line */
  straight = false;

  private readonly edges: Float64Array;
  /** metres that each edge stands ahead of the first row */
  private readonly ahead: Float64Array;
  private readonly nextX: Float64Array;
  private readonly nextY: Float64Array;

  constructor(boom: Boom) {
    const n = boom.sections.length;
    this.leftEdge = new Int32Array(n);
    this.rightEdge = new Int32Array(n);
    const edges: number[] = [];
    const ahead: number[] = [];
    boom.sections.forEach((section, i) => {
      const before = boom.sections[i - 1];
      // neighbours on one row share their edge
      if (before === undefined || before.right !== section.left || before.x !== section.x) {
        edges.push(section.left);
        ahead.push(section.x - boom.sections[0]!.x);
      }
      this.leftEdge[i] = edges.length - 1;
      edges.push(section.right);
      ahead.push(section.x - boom.sections[0]!.x);
      this.rightEdge[i] = edges.length - 1;
    });
    this.edges = Float64Array.from(edges);
    this.ahead = Float64Array.from(ahead);
    this.frontX = new Float64Array(edges.length);
    this.frontY = new Float64Array(edges.length);
    this.nextX = new Float64Array(edges.length);
    this.nextY = new Float64Array(edges.length);
  }

  /** Start afresh where the tool stands, its first row on the line: nothing joins it with what was before. */
  restart(line: ToolLine): void {
    this.newCells = 0;
    this.againCells = 0;
    this.straight = true;
    for (let e = 0; e < this.edges.length; e++) {
      // forward is the right turned left by a quarter
      this.frontX[e] = line.ox + this.edges[e]! * line.ux - this.ahead[e]! * line.uy;
      this.frontY[e] = line.oy + this.edges[e]! * line.uy + this.ahead[e]! * line.ux;
    }
  }

  /**
   * Move on to where the tool stands now and mark what was swept while product landed.
   *
   * @param line - the tool's first row now
   * @param direction - 1 forward, -1 backward
   * @param from - time of the place before, s
   * @param to - time now, s
   * @returns false when the step is absurd: nothing is marked then, and the fronts start afresh
   */
  mark(
    line: ToolLine,
    direction: number,
    from: number,
    to: number,
    orders: OrderBook,
    record: CoverageRecord,
  ): boolean {
    // hot
    const count = this.edges.length;
    // forward is the right turned left by a quarter
    const dirX = -line.uy * direction;
    const dirY = line.ux * direction;
    let straight = true;
    for (let e = 0; e < count; e++) {
      const px = line.ox + this.edges[e]! * line.ux - this.ahead[e]! * line.uy;
      const py = line.oy + this.edges[e]! * line.uy + this.ahead[e]! * line.ux;
      const dx = px - this.frontX[e]!;
      const dy = py - this.frontY[e]!;
      if (!(dx * dx + dy * dy <= FARTHEST_STEP * FARTHEST_STEP)) {
        this.restart(line);
        return false;
      }
      const ahead = dx * dirX + dy * dirY;
      const held = ahead <= 0 && ahead > -FOLD;
      if (ahead <= 0) straight = false;
      this.nextX[e] = held ? this.frontX[e]! : px;
      this.nextY[e] = held ? this.frontY[e]! : py;
    }
    this.newCells = 0;
    this.againCells = 0;
    // where both lines are straight and run forward all over, neighbours on a row that work all the time are one quad
    const joined = straight && this.straight;
    const sections = this.leftEdge.length;
    let first = -1;
    for (let i = 0; i < sections; i++) {
      const whole = orders.landed[i] === 1 && orders.flipTime(i, 0) > to;
      if (first >= 0 && !(whole && joined && this.leftEdge[i] === this.rightEdge[i - 1])) {
        this.quad(this.leftEdge[first]!, this.rightEdge[i - 1]!, 0, 1, record);
        first = -1;
      }
      if (whole) {
        if (first < 0) first = i;
      } else this.parts(i, from, to, orders, record);
    }
    if (first >= 0) this.quad(this.leftEdge[first]!, this.rightEdge[sections - 1]!, 0, 1, record);
    // a call to copy takes longer
    for (let e = 0; e < count; e++) {
      this.frontX[e] = this.nextX[e]!;
      this.frontY[e] = this.nextY[e]!;
    }
    this.straight = straight;
    return true;
  }

  /** The parts of an interval during which product of one section landed. */
  private parts(i: number, from: number, to: number, orders: OrderBook, record: CoverageRecord): void {
    let state = orders.landed[i]!;
    let start = 0;
    for (let k = 0; orders.flipTime(i, k) <= to; k++) {
      const at = Math.max(0, (orders.flipTime(i, k) - from) / (to - from));
      if (state === 1 && at > start) this.quad(this.leftEdge[i]!, this.rightEdge[i]!, start, at, record);
      state ^= 1;
      start = at;
    }
    if (state === 1 && start < 1) this.quad(this.leftEdge[i]!, this.rightEdge[i]!, start, 1, record);
  }

  private quad(l: number, r: number, start: number, end: number, record: CoverageRecord): void {
    const lx = this.frontX[l]!;
    const ly = this.frontY[l]!;
    const rx = this.frontX[r]!;
    const ry = this.frontY[r]!;
    const lx1 = this.nextX[l]!;
    const ly1 = this.nextY[l]!;
    const rx1 = this.nextX[r]!;
    const ry1 = this.nextY[r]!;
    if (lx === lx1 && ly === ly1 && rx === rx1 && ry === ry1) return;
    // a corner at 1 is the front itself, to the last bit
    record.mark(
      lx + start * (lx1 - lx),
      ly + start * (ly1 - ly),
      rx + start * (rx1 - rx),
      ry + start * (ry1 - ry),
      end === 1 ? rx1 : rx + end * (rx1 - rx),
      end === 1 ? ry1 : ry + end * (ry1 - ry),
      end === 1 ? lx1 : lx + end * (lx1 - lx),
      end === 1 ? ly1 : ly + end * (ly1 - ly),
    );
    this.newCells += record.lastNew;
    this.againCells += record.lastAgain;
  }

  /** All numbers as one flat list. */
  toList(): number[] {
    return [Number(this.straight), ...this.frontX, ...this.frontY];
  }

  /** Take a list of {@link SweptGround.toList} back; false when it does not fit. */
  fromList(list: readonly number[]): boolean {
    const n = this.edges.length;
    if (list.length !== 2 * n + 1 || !list.every(Number.isFinite)) return false;
    this.straight = list[0] === 1;
    this.frontX.set(list.slice(1, n + 1));
    this.frontY.set(list.slice(n + 1));
    return true;
  }
}
