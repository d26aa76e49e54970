import type { Fix } from "./fix.js";
import type { FixMemory } from "./fix-memory.js";
import type { FixTravel } from "./fix-state.js";
import { isKnown } from "./fix-step.js";
import { levelDistance } from "./level-distance.js";

/** a machine that stays this near, m, or within three times the stated accuracy, for this long, s, stands: below 0.15 m/s */
const NEAR = 0.3;
const SIGMAS = 3;
/** an accuracy beyond this, m, says nothing of standing */
const WORST_ACCURACY = 1;
const LONG = 2;
/** below this speed, m/s, a course is noise */
const SLOWEST_COURSE = 0.3;
/** degrees between course and heading */
const BACKWARDS = 120;
const FORWARDS = 60;

/**
 * Whether the machine stands, by its places alone: a receiver's speed may be absent, late or always 0.
 *
 * @param fix - of a good place
 * @param connected - whether it may be joined with the one before
 * @param memory - of the monitor; the place from which standing is measured is updated
 */
export function isStanding(fix: Fix, connected: boolean, memory: FixMemory): boolean {
  // hot: once a fix
  const { latitude, longitude, time } = fix;
  const near = Math.max(NEAR, SIGMAS * Math.min(Math.max(0, memory.accuracy), WORST_ACCURACY));
  if (
    !connected ||
    !memory.hasAnchor ||
    levelDistance(memory.anchorLatitude, memory.anchorLongitude, latitude, longitude) > near
  ) {
    memory.hasAnchor = true;
    memory.anchorTime = time;
    memory.anchorLatitude = latitude;
    memory.anchorLongitude = longitude;
    return false;
  }
  return time - memory.anchorTime >= LONG;
}

/**
 * Which way the machine goes, where a fix carries course and heading.
 *
 * @param fix - any fix
 * @param before - the hint before, kept between the two angles
 */
export function travelOf(fix: Fix, before: FixTravel): FixTravel {
  // hot: once a fix
  const { course, heading, speed } = fix;
  if (!isKnown(course) || !isKnown(heading) || !isKnown(speed) || !(speed >= SLOWEST_COURSE)) return "unknown";
  const turn = Math.abs((course - heading) % 360);
  const apart = Math.min(turn, 360 - turn);
  if (apart >= BACKWARDS) return "backwards";
  if (apart < FORWARDS) return "forwards";
  return before;
}
