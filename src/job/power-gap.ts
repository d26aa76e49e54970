import type { FieldJob } from "./field-job.js";

/** Later than any fix that may follow, s: what was under way has long landed then, and no place is near enough in time to be joined. */
const LONG_AFTER = 1e6;

/**
 * What a power cut does to a job: all sections are off, nothing that was in the air is marked, and the next place is joined to none
 * before it. Everything else stays as it was.
 */
export function powerGap(job: FieldJob): void {
  if (!job.state.paused) {
    // the way is counted anew from the next place
    job.pause();
    job.resume();
  }
  job.tick(job.state.time + LONG_AFTER);
}
