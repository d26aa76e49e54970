import type { GeographicPosition } from "../frames/position.js";
import { inverseLength } from "./geodesic.js";
import type { PathMeasure } from "./measure-path.js";
import { requirePositions } from "./positions.js";

/**
 * Length of a path of positions and the direct distance between its ends, along geodesics of the WGS 84 ellipsoid.
 *
 * Altitudes play no part. No position and one position have length 0. A path across 180 degrees of longitude goes the
 * short way.
 *
 * Accuracy 15 nm a segment (Karney 2013); checked at 1e-8 m on a published tool's tables.
 *
 * @param positions - in order, degrees
 * @returns metres
 * @throws `FeeringError` `not-finite` or `out-of-range` with the index of the first bad position
 */
export function measurePathGeodesic(positions: readonly GeographicPosition[]): PathMeasure {
  requirePositions(positions, "positions", 0);
  const n = positions.length;
  if (n < 2) return { length: 0, direct: 0 };
  let length = 0;
  for (let i = 1; i < n; i++) length += inverseLength(positions[i - 1]!, positions[i]!);
  return { length, direct: inverseLength(positions[0]!, positions[n - 1]!) };
}
