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
  travel = 0;
  /** when it held, s */
  time = 0;

  /** Forget the direction of travel, not the sense: what the machine did in a gap is not known. */
  forget(): void {
    this.stood = false;
    this.known = false;
  }

  /** A course against the machine's own heading, both degrees. */
  compare(course: number, heading: number): void {
    const against = Math.abs(wrapDifference(course - heading));
    if (against > REVERSED) this.reversing = true;
    else if (against < FORWARD) this.reversing = false;
  }

  /** A course against the last one: degrees at time s; no machine turns faster than `maximumRate` degrees/s. */
  follow(course: number, time: number, maximumRate: number): void {
    const turned = Math.abs(wrapDifference(course - this.travel));
    const tooQuick = turned > maximumRate * Math.max(0, time - this.time);
    if (turned > REVERSED && (this.stood || tooQuick)) this.reversing = !this.reversing;
  }

  /** The first course after a gap against the heading held through it, degrees: only a plain answer counts. */
  resume(course: number, held: number): void {
    if (Math.abs(wrapDifference(course - held)) < FORWARD) this.reversing = false;
  }

  /** Keep a course as the direction of travel: degrees at time s. */
  keep(course: number, time: number): void {
    this.known = true;
    this.travel = course;
    this.time = time;
    this.stood = false;
  }
}
