import { RADIANS, wrapDifference, wrapHeading } from "../geometry/angle.js";
import { drawbarSwing } from "./drawbar-swing.js";

/** Side slip and noise leave the heading uncertain by this at least, degrees (a choice, no source). */
export const LEAST_BOUND = 0.25;
/** No drawbar folds farther than this without touching, degrees, unless it counts as folded only later. */
const SQUARE = 90;
/** A turn in one step of less than this leaves a drawbar within 60 degrees of its hitch's direction within 90, degrees. */
const EASY = 30;

/** The heading of a drawbar behind its hitch, with the first and the last heading possible for all that is known of its start. */
export class Drawbar {
  /** degrees clockwise from the frame's north */
  heading = 0.5;
  /** how far the leftmost possible heading lies to the left of it, degrees */
  toLeft = 0.5;
  /** how far the rightmost possible heading lies to the right of it, degrees */
  toRight = 0.5;
  /** heading less the machine's, degrees, from the last call of {@link Drawbar.limit} */
  articulation = 0.5;
  /** whether it is folded against the machine */
  folded = false;
  /** farthest articulation, degrees */
  readonly stop: number;
  private readonly length: number;
  private readonly jackknifeAngle: number;

  /** Length in metres, articulation from which on it counts as folded in degrees. */
  constructor(length: number, jackknifeAngle: number) {
    this.length = length;
    this.jackknifeAngle = jackknifeAngle;
    this.stop = Math.max(SQUARE, jackknifeAngle);
  }

  /** Start in line with the machine, degrees, and anywhere between the jackknife angles for all that is known. */
  begin(heading: number): void {
    this.heading = heading;
    this.toLeft = this.jackknifeAngle;
    this.toRight = this.jackknifeAngle;
  }

  /** Start at a known heading, degrees. */
  beginAt(heading: number): void {
    this.heading = heading;
    this.toLeft = LEAST_BOUND;
    this.toRight = LEAST_BOUND;
  }

  /** Take the hitch along an arc: its chord in metres east and north, the turn in degrees. */
  pull(dx: number, dy: number, turn: number): void {
    const chord = Math.sqrt(dx * dx + dy * dy);
    // a hitch that does not move turns no drawbar
    if (chord === 0) return;
    const full = turn * RADIANS;
    const half = full / 2;
    const way = (half === 0 ? chord : (chord * half) / Math.sin(half)) / this.length;
    const angle = Math.atan2(dx, dy) - half - this.heading * RADIANS;
    const swing = drawbarSwing(angle, way, full) / RADIANS;
    this.heading = wrapHeading(this.heading + turn - swing);
    // drawn forwards the headings only come together: nothing to reckon where they are together already
    const together = this.toLeft === LEAST_BOUND && this.toRight === LEAST_BOUND;
    if (together && Math.abs(turn) < EASY && Math.cos(angle) > 0.5) return;
    // the order of two headings never changes on the way, so all others stay between these two
    const left = drawbarSwing(angle + this.toLeft * RADIANS, way, full) / RADIANS;
    const right = drawbarSwing(angle - this.toRight * RADIANS, way, full) / RADIANS;
    this.toLeft += wrapDifference(left - swing);
    this.toRight += wrapDifference(swing - right);
  }

  /** Less is known of the heading: by so many degrees to either side. */
  widen(degrees: number): void {
    this.toLeft += degrees;
    this.toRight += degrees;
  }

  /** Keep it between its stops behind a machine of this heading, degrees. */
  limit(machine: number): void {
    const most = this.jackknifeAngle;
    let articulation = wrapDifference(this.heading - machine);
    if (Math.abs(articulation) > this.stop) {
      articulation = articulation < 0 ? -this.stop : this.stop;
      this.heading = machine + articulation;
    }
    this.articulation = articulation;
    const folded = Math.abs(articulation) >= most;
    // what is possible lies between the two jackknife angles; a folded one may stand anywhere there when it comes free
    const left = Math.max(LEAST_BOUND, most + articulation);
    const right = Math.max(LEAST_BOUND, most - articulation);
    this.toLeft = folded ? left : Math.max(LEAST_BOUND, Math.min(this.toLeft, left));
    this.toRight = folded ? right : Math.max(LEAST_BOUND, Math.min(this.toRight, right));
    this.folded = folded;
  }
}
