import { FeeringError, requireNumber } from "../errors/index.js";
import type { SectionEdges } from "./boom.js";

/**
 * Equal sections, edge to edge, about the machine's middle line.
 *
 * @param width - whole working width, metres
 * @param count - how many sections, 1 to 256
 * @returns edges of the sections from left to right, metres, right positive; neighbours share exactly one number
 * @throws `FeeringError` `out-of-range` for a width that is not positive or a count that is no whole number from 1 to 256; `not-finite`
 *
 * @example
 * ```ts
 * evenSections(6, 2); // [{ left: -3, right: 0 }, { left: 0, right: 3 }]
 * ```
 */
export function evenSections(width: number, count: number): SectionEdges[] {
  requireNumber(width, "width", { above: 0, max: 200 });
  requireNumber(count, "count", { min: 1, max: 256 });
  if (!Number.isInteger(count)) {
    throw new FeeringError("out-of-range", `count is ${count}, needs a whole number`, {
      argument: "count",
      value: count,
    });
  }
  const edge = (i: number): number => (width * (2 * i - count)) / (2 * count);
  return Array.from({ length: count }, (_, i) => ({ left: edge(i), right: edge(i + 1) }));
}
