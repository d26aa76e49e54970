import type { FixMemory } from "./fix-memory.js";
import type { FixLimits } from "./fix-monitor-options.js";
import type { FixReason } from "./fix-state.js";
import { isRollover } from "./rollover.js";

/** two times nearer than this are one, s: no receiver sends 1000 fixes a second */
export const SAME_TIME = 1e-3;
/** time steps that differ by less than this share are one rate */
const SAME_RATE = 0.2;

/**
 * Place a time among those before, and learn the rate.
 *
 * @param time - s, finite
 * @param dated - whether it is Unix time
 * @param memory - of the monitor; a clock that was set or began again begins a new time base there
 * @param limits - of the monitor
 * @returns `none` where it goes on, else `same-time` or `time-back`
 */
export function timeOrder(time: number, dated: boolean, memory: FixMemory, limits: FixLimits): FixReason {
  // hot: once a fix
  if (!memory.started) {
    memory.started = true;
    memory.dated = dated;
    memory.first = time;
    memory.latest = time;
    return "none";
  }
  if (dated !== memory.dated) {
    memory.dated = dated;
    newTimeBase(time, "new-time-base", memory);
    return "none";
  }
  const step = time - memory.latest;
  if (isRollover(step, dated)) {
    newTimeBase(time, "rollover", memory);
    return "none";
  }
  if (step >= SAME_TIME) {
    memory.backRun = 0;
    memory.sameRun = 0;
    if (Math.abs(step - memory.lastInterval) <= SAME_RATE * step) memory.interval = step;
    memory.lastInterval = step;
    memory.latest = time;
    return "none";
  }
  if (step > -SAME_TIME) {
    memory.sameRun++;
    return "same-time";
  }
  memory.backRun = time - memory.backTime >= SAME_TIME ? memory.backRun + 1 : 1;
  memory.backTime = time;
  // one alone is a late fix, whatever the settings
  if (memory.backRun < Math.max(2, limits.recoverAfter)) return "time-back";
  // several in a row, rising: not late ones but a clock that was set
  newTimeBase(time, "new-time-base", memory);
  return "none";
}

/**
 * Sections off; good fixes are counted anew.
 *
 * @param memory - of the monitor
 * @param reason - what is recovered from
 */
export function stopWork(memory: FixMemory, reason: FixReason): void {
  memory.usable = false;
  memory.run = 0;
  memory.trouble = reason;
  // what check repeats must not say good while sections are off
  if (memory.status === "good") {
    memory.status = "recovering";
    memory.reason = reason;
  }
}

function newTimeBase(time: number, reason: FixReason, memory: FixMemory): void {
  memory.first = time;
  memory.latest = time;
  memory.lastInterval = 0;
  memory.backRun = 0;
  memory.sameRun = 0;
  memory.hasGood = false;
  memory.jumpRun = 0;
  memory.accuracy = -1;
  memory.accuracyTime = time;
  memory.speedTrust = 0;
  memory.notBefore = time;
  memory.hasSecond = false;
  stopWork(memory, reason);
}
