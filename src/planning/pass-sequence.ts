import { FeeringError, requireNumber } from "../errors/index.js";

/**
 * A plain order that a driver can keep in mind.
 *
 * | kind | order of passes 0 to n - 1 |
 * |---|---|
 * | `in-sequence` | one beside the other: 0, 1, 2, ... |
 * | `skip` | on the way out `skip` passes are left between, and filled in on the way back, then out again: 0, 2, 4, ..., 5, 3, 1 |
 * | `blocks` | blocks of 2 `skip` + 2 passes, each worked from both its halves in turn: 0, 2, 1, 3 for skip 1 |
 */
export type PassSequenceKind = "in-sequence" | "skip" | "blocks";

/**
 * Passes in a plain order, each once.
 *
 * @param count - how many passes, 0 or more
 * @param kind - which order
 * @param skip - passes left between two, for `skip` and `blocks`; default 1
 * @returns pass numbers from 0
 * @throws `FeeringError` `not-finite`, `out-of-range`
 */
export function passSequence(count: number, kind: PassSequenceKind, skip = 1): number[] {
  requireNumber(count, "count", { min: 0, max: 1e6 });
  requireNumber(skip, "skip", { min: 0, max: 1e6 });
  if (!Number.isInteger(count) || !Number.isInteger(skip)) {
    throw new FeeringError("out-of-range", "count and skip need to be whole numbers", {
      argument: "count",
      value: count,
    });
  }
  const passes = Array.from({ length: count }, (_, i) => i);
  switch (kind) {
    case "in-sequence":
      return passes;
    case "skip": {
      const order: number[] = [];
      for (let first = 0; first <= skip; first++) {
        const some = passes.filter((pass) => pass % (skip + 1) === first);
        // out and back by turns
        order.push(...(first % 2 === 0 ? some : some.reverse()));
      }
      return order;
    }
    case "blocks": {
      const half = skip + 1;
      const order: number[] = [];
      for (let block = 0; block < count; block += 2 * half) {
        for (let i = 0; i < half; i++) order.push(block + i, block + half + i);
      }
      return order.filter((pass) => pass < count);
    }
    default:
      throw new FeeringError("out-of-range", `kind is ${String(kind)}, needs in-sequence, skip or blocks`, {
        argument: "kind",
        value: kind,
      });
  }
}
