import { requireNumber, requireObject } from "../errors/index.js";
import { lowerBound } from "./order-bound.js";
import { DriveCosts, type OrderProblem } from "./order-cost.js";
import { exactOrder } from "./order-exact.js";
import { searchOrder } from "./order-search.js";
import { passSequence } from "./pass-sequence.js";

/** How hard to look for an order. */
export interface OrderOptions {
  /** up to so many passes the best order of all is found, at most 15; default 10 */
  readonly exactUpTo?: number;
  /**
   * beyond: how often the best order is upset and searched from again; default three times the number of passes n, at
   * most 200 000 / n²
   */
  readonly upsets?: number;
}

/** One pass in an order. */
export interface OrderedPass {
  /** its number, from 0 */
  readonly pass: number;
  /** whether it is driven from its end to its start */
  readonly reversed: boolean;
}

/** An order of passes and what it costs. */
export interface PassOrder {
  /** the passes in driving order */
  readonly order: readonly OrderedPass[];
  /** sum of the costs between them, with start and end */
  readonly cost: number;
  /** no order costs less than this; equal to the cost where the order is the best of all */
  readonly lowerBound: number;
  /** whether every order was weighed */
  readonly exact: boolean;
}

/**
 * Put passes in the order that costs least, each driven once in either direction.
 *
 * Up to `exactUpTo` passes the best of all by dynamic programming; beyond, a local search from several starts (in sequence, with passes
 * skipped, nearest next) whose distance from the best is bounded by `lowerBound`. The same problem always gives the same order.
 *
 * @param problem - passes and costs
 * @param options - how hard to look
 * @returns order, cost and bound
 * @throws `FeeringError` `not-finite`, `out-of-range`, `too-large`
 *
 * @example
 * ```ts
 * // eight passes 3 m apart, turned at their ends with a radius of 6 m
 * const turn = (d: number) => headlandTurn({ x: 0, y: 0, heading: 0 }, { x: d, y: 0, heading: 180 }, { radius: 6 });
 * passOrder({ count: 8, cost: (a, aEnd, b, bEnd) => (aEnd === bEnd ? turn(3 * Math.abs(a - b)).length : Infinity) }).cost; // 140.95
 * ```
 */
export function passOrder(problem: OrderProblem, options: OrderOptions = {}): PassOrder {
  requireObject(options, "options");
  const exactUpTo = requireNumber(options.exactUpTo ?? 10, "options.exactUpTo", { min: 0, max: 15 });
  const costs = new DriveCosts(problem);
  const upsets = requireNumber(
    options.upsets ?? Math.min(3 * costs.count, Math.floor(2e5 / costs.count ** 2)),
    "options.upsets",
    { min: 0, max: 1e6 },
  );
  const exact = costs.count <= exactUpTo;
  const drives = exact ? exactOrder(costs) : searchOrder(costs, starts(costs.count), upsets);
  const cost = costs.total(drives);
  return {
    order: drives.map((drive) => ({ pass: drive >> 1, reversed: (drive & 1) === 1 })),
    cost,
    lowerBound: exact ? cost : lowerBound(costs, cost),
    exact,
  };
}

/** Orders to begin from: in sequence and with one to six passes skipped, driven to and fro, from either side. */
function starts(count: number): number[][] {
  const sequences = [passSequence(count, "in-sequence")];
  for (let skip = 1; skip <= Math.min(6, count - 2); skip++) {
    sequences.push(passSequence(count, "skip", skip), passSequence(count, "blocks", skip));
  }
  return sequences.flatMap((sequence) => {
    const drives = sequence.map((pass, i) => 2 * pass + (i & 1));
    return [drives, drives.map((drive) => drive ^ 1)];
  });
}
