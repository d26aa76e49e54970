import { FeeringError } from "../errors/index.js";
import { CoverageRecord } from "./coverage-record.js";
import { combineRuns, countCells } from "./row-runs.js";
import { requireSameGround } from "./same-ground.js";

/**
 * Ground that two records both hold as worked: the overlap between two machines, which their merged record can't tell.
 *
 * @param a - record of one machine
 * @param b - record of the other, of the same frame and cell size
 * @returns m², a whole number of cells; the same for `b` and `a`
 * @throws `FeeringError` `out-of-range` for what is no record, another cell size or another frame
 * @example
 * ```ts
 * const [a, b] = [new CoverageRecord(), new CoverageRecord()];
 * a.mark(0, 0, 4, 0, 4, 1, 0, 1);
 * b.mark(3, 0, 7, 0, 7, 1, 3, 1);
 * sharedArea(a, b); // 1 m²
 * a.merge(b).areas().worked; // 7 m²
 * ```
 */
export function sharedArea(a: CoverageRecord, b: CoverageRecord): number {
  requireRecord(a, "a");
  requireRecord(b, "b");
  requireSameGround(a, b, "b");
  const scale = 1 / a.cellSize;
  return countCells(combineRuns(a.cellRuns(), b.cellRuns(), "both")) / (scale * scale);
}

function requireRecord(value: unknown, argument: string): void {
  if (value instanceof CoverageRecord) return;
  throw new FeeringError("out-of-range", `${argument} is no coverage record`, { argument, value });
}
