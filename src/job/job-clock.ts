/** What is farther from 1970 than this is no time, s; the monitor has the same bound. */
const LATEST = 1e12;
/** A longer silence than this is no working time: the receiver or the machine was switched off, s. */
const LONGEST_SILENCE = 60;

/** Time of a job, as its fixes tell it. */
export class JobClock {
  /** a first fix was taken */
  started = false;
  /** s, of the first fix */
  startTime = 0;
  /** s, of the last fix */
  time = 0;

  /** Take a fix's time: s since the last fix; 0 at the first, after a clock set anew, after a long silence. */
  elapsed(time: number): number {
    if (!Number.isFinite(time) || !(Math.abs(time) <= LATEST)) return 0;
    const elapsed = time - this.time;
    this.time = time;
    if (!this.started) {
      this.started = true;
      this.startTime = time;
      return 0;
    }
    return elapsed > 0 && elapsed <= LONGEST_SILENCE ? elapsed : 0;
  }
}
