/** Seconds of the 1024 weeks after which the week number that GPS sends starts again (IS-GPS-200, 10 bits), and of a day. */
const WEEKS = 1024 * 7 * 86_400;
const DAY = 86_400;
/** A rollover comes between two fixes: the step is off by no more than the longest time between fixes that are joined, s. */
const SLACK = 1.5;

/**
 * Whether a step in time is that of a counter that began again.
 *
 * @param step - s, from the latest time
 * @param dated - whether the times are Unix time: there a day is no rollover
 */
export function isRollover(step: number, dated: boolean): boolean {
  if (Math.abs(Math.abs(step) - WEEKS) <= SLACK) return true;
  return !dated && Math.abs(step + DAY) <= SLACK;
}
