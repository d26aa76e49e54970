import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { headlandTurn, passOrder, passSequence, type PassEnd } from "../../src/planning/index.js";
import { DriveCosts } from "../../src/planning/order-cost.js";
import { expectCode, expectWithin } from "../helpers/within.js";

/** Cost of turning between passes w apart with radius r, on the headland that the machine is on. */
function turning(w: number, r: number, fishtails = false) {
  const kinds = fishtails ? (["u", "omega", "fishtail"] as const) : (["u", "omega"] as const);
  const known = new Map<number, number>();
  return (from: number, fromEnd: PassEnd, to: number, toEnd: PassEnd): number => {
    if (fromEnd !== toEnd) return Number.POSITIVE_INFINITY;
    const d = Math.abs(from - to);
    if (!known.has(d)) {
      const turn = headlandTurn({ x: 0, y: 0, heading: 0 }, { x: d * w, y: 0, heading: 180 }, { radius: r, kinds });
      known.set(d, turn.kind === "none" ? Number.POSITIVE_INFINITY : turn.length);
    }
    return known.get(d)!;
  };
}

function inSequence(n: number, cost: ReturnType<typeof turning>): number {
  let sum = 0;
  for (let i = 1; i < n; i++) sum += cost(i - 1, 0, i, 0);
  return sum;
}

describe("the order of passes", () => {
  // start and end free, turns of U and omega. Bochtis and Vougioukas (Biosystems Engineering 101, 2008) report "up to 50 %" less
  // non-working distance; totals computed by exact dynamic programming and checked a second way
  it.each([
    [8, 3, 6, 282.4186, 140.9469],
    [10, 3, 6, 363.1096, 178.646],
    [12, 3, 6, 443.8006, 234.3451],
    [10, 6, 6, 325.7566, 181.646],
    [12, 6, 8, 562.5501, 330.6317],
    [9, 4, 6, 312.2816, 166.7964],
    [8, 12, 6, 131.9469, 131.9469],
  ])("n = %d, w = %d, r = %d: the best of all, found by both ways", (n, w, r, serial, best) => {
    const cost = turning(w, r);
    expectWithin(inSequence(n, cost), serial, 1e-4, "in sequence, m");
    const exact = passOrder({ count: n, cost }, { exactUpTo: 12 });
    expectWithin(exact.cost, best, 1e-4, "best of all, m");
    expect([exact.exact, exact.lowerBound]).toEqual([true, exact.cost]);
    const searched = passOrder({ count: n, cost }, { exactUpTo: 0 });
    expectWithin(searched.cost, best, 1e-4, "searched, m");
    expect(searched.exact).toBe(false);
    expect(searched.lowerBound).toBeLessThanOrEqual(best + 1e-4);
    expect(searched.lowerBound).toBeGreaterThan(0.97 * best);
    expect([...searched.order].map(({ pass }) => pass).sort((a, b) => a - b)).toEqual(passSequence(n, "in-sequence"));
  });

  it("saves less where the machine may reverse: fishtails allowed", () => {
    const cost = turning(3, 6, true);
    expectWithin(inSequence(10, cost), 250.646, 1e-4, "in sequence, m");
    expectWithin(passOrder({ count: 10, cost }).cost, 178.646, 1e-4, "best, m");
  });

  it("finds the best of any costs that brute force finds, with start and home", () => {
    const matrix = fc.array(fc.double({ min: 0, max: 100, noNaN: true }), { minLength: 160, maxLength: 160 });
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 5 }), matrix, (count, numbers) => {
        const cost = (a: number, aEnd: PassEnd, b: number, bEnd: PassEnd): number =>
          numbers[((2 * a + aEnd) * 10 + 2 * b + bEnd) % 140]!;
        const problem = {
          count,
          cost,
          startCost: (p: number, e: PassEnd) => numbers[140 + 2 * p + e]!,
          endCost: (p: number, e: PassEnd) => numbers[150 + 2 * p + e]!,
        };
        const costs = new DriveCosts(problem);
        let best = Number.POSITIVE_INFINITY;
        const grow = (order: number[]): void => {
          if (order.length === count) best = Math.min(best, costs.total(order));
          for (let d = 0; d < 2 * count; d++) if (!order.some((o) => o >> 1 === d >> 1)) grow([...order, d]);
        };
        grow([]);
        const exact = passOrder(problem);
        expectWithin(exact.cost, best, 1e-9, "best");
        const searched = passOrder(problem, { exactUpTo: 0 });
        expect(searched.lowerBound).toBeLessThanOrEqual(best + 1e-6);
        expect(searched.cost).toBeGreaterThanOrEqual(best - 1e-9);
      }),
    );
  });

  it("of many passes comes within 2 % of its lower bound, the same in every run", () => {
    for (const [n, w, r] of [
      [30, 3, 6],
      [60, 6, 8],
      [100, 4, 9],
    ] as const) {
      const cost = turning(w, r);
      const found = passOrder({ count: n, cost });
      expect(found.cost).toBeLessThanOrEqual(1.02 * found.lowerBound);
      expect(found.cost).toBeLessThanOrEqual(inSequence(n, cost));
      expect(passOrder({ count: n, cost })).toEqual(found);
    }
  });

  it("refuses what is no problem", () => {
    const cost = (): number => 1;
    expectCode(() => passOrder({ count: 0, cost }), "out-of-range");
    expectCode(() => passOrder({ count: 2.5, cost }), "out-of-range");
    expectCode(() => passOrder({ count: 3000, cost }), "too-large");
    expectCode(() => passOrder({ count: 3, cost: () => -1 }), "out-of-range");
    expectCode(() => passOrder({ count: 3, cost: () => Number.NaN }), "out-of-range");
    expectCode(() => passOrder({ count: 3, cost: null as never }), "not-finite");
    expectCode(() => passOrder(undefined as never), "not-finite");
    expectCode(() => passOrder({ count: 3, cost }, { exactUpTo: 30 }), "out-of-range");
  });
});

describe("plain sequences", () => {
  it("hold each pass once", () => {
    expect(passSequence(6, "in-sequence")).toEqual([0, 1, 2, 3, 4, 5]);
    expect(passSequence(7, "skip")).toEqual([0, 2, 4, 6, 5, 3, 1]);
    expect(passSequence(8, "skip", 2)).toEqual([0, 3, 6, 7, 4, 1, 2, 5]);
    expect(passSequence(8, "blocks")).toEqual([0, 2, 1, 3, 4, 6, 5, 7]);
    for (const kind of ["in-sequence", "skip", "blocks"] as const) {
      for (let n = 0; n < 30; n++) {
        for (let skip = 0; skip < 5; skip++) {
          expect([...passSequence(n, kind, skip)].sort((a, b) => a - b)).toEqual(passSequence(n, "in-sequence"));
        }
      }
    }
    expectCode(() => passSequence(3, "spiral" as never), "out-of-range");
    expectCode(() => passSequence(-1, "skip"), "out-of-range");
    expectCode(() => passSequence(3, "skip", 0.5), "out-of-range");
  });
});
