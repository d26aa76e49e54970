import { LineIndex, type Point, type Ring } from "../geometry/index.js";
import { offsetAgain } from "./offset-again.js";

/** what a machine may leave its line by in a bend and still be said to follow it, metres: steering noise */
const LEAST_DEPARTURE = 0.05;

/**
 * Where a ring bends about what lies outside the ground driven on more tightly than a radius allows: the place at which a
 * disc of that radius, rolled along it there, leaves it by most; `undefined` where that is less than 5 cm everywhere.
 *
 * @param ring - closed, metres
 * @param around - whether the ring runs round an obstacle, so that the disc rolls inside it; else it rolls outside
 *
 * @internal
 */
export function tightTurn(ring: Ring, around: boolean, radius: number, tolerance: number): Point | undefined {
  const polygon = { exterior: ring, holes: [] };
  const first = around ? -radius : radius;
  const rolled = offsetAgain(offsetAgain([polygon], first, { tolerance }), -first, { tolerance });
  const lines = rolled.flatMap((part) => [part.exterior, ...part.holes]);
  if (lines.length === 0) return ring[0]!;
  const places = around ? ring : lines.flat();
  const indexes = (around ? lines : [ring]).map((line) => new LineIndex(line));
  let worst: Point | undefined;
  let most = LEAST_DEPARTURE;
  for (const p of places) {
    let gap = Number.POSITIVE_INFINITY;
    for (const index of indexes) gap = Math.min(gap, index.nearest(p[0], p[1]).distance);
    if (gap > most) {
      most = gap;
      worst = p;
    }
  }
  return worst;
}
