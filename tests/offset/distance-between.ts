import { DistanceField } from "./distance-field.js";
import { lengthOf } from "./engine.js";
import type { Chain } from "./judgement.js";

/**
 * Largest distance from a vertex of one drawing to the other drawing, both ways, metres. Chains shorter than `ignore` need
 * no counterpart: at a limit they may come and go.
 */
export function distanceBetween(a: readonly Chain[], b: readonly Chain[], ignore: number): number {
  return Math.max(oneWay(a, b, ignore), oneWay(b, a, ignore));
}

function oneWay(from: readonly Chain[], to: readonly Chain[], ignore: number): number {
  const flat: number[] = [];
  for (const { points } of to) {
    for (let i = 1; i < points.length; i++)
      flat.push(points[i - 1]![0], points[i - 1]![1], points[i]![0], points[i]![1]);
  }
  const field = new DistanceField(Float64Array.from(flat));
  let worst = 0;
  for (const chain of from) {
    if (lengthOf([chain]) <= ignore) continue;
    for (const [x, y] of chain.points) worst = Math.max(worst, field.distance(x - field.originX, y - field.originY));
  }
  return worst;
}
