import { FeeringError } from "../errors/index.js";
import { type Polygon, union } from "../geometry/index.js";
import { offsetPolygon, type OffsetOptions } from "../offset/index.js";

/**
 * Offset of polygons that are themselves results of offsets or boolean operations.
 *
 * Where two fronts meet exactly their rings may run along each other, and chords of two arcs that nearly touch may cross
 * by the flattening's tolerance: such rings are joined first (to 1 µm).
 *
 * @internal
 */
export function offsetAgain(polygons: readonly Polygon[], distance: number, options: OffsetOptions): Polygon[] {
  try {
    return offsetPolygon(polygons, distance, options);
  } catch (error) {
    if (!(error instanceof FeeringError) || !REPAIRED.has(error.code)) throw error;
    return offsetPolygon(union(polygons), distance, options);
  }
}

const REPAIRED: ReadonlySet<string> = new Set(["self-crossing", "hole-outside", "degenerate", "too-few-points"]);
