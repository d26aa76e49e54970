import { requireNumber, requirePoints } from "../errors/index.js";
import type { Ring } from "../geometry/types.js";

/**
 * Standard deviation of a ring's area when each coordinate of each vertex has an independent error.
 *
 * For corners set one by one. Fixes of a driven lap are not independent of their neighbours: take the corners of its
 * simplified boundary.
 *
 * @param ring - open or closed, metres
 * @param deviation - standard deviation of x and of y of a vertex, metres, not negative
 * @returns m²: (s/2) sqrt(sum over i of |P(i+1) - P(i-1)|²); for a square of side a that is s a sqrt 2
 * @throws `FeeringError` `too-few-points`, `not-finite`, `out-of-range`
 * @see propagation of errors through the shoelace sum; checked by Monte Carlo in tests/survey/area-deviation.test.ts
 */
export function areaDeviation(ring: Ring, deviation: number): number {
  requirePoints(ring, "ring", 3);
  requireNumber(deviation, "deviation", { min: 0 });
  const first = ring[0]!;
  const last = ring[ring.length - 1]!;
  const n = first[0] === last[0] && first[1] === last[1] ? ring.length - 1 : ring.length;
  let sum = 0;
  for (let i = 0; i < n; i++) {
    const before = ring[(i + n - 1) % n]!;
    const after = ring[(i + 1) % n]!;
    sum += (after[0] - before[0]) ** 2 + (after[1] - before[1]) ** 2;
  }
  return requireNumber((deviation / 2) * Math.sqrt(sum), "deviation of the area");
}
