import { FeeringError } from "../errors/index.js";
import type { CoverageRecord } from "./coverage-record.js";

/**
 * Check that two records can be laid over each other: cells of one size, and one frame as far as both name theirs.
 *
 * @throws `FeeringError` `out-of-range` with the argument that does not fit
 */
export function requireSameGround(one: CoverageRecord, other: CoverageRecord, argument: string): void {
  if (other.cellSize !== one.cellSize) {
    throw new FeeringError("out-of-range", `${argument} has cells of ${other.cellSize} m, needs ${one.cellSize} m`, {
      argument: `${argument}.cellSize`,
      value: other.cellSize,
    });
  }
  const a = one.origin;
  const b = other.origin;
  if (a === undefined || b === undefined) return;
  if (a.latitude === b.latitude && a.longitude === b.longitude && a.altitude === b.altitude) return;
  throw new FeeringError(
    "out-of-range",
    `${argument} is of another frame: its origin is ${b.latitude}, ${b.longitude}, needs ${a.latitude}, ${a.longitude}`,
    { argument: `${argument}.origin`, value: b },
  );
}
