import { wrapDifference } from "../geometry/angle.js";

/** A change of travel by more than this, or a course against the heading by more than this, is a reversal, degrees. */
const REVERSED = 120;
/** A course nearer to the heading than this is forward, degrees; between the two the sense stays as it was. */
const FORWARD = 60;

/** Whether a machine drives forward or backward, from its courses. */
export class TravelSense {
  /** whether it drives backwards */
  reversing = false;
  /** whether it stood still since the last course */
  stood = false;
  /** whether there is a direction of travel to compare with */
  known = false;
  /** last direction of travel, degrees */
  travel = 0.5;
  /** when it held, s */
  time = 0.5;
  /** the course that is looked at, degrees; this and its time in fields: numbers handed from call to call would be boxed */
  course = 0.5;
  /** when it held, s */
  courseTime = 0.5;
  /** what it is compared with, degrees */
  heading = 0.5;
  /** no machine turns faster, degrees/s */
  readonly #maximumRate: number;

  /** Bound of the turn rate, degrees/s. */
  constructor(maximumRate: number) {
    this.#maximumRate = maximumRate;
  }

  /** Forget the direction of travel, not the sense: what the machine did in a gap is not known. */
  forget(): void {
    this.stood = false;
    this.known = false;
  }

  /** The course against the machine's own heading. */
  compare(): void {
    const against = Math.abs(wrapDifference(this.course - this.heading));
    if (against > REVERSED) this.reversing = true;
    else if (against < FORWARD) this.reversing = false;
  }

  /** The course against the last one. */
  follow(): void {
    const turned = Math.abs(wrapDifference(this.course - this.travel));
    const tooQuick = turned > this.#maximumRate * Math.max(0, this.courseTime - this.time);
    if (turned > REVERSED && (this.stood || tooQuick)) this.reversing = !this.reversing;
  }

  /** The first course after a gap against the heading held through it: only a plain answer counts. */
  resume(): void {
    if (Math.abs(wrapDifference(this.course - this.heading)) < FORWARD) this.reversing = false;
  }

  /** Keep the course as the direction of travel. */
  keep(): void {
    this.known = true;
    this.travel = this.course;
    this.time = this.courseTime;
    this.stood = false;
  }
}
