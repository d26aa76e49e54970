import type { Point } from "../geometry/types.js";
import { requireNumber } from "../errors/require.js";
import { type GuidancePattern, requireInteger } from "./guidance-pattern.js";
import { placeBeside } from "./place-beside.js";
import { requireNear } from "./require-near.js";
import { requirePattern, requireRule } from "./require-pattern.js";
import { roomInside, VANISHED } from "./room-inside.js";

/**
 * Lowest number a pattern has; minus infinity where there is no limit.
 *
 * Limits are the propagation, `swathsLeft`, and the inside of a loop: no pass is as far inside as the loop's inradius.
 *
 * @throws `FeeringError` as `guidancePattern` for a damaged pattern
 */
export function lowestPass(pattern: GuidancePattern): number {
  requireRule(pattern);
  if (pattern.propagation === "right" || pattern.propagation === "none") return pattern.firstPass;
  const asked = pattern.firstPass - (pattern.swathsLeft ?? Number.POSITIVE_INFINITY);
  const room = roomInside(pattern.line);
  if (room === undefined || room.right) return asked;
  return Math.max(asked, pattern.firstPass - within(room.distance + pattern.firstPassOffset, pattern.swathWidth));
}

/** Highest number a pattern has; infinity where there is no limit. See {@link lowestPass}. */
export function highestPass(pattern: GuidancePattern): number {
  requireRule(pattern);
  if (pattern.propagation === "left" || pattern.propagation === "none") return pattern.firstPass;
  const asked = pattern.firstPass + (pattern.swathsRight ?? Number.POSITIVE_INFINITY);
  const room = roomInside(pattern.line);
  if (room === undefined || !room.right) return asked;
  return Math.min(asked, pattern.firstPass + within(room.distance - pattern.firstPassOffset, pattern.swathWidth));
}

// how many whole widths fit into a distance with something left over
function within(distance: number, width: number): number {
  return Math.floor((distance - VANISHED) / width);
}

/**
 * Why a pattern has no pass of a number.
 *
 * @param pattern - from `guidancePattern`
 * @param pass - its number, integer
 * @returns `"vanished"` where the loop has shrunk to nothing there, `"propagation"` where the pattern's own limits stop
 * short of it, null where the pattern has the pass. That a pass misses a field, or that a curve nearer to itself trims all
 * of it away, is for `passLine` to find
 * @throws `FeeringError` `not-finite` or `out-of-range` for a number that is not whole
 */
export function whyNoPass(pattern: GuidancePattern, pass: number): "vanished" | "propagation" | null {
  const number = requireInteger(pass, "pass");
  if (number >= lowestPass(pattern) && number <= highestPass(pattern)) return null;
  const room = roomInside(pattern.line);
  const offset = passOffset(pattern, number);
  const inside = room === undefined ? Number.NEGATIVE_INFINITY : room.right ? offset : -offset;
  return room !== undefined && inside >= room.distance - VANISHED ? "vanished" : "propagation";
}

/**
 * Distance of a pass from the reference line, metres, right positive.
 *
 * @throws `FeeringError` `not-finite` for a bad number, and as `guidancePattern` for a damaged pattern
 */
export function passOffset(pattern: GuidancePattern, pass: number): number {
  requireRule(pattern);
  requireNumber(pass, "pass");
  return pattern.firstPassOffset + (pass - pattern.firstPass) * pattern.swathWidth + 0;
}

/**
 * The pass nearest to a point, among those that the pattern has.
 *
 * Half-way between two passes it is the one to the right, within rounding.
 *
 * @param pattern - from `guidancePattern`
 * @param point - metres
 * @returns pass number
 * @throws `FeeringError` `not-finite` or `out-of-range` (beyond 1e8 m) for a bad point, and as `guidancePattern` for a damaged
 * pattern
 */
export function nearestPass(pattern: GuidancePattern, point: Point): number {
  requirePattern(pattern);
  requireNear(point, "point");
  const away = placeBeside(pattern, point).right - pattern.firstPassOffset;
  const pass = pattern.firstPass + Math.round(away / pattern.swathWidth);
  return Math.min(highestPass(pattern), Math.max(lowestPass(pattern), pass)) + 0;
}
