import type { Fix } from "./fix.js";
import type { FixMemory } from "./fix-memory.js";
import type { FixLimits } from "./fix-monitor-options.js";
import type { FixReason } from "./fix-state.js";
import { isKnown } from "./fix-step.js";

/** an accuracy counts this long after it was stated, s: it often comes once a second only */
const ACCURACY_HOLD = 2;
/** a limit that was passed holds again below this share of it */
const HYSTERESIS = 0.8;

/**
 * Whether a fix has a position at all.
 *
 * @param fix - any fix
 * @returns `none` when it has, else `no-position`, `null-island` or `not-finite`
 */
export function positionTrouble(fix: Fix): FixReason {
  if (!(fix.quality > 0)) return fix.latitude === 0 && fix.longitude === 0 ? "null-island" : "no-position";
  // text that reads as a number is none: it would stay in the memory as text
  if (!Number.isFinite(fix.latitude) || !Number.isFinite(fix.longitude)) return "not-finite";
  if (!(Math.abs(fix.latitude) <= 90 && Math.abs(fix.longitude) <= 360)) return "not-finite";
  return "none";
}

/**
 * Whether the position is as good as asked for. Limits have hysteresis: once passed, they hold again at 0.8 of themselves.
 *
 * @param fix - a fix with a position, in order of time
 * @param time - its time, s
 * @param memory - of the monitor; accuracy and the two hysteresis marks are updated
 * @param limits - of the monitor
 * @returns `none` when it is, else `quality`, `accuracy` or `correction-age`
 */
export function qualityTrouble(fix: Fix, time: number, memory: FixMemory, limits: FixLimits): FixReason {
  // hot: once a fix
  const accuracy = fix.horizontalAccuracy;
  if (isKnown(accuracy) && accuracy >= 0) {
    memory.accuracy = accuracy;
    memory.accuracyTime = time;
  } else if (time - memory.accuracyTime > ACCURACY_HOLD) memory.accuracy = -1;
  if (limits.qualities[fix.quality] !== true) return "quality";
  if (limits.maximumHorizontalAccuracy < Number.POSITIVE_INFINITY) {
    const most = limits.maximumHorizontalAccuracy * (memory.accuracyPoor ? HYSTERESIS : 1);
    memory.accuracyPoor = !(memory.accuracy >= 0 && memory.accuracy <= most);
    if (memory.accuracyPoor) return "accuracy";
  }
  // an autonomous position has no correction that could be old
  if (limits.maximumCorrectionAge < Number.POSITIVE_INFINITY && fix.quality >= 2 && fix.quality <= 5) {
    const most = limits.maximumCorrectionAge * (memory.correctionPoor ? HYSTERESIS : 1);
    const age = fix.correctionAge ?? Number.NaN;
    memory.correctionPoor = !(age >= 0 && age <= most);
    if (memory.correctionPoor) return "correction-age";
  }
  return "none";
}
