import { RADIANS } from "../geometry/index.js";
import type { PlanGround } from "./plan-ground.js";

/** Directions that differ by no more are one, degrees. */
export const SAME_DIRECTION = 0.5;

/**
 * Directions of edges, 0 to 180 degrees; of those within half a degree of a longer edge's the longer edge's own.
 *
 * @internal
 */
export function edgeDirections(ground: PlanGround, same: number = SAME_DIRECTION): number[] {
  const { edges } = ground;
  const found: { heading: number; length: number }[] = [];
  for (let i = 0; i < edges.length; i += 4) {
    const dx = edges[i + 2]! - edges[i]!;
    const dy = edges[i + 3]! - edges[i + 1]!;
    found.push({ heading: axis(Math.atan2(dx, dy) / RADIANS), length: Math.hypot(dx, dy) });
  }
  found.sort((a, b) => b.length - a.length || a.heading - b.heading);
  // hot: a boundary of n vertices asks n² / 2 times; headings are axes already
  const kept: number[] = [];
  for (const { heading } of found) {
    let near = false;
    for (let k = 0; k < kept.length && !near; k++) {
      const apart = Math.abs(kept[k]! - heading);
      near = apart <= same || 180 - apart <= same;
    }
    if (!near) kept.push(heading);
  }
  return kept;
}

/** A heading and its reverse as one number, from 0 to less than 180 degrees. */
export function axis(heading: number): number {
  const rest = heading % 180;
  const turned = rest < 0 ? rest + 180 : rest;
  return turned >= 180 ? 0 : turned;
}

/** Angle between two directions, whichever way they are driven, 0 to 90 degrees. */
export function axisDifference(a: number, b: number): number {
  const apart = Math.abs(axis(a) - axis(b));
  return Math.min(apart, 180 - apart);
}
