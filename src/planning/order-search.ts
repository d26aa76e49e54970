import type { DriveCosts } from "./order-cost.js";

/** With more passes than this only the cheapest starts are searched from. */
const MANY = 60;
const FEW_STARTS = 4;
/** An improvement smaller than this is rounding. */
const GAIN = 1e-9;

/**
 * A good order by local search from several starts, and from the best of them again after small upsets. The same problem
 * always gives the same order.
 *
 * @param starts - orders to begin from
 * @param upsets - how often the best one is upset and searched from again
 */
export function searchOrder(costs: DriveCosts, starts: readonly (readonly number[])[], upsets: number): number[] {
  let best: number[] = [];
  let bestCost = Number.POSITIVE_INFINITY;
  const take = (order: number[]): void => {
    improve(costs, order);
    const cost = costs.total(order);
    if (cost < bestCost - GAIN || best.length === 0) {
      best = order;
      bestCost = cost;
    }
  };
  const all = [...starts, ...spread(2 * costs.count, 8).map((first) => nearestNext(costs, first))];
  if (costs.count > MANY) all.sort((a, b) => costs.total(a) - costs.total(b)).splice(FEW_STARTS);
  for (const start of all) take([...start]);
  const next = chances(costs.count);
  if (costs.count >= 4) for (let k = 0; k < upsets; k++) take(upset(best, next));
  return best;
}

/** Some of 0 to n - 1, evenly. */
function spread(n: number, count: number): number[] {
  return Array.from({ length: Math.min(n, count) }, (_, i) => Math.floor((i * n) / Math.min(n, count)));
}

/** Always on to the cheapest drive left. */
function nearestNext(costs: DriveCosts, first: number): number[] {
  const order = [first];
  const left = new Set(Array.from({ length: costs.count }, (_, i) => i));
  left.delete(first >> 1);
  for (let last = first; left.size > 0; ) {
    let best = -1;
    for (const pass of left) {
      for (const drive of [2 * pass, 2 * pass + 1])
        if (best < 0 || costs.of(last, drive) < costs.of(last, best)) best = drive;
    }
    order.push(best);
    left.delete(best >> 1);
    last = best;
  }
  return order;
}

/** Change for the better until nothing is left: turn a stretch round, move a stretch of up to three, turn one drive round. */
function improve(costs: DriveCosts, order: number[]): void {
  const symmetric = isSymmetric(costs);
  for (let better = true; better; ) {
    better = turnStretch(costs, order, symmetric);
    better = moveStretch(costs, order) || better;
  }
}

const symmetries = new WeakMap<DriveCosts, boolean>();

/** Whether a way costs the same there and back, so that a stretch turned round costs what it did inside. */
function isSymmetric(costs: DriveCosts): boolean {
  const known = symmetries.get(costs);
  if (known !== undefined) return known;
  let same = true;
  const drives = 2 * costs.count;
  for (let a = 0; a < drives && same; a++) {
    for (let b = 0; b < drives && same; b++) {
      if (a >> 1 !== b >> 1) same = Math.abs(costs.of(a, b) - costs.of(b ^ 1, a ^ 1)) <= GAIN;
    }
  }
  symmetries.set(costs, same);
  return same;
}

function turnStretch(costs: DriveCosts, order: number[], symmetric: boolean): boolean {
  const n = order.length;
  let found = false;
  const at = (i: number): number => (i < 0 || i >= n ? -1 : order[i]!);
  for (let i = 0; i < n; i++) {
    let inside = 0;
    let turned = 0;
    for (let k = i; k < n; k++) {
      if (!symmetric && k > i) {
        inside += costs.of(order[k - 1]!, order[k]!);
        turned += costs.of(order[k]! ^ 1, order[k - 1]! ^ 1);
      }
      const now = costs.of(at(i - 1), order[i]!) + inside + costs.of(order[k]!, at(k + 1));
      const then = costs.of(at(i - 1), order[k]! ^ 1) + turned + costs.of(order[i]! ^ 1, at(k + 1));
      if (then < now - GAIN) {
        for (let a = i, b = k; a <= b; a++, b--) {
          const left = order[a]! ^ 1;
          order[a] = order[b]! ^ 1;
          order[b] = left;
        }
        [inside, turned] = [turned, inside];
        found = true;
      }
    }
  }
  return found;
}

function moveStretch(costs: DriveCosts, order: number[]): boolean {
  const n = order.length;
  let found = false;
  for (let size = 1; size <= Math.min(3, n - 1); size++) {
    for (let i = 0; i + size <= n; i++) {
      const at = (k: number): number => (k < 0 || k >= n ? -1 : order[k]!);
      const first = order[i]!;
      const last = order[i + size - 1]!;
      const freed = costs.of(at(i - 1), first) + costs.of(last, at(i + size)) - costs.of(at(i - 1), at(i + size));
      let inside = 0;
      let turned = 0;
      for (let k = i + 1; k < i + size; k++) {
        inside += costs.of(order[k - 1]!, order[k]!);
        turned += costs.of(order[k]! ^ 1, order[k - 1]! ^ 1);
      }
      let best = freed - GAIN;
      let place = -1;
      let flip = false;
      for (let k = 0; k <= n; k++) {
        if (k >= i && k <= i + size) continue;
        const a = at(k - 1);
        const b = at(k);
        const open = costs.of(a, b);
        const straight = costs.of(a, first) + costs.of(last, b) - open;
        const round = costs.of(a, last ^ 1) + costs.of(first ^ 1, b) - open + turned - inside;
        if (straight < best) [best, place, flip] = [straight, k, false];
        if (round < best) [best, place, flip] = [round, k, true];
      }
      if (place < 0) continue;
      const stretch = order.splice(i, size);
      if (flip) stretch.reverse().forEach((drive, k) => (stretch[k] = drive ^ 1));
      order.splice(place > i ? place - size : place, 0, ...stretch);
      found = true;
    }
  }
  return found;
}

/** Cut in four and put together as first, third, second, fourth (double bridge, Martin, Otto and Felten 1991). */
function upset(order: readonly number[], next: () => number): number[] {
  const n = order.length;
  const cuts = [1 + Math.floor(next() * (n - 1)), 1 + Math.floor(next() * (n - 1)), 1 + Math.floor(next() * (n - 1))];
  cuts.sort((a, b) => a - b);
  const [a, b, c] = cuts as [number, number, number];
  return [...order.slice(0, a), ...order.slice(b, c), ...order.slice(a, b), ...order.slice(c)];
}

/** Numbers in 0..1, the same for the same count: a linear congruence (Numerical Recipes, 2nd ed., 7.1). */
function chances(seed: number): () => number {
  let state = (seed * 2654435761) >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 4294967296;
  };
}
