import { FeeringError, requirePoints } from "../errors/index.js";
import type { Ring } from "../geometry/types.js";

/** Check a ring at set-up: finite points, three distinct ones at least. */
export function requireRing(ring: Ring, argument: string): void {
  requirePoints(ring, argument, 3);
  let distinct = 0;
  let first = 0;
  let second = 0;
  for (let i = 0; i < ring.length && distinct < 3; i++) {
    const [x, y] = ring[i]!;
    const same = (j: number): boolean => ring[j]![0] === x && ring[j]![1] === y;
    if (distinct === 0) {
      distinct = 1;
      first = i;
    } else if (distinct === 1 && !same(first)) {
      distinct = 2;
      second = i;
    } else if (distinct === 2 && !same(first) && !same(second)) distinct = 3;
  }
  if (distinct < 3) {
    throw new FeeringError("too-few-points", `${argument} has ${distinct} distinct points, needs 3`, {
      argument,
      value: distinct,
    });
  }
}
