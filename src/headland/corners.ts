import type { Line, Point } from "../geometry/index.js";

/** turns below this are bends of a curve and no corners, degrees */
const LEAST_TURN = 5;

/** A corner of a line: where it turns, and by how much. */
export interface Corner {
  readonly at: Point;
  /** angle between the two sides, degrees */
  readonly angle: number;
}

/**
 * Corners of a line that has the ground inside on its left: vertices at which it turns left.
 *
 * @internal
 */
export function cornersOf(line: Line, closed: boolean): Corner[] {
  const n = closed ? line.length - 1 : line.length;
  const corners: Corner[] = [];
  for (let i = closed ? 0 : 1; i < (closed ? n : n - 1); i++) {
    const a = line[i === 0 ? n - 1 : i - 1]!;
    const b = line[i]!;
    const c = line[i + 1 === line.length ? 0 : i + 1]!;
    const cross = (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]);
    const dot = (b[0] - a[0]) * (c[0] - b[0]) + (b[1] - a[1]) * (c[1] - b[1]);
    const turn = (Math.atan2(cross, dot) * 180) / Math.PI;
    if (turn >= LEAST_TURN) corners.push({ at: b, angle: 180 - turn });
  }
  return corners;
}
