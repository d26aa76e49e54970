import { RADIANS, wrapDifference } from "../geometry/index.js";
import { cosDegrees, sinDegrees } from "../machine/degrees.js";
import type { Pose } from "./pose.js";

/** The goal as the start sees it: ahead and left in radii, turn in radians counter-clockwise. */
export interface LocalGoal {
  readonly x: number;
  readonly y: number;
  readonly turn: number;
}

/** See a goal from a start, lengths in radii. */
export function localGoal(from: Pose, to: Pose, radius: number): LocalGoal {
  const dx = (to.x - from.x) / radius;
  const dy = (to.y - from.y) / radius;
  const s = sinDegrees(from.heading);
  const c = cosDegrees(from.heading);
  return {
    x: dx * s + dy * c,
    y: dy * s - dx * c,
    // one rounding only: 90 degrees is a quarter of a turn to the last bit
    turn: -wrapDifference(to.heading - from.heading) * RADIANS,
  };
}

const TURN = 2 * Math.PI;

/** An angle in 0 (included) to a whole turn (excluded); what is a whole turn but for rounding is none. */
export function positiveAngle(angle: number): number {
  const rest = angle % TURN;
  const wrapped = rest < 0 ? rest + TURN : rest;
  return wrapped > TURN - WHOLE ? 0 : wrapped;
}

/** Nearer to a whole turn than this an angle is none: square roots of rounding come out as 1e-8, radians. */
const WHOLE = 1e-7;

/** An angle in more than minus half a turn to half a turn. */
export function signedAngle(angle: number): number {
  const rest = angle % TURN;
  if (rest <= -Math.PI) return rest + TURN;
  return rest > Math.PI ? rest - TURN : rest;
}
