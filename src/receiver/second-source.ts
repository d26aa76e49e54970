import type { Fix } from "./fix.js";
import type { FixMemory } from "./fix-memory.js";
import type { FixLimits } from "./fix-monitor-options.js";
import { positionTrouble } from "./fix-quality.js";
import { isKnown } from "./fix-step.js";
import { levelDistance } from "./level-distance.js";

/** a limit that was passed holds again below this share of it */
const HYSTERESIS = 0.8;
/** a stated accuracy is taken at three times its value */
const SIGMAS = 3;
/** what the reported speed may be short of the driven one: a share, and m/s */
const SPEED_SHARE = 1.25;
const SPEED_MARGIN = 1;

/**
 * Take note of a fix of the second receiver; one without a good position is left out.
 *
 * @param fix - of the second receiver, its time on the scale of the first
 * @param memory - of the monitor
 * @param limits - of the monitor
 */
export function noteSecond(fix: Fix, memory: FixMemory, limits: FixLimits): void {
  if (!fix || !Number.isFinite(fix.time) || positionTrouble(fix) !== "none") return;
  if (limits.qualities[fix.quality] !== true) return;
  memory.hasSecond = true;
  memory.secondTime = fix.time;
  memory.secondLatitude = fix.latitude;
  memory.secondLongitude = fix.longitude;
  const accuracy = fix.horizontalAccuracy;
  memory.secondAccuracy = isKnown(accuracy) ? Math.max(0, accuracy) : 0;
}

/**
 * Whether both receivers cannot be right. A second one that is silent for longer than the maximum age says nothing.
 *
 * @param fix - of the first receiver, with a position
 * @param memory - of the monitor; the mark of hysteresis is updated
 * @param limits - of the monitor
 * @param maximumAge - s
 */
export function sourcesDisagree(fix: Fix, memory: FixMemory, limits: FixLimits, maximumAge: number): boolean {
  // hot: once a fix
  if (!memory.hasSecond) return false;
  const apart = Math.abs(fix.time - memory.secondTime);
  if (!(apart <= maximumAge)) {
    memory.sourcesPoor = false;
    return false;
  }
  const { speed } = fix;
  const driven = isKnown(speed) && speed >= 0 ? SPEED_SHARE * speed + SPEED_MARGIN : limits.maximumSpeed;
  const most =
    limits.maximumDisagreement * (memory.sourcesPoor ? HYSTERESIS : 1) +
    driven * apart +
    SIGMAS * (Math.max(0, memory.accuracy) + memory.secondAccuracy);
  const distance = levelDistance(fix.latitude, fix.longitude, memory.secondLatitude, memory.secondLongitude);
  memory.sourcesPoor = distance > most;
  return memory.sourcesPoor;
}
