import type { GeographicPosition } from "../frames/position.js";

/** Difference of two longitudes the short way, degrees; accurate enough to tell one turn of a ring from the other. */
export function across(from: number, to: number): number {
  // hot: once an edge; most have no use for the remainder, which is slow
  const plain = to - from;
  if (plain >= -180 && plain <= 180) return plain;
  const d = plain % 360;
  return d > 180 ? d - 360 : d < -180 ? d + 360 : d;
}

/** Whether two positions are the same place on the ground, a turn of 360 degrees aside; altitudes play no part. */
export function samePlace(a: GeographicPosition, b: GeographicPosition): boolean {
  return a.latitude === b.latitude && across(a.longitude, b.longitude) === 0;
}

/** Twice the signed area of a closed ring in degrees of longitude and latitude; counter-clockwise positive. */
export function turn(ring: readonly GeographicPosition[]): number {
  const first = ring[0]!;
  let twice = 0;
  let px = 0;
  let py = 0;
  for (let i = 1; i < ring.length; i++) {
    const x = px + across(ring[i - 1]!.longitude, ring[i]!.longitude);
    const y = ring[i]!.latitude - first.latitude;
    twice += px * y - x * py;
    px = x;
    py = y;
  }
  return twice;
}

/**
 * A ring closed and wound as RFC 7946 3.1.6 asks: exterior counter-clockwise, holes clockwise. Neighbours at the same
 * place are kept as they are.
 */
export function healedRing(ring: readonly GeographicPosition[], counterClockwise: boolean): GeographicPosition[] {
  const healed = [...ring];
  if (samePlace(healed[0]!, healed[healed.length - 1]!)) healed.pop();
  healed.push(healed[0]!);
  const sense = turn(healed);
  if (sense !== 0 && sense > 0 !== counterClockwise) healed.reverse();
  return healed;
}

/** How many distinct places a ring has, counted up to three. */
export function distinctPlaces(ring: readonly GeographicPosition[]): number {
  const found: GeographicPosition[] = [];
  for (const position of ring) {
    if (!found.some((other) => samePlace(other, position))) found.push(position);
    if (found.length === 3) break;
  }
  return found.length;
}
