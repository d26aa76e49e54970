import type { Fix } from "../receiver/index.js";

/** What is farther from 1970 than this is no time, s; the monitor has the same bound. */
const LATEST = 1e12;
/** A longer silence than this is no working time: the receiver or the machine was switched off, s. */
const LONGEST_SILENCE = 60;

/** Time of a job, as its fixes tell it. */
export class JobClock {
  /** a first fix was taken */
  started = false;
  /** s, of the first fix */
  startTime = 0.5;
  /** s, of the last fix */
  time = 0.5;
  /** s since the fix before; 0 at the first, after a clock set anew, after a long silence */
  elapsed = 0.5;

  constructor() {
    this.startTime = 0;
    this.time = 0;
    this.elapsed = 0;
  }

  /** Take the time of a fix, where it is one. */
  take(fix: Fix): void {
    this.elapsed = 0;
    if (fix === undefined || fix === null) return;
    const time = fix.time;
    if (!Number.isFinite(time) || !(Math.abs(time) <= LATEST)) return;
    const elapsed = time - this.time;
    this.time = time;
    if (!this.started) {
      this.started = true;
      this.startTime = time;
    } else if (elapsed > 0 && elapsed <= LONGEST_SILENCE) this.elapsed = elapsed;
  }
}
