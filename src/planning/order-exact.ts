import type { DriveCosts } from "./order-cost.js";

/**
 * The best order of all, by dynamic programming over sets of passes (Bellman 1962; Held and Karp 1962): 2^n n² steps.
 *
 * @returns drives in order
 */
export function exactOrder(costs: DriveCosts): number[] {
  const n = costs.count;
  const drives = 2 * n;
  const sets = 2 ** n;
  const best = new Float64Array(sets * drives).fill(Number.POSITIVE_INFINITY);
  const before = new Int16Array(sets * drives).fill(-1);
  for (let d = 0; d < drives; d++) best[(1 << (d >> 1)) * drives + d] = costs.of(-1, d);
  for (let set = 1; set < sets; set++) {
    for (let a = 0; a < drives; a++) {
      const so = best[set * drives + a]!;
      if (so === Number.POSITIVE_INFINITY || (set & (1 << (a >> 1))) === 0) continue;
      for (let b = 0; b < drives; b++) {
        const bit = 1 << (b >> 1);
        if ((set & bit) !== 0) continue;
        const at = (set | bit) * drives + b;
        const cost = so + costs.of(a, b);
        if (cost < best[at]!) {
          best[at] = cost;
          before[at] = a;
        }
      }
    }
  }
  let set = sets - 1;
  let last = 0;
  for (let d = 1; d < drives; d++) {
    if (best[set * drives + d]! + costs.of(d, -1) < best[set * drives + last]! + costs.of(last, -1)) last = d;
  }
  const order: number[] = [];
  for (let d = last; d >= 0; ) {
    order.push(d);
    const previous = before[set * drives + d]!;
    set &= ~(1 << (d >> 1));
    d = previous;
  }
  return order.reverse();
}
