import type { DriveCosts } from "./order-cost.js";

/** Steps of the ascent. */
const ROUNDS = 200;

/**
 * A cost that no order can be below: the spanning tree over the passes and the start, raised by penalties on passes that
 * it meets more or less than twice (Held and Karp, Operations Research 18, 1970).
 *
 * @param upper - cost of an order that is known
 */
export function lowerBound(costs: DriveCosts, upper: number): number {
  // a closed tour: home leads back to the start by a node of its own
  const nodes = costs.count + 1;
  const home = costs.count;
  const weights = new Float64Array(nodes * nodes);
  for (let i = 0; i < nodes; i++) {
    for (let k = 0; k < nodes; k++)
      weights[i * nodes + k] = i === k ? Number.POSITIVE_INFINITY : least(costs, i, k, home);
  }
  if (nodes < 3) return costs.count === 1 ? weights[1]! + weights[nodes]! - Math.max(0, slack(costs)) : 0;
  const penalties = new Float64Array(nodes);
  const degrees = new Int32Array(nodes);
  let best = 0;
  let step = 2;
  for (let round = 0; round < ROUNDS; round++) {
    const bound = oneTree(weights, penalties, degrees, nodes);
    if (bound > best) best = bound;
    else if (round % 10 === 9) step *= 0.7;
    let square = 0;
    for (let i = 0; i < nodes; i++) square += (degrees[i]! - 2) ** 2;
    if (square === 0) break;
    const size = (step * Math.max(upper - bound, 1e-9 * (1 + upper))) / square;
    for (let i = 0; i < nodes; i++) penalties[i]! += size * (degrees[i]! - 2);
  }
  return Math.min(best, upper);
}

/** With one pass only the better of its two directions counts. */
function slack(costs: DriveCosts): number {
  return costs.of(-1, 0) + costs.of(0, -1) < 0 ? 1 : 0;
}

/** Least cost between two nodes, whatever ends are used and whichever comes first. */
function least(costs: DriveCosts, i: number, k: number, home: number): number {
  let cost = Number.POSITIVE_INFINITY;
  for (let a = 0; a < 2; a++) {
    for (let b = 0; b < 2; b++) {
      const from = i === home ? -1 : 2 * i + a;
      const to = k === home ? -1 : 2 * k + b;
      cost = Math.min(cost, costs.of(from, to), costs.of(to, from));
    }
  }
  return cost;
}

/** Cheapest 1-tree under penalties: a spanning tree of all but node 0 (Prim), and the two cheapest edges of node 0. */
function oneTree(weights: Float64Array, penalties: Float64Array, degrees: Int32Array, nodes: number): number {
  degrees.fill(0);
  const near = new Float64Array(nodes).fill(Number.POSITIVE_INFINITY);
  const link = new Int32Array(nodes).fill(-1);
  const done = new Uint8Array(nodes);
  let total = 0;
  let at = 1;
  done[1] = 1;
  const weight = (i: number, k: number): number => weights[i * nodes + k]! + penalties[i]! + penalties[k]!;
  for (let count = 2; count < nodes; count++) {
    let next = -1;
    for (let k = 1; k < nodes; k++) {
      if (done[k] === 1) continue;
      const w = weight(at, k);
      if (w < near[k]!) {
        near[k] = w;
        link[k] = at;
      }
      if (next < 0 || near[k]! < near[next]!) next = k;
    }
    total += near[next]!;
    degrees[next]!++;
    degrees[link[next]!]!++;
    done[next] = 1;
    at = next;
  }
  let first = -1;
  let second = -1;
  for (let k = 1; k < nodes; k++) {
    if (first < 0 || weight(0, k) < weight(0, first)) {
      second = first;
      first = k;
    } else if (second < 0 || weight(0, k) < weight(0, second)) second = k;
  }
  total += weight(0, first) + weight(0, second);
  degrees[0] = 2;
  degrees[first]!++;
  degrees[second]!++;
  for (let i = 0; i < nodes; i++) total -= 2 * penalties[i]!;
  return total;
}
