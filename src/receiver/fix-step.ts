import type { FixMemory } from "./fix-memory.js";
import type { FixLimits } from "./fix-monitor-options.js";
import { levelDistance } from "./level-distance.js";

/** what the reported speed may be short of the driven one: a share, and m/s */
const SPEED_SHARE = 1.25;
const SPEED_MARGIN = 1;
/** steps in a row that must fit the reported speed before it is believed */
const SPEED_TRUST = 10;
/** a stated accuracy is taken at three times its value (99.7 % of a normal error), and not beyond this, m */
const SIGMAS = 3;
const WORST_ACCURACY = 10;

/**
 * How far the machine can have come since the last good place: by its top speed, and by the reported speed at both ends where
 * that has fitted the steps for a while (a receiver that always says 0 must not make every step a jump).
 *
 * @param interval - since the last good place, s
 * @param speed - reported now, m/s, -1 where not known
 * @param step - from the last good place, m
 * @param memory - of the monitor; its trust in the reported speed is updated
 * @param limits - of the monitor
 * @param maximumAge - longest interval without a gap, s
 * @returns metres
 */
export function longestStep(
  interval: number,
  speed: number,
  step: number,
  memory: FixMemory,
  limits: FixLimits,
  maximumAge: number,
): number {
  // hot: once a fix
  const accuracy = Math.max(0, Math.min(memory.accuracy, WORST_ACCURACY));
  const margin = limits.jumpMargin + SIGMAS * accuracy;
  const longest = limits.maximumSpeed * interval + margin;
  if (!(speed >= 0 && memory.goodSpeed >= 0 && interval <= maximumAge)) return longest;
  const bySpeed = (SPEED_SHARE * Math.max(speed, memory.goodSpeed) + SPEED_MARGIN) * interval + margin;
  const believed = memory.speedTrust >= SPEED_TRUST;
  memory.speedTrust = step <= bySpeed ? Math.min(SPEED_TRUST, memory.speedTrust + 1) : 0;
  return believed ? Math.min(longest, bySpeed) : longest;
}

/**
 * How far a place is from the one that a jump led to.
 *
 * @param latitude - degrees
 * @param longitude - degrees
 * @param altitude - m, where known
 * @param time - s
 * @param memory - of the monitor
 * @param limits - of the monitor
 * @param maximumAge - longest interval without a gap, s
 * @returns metres; infinite where there was no jump just before, or the machine cannot have come from there
 */
export function stepFromJump(
  latitude: number,
  longitude: number,
  altitude: number | undefined,
  time: number,
  memory: FixMemory,
  limits: FixLimits,
  maximumAge: number,
): number {
  // hot: once a fix
  if (memory.jumpRun === 0) return Number.POSITIVE_INFINITY;
  const interval = time - memory.jumpTime;
  if (interval > maximumAge) return Number.POSITIVE_INFINITY;
  const step = levelDistance(memory.jumpLatitude, memory.jumpLongitude, latitude, longitude);
  if (memory.hasJumpAltitude && climbs(memory.jumpAltitude, altitude, step, limits)) return Number.POSITIVE_INFINITY;
  return step <= limits.maximumSpeed * interval + limits.jumpMargin ? step : Number.POSITIVE_INFINITY;
}

/**
 * Take note of a place after a jump.
 *
 * @param latitude - degrees
 * @param longitude - degrees
 * @param altitude - m, where known
 * @param time - s
 * @param agrees - whether it agrees with the one before
 * @param memory - of the monitor; the place and the count of those that agree are updated
 * @param limits - of the monitor
 * @returns whether enough in a row agree, so that the new place is to be taken
 */
export function noteJump(
  latitude: number,
  longitude: number,
  altitude: number | undefined,
  time: number,
  agrees: boolean,
  memory: FixMemory,
  limits: FixLimits,
): boolean {
  memory.jumpRun = agrees ? memory.jumpRun + 1 : 1;
  memory.jumpTime = time;
  memory.jumpLatitude = latitude;
  memory.jumpLongitude = longitude;
  memory.hasJumpAltitude = isKnown(altitude);
  memory.jumpAltitude = isKnown(altitude) ? altitude : 0;
  return memory.jumpRun >= limits.acceptJumpAfter;
}

/**
 * Whether the altitude stepped by more than a machine climbs: slopes of 100 % and the limit on top.
 *
 * @param before - m
 * @param after - m, false where not known
 * @param step - level distance between the places, m
 * @param limits - of the monitor
 */
export function climbs(before: number, after: number | undefined, step: number, limits: FixLimits): boolean {
  return isKnown(after) && Math.abs(after - before) > limits.maximumHeightStep + step;
}

/**
 * Whether a value is there: a number, and finite.
 *
 * @param value - of a fix
 */
export function isKnown(value: number | undefined): value is number {
  return Number.isFinite(value);
}
