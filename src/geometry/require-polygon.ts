import { FeeringError, requirePoints } from "../errors/index.js";
import type { Polygon } from "./types.js";

/**
 * Check the form of a polygon: an object with rings of at least three finite points each; their shape is not looked at.
 *
 * @internal
 */
export function requirePolygon(polygon: Polygon, argument: string): void {
  const given: Partial<Polygon> | null | undefined = polygon;
  if (given === null || typeof given !== "object" || !Array.isArray(given.holes)) {
    throw new FeeringError("too-few-points", `${argument} is no polygon, needs an exterior ring and a list of holes`, {
      argument,
      value: polygon,
    });
  }
  requirePoints(polygon.exterior, `${argument}.exterior`, 3);
  // by index: forEach passes over the gaps of a sparse list
  for (let h = 0; h < polygon.holes.length; h++) requirePoints(polygon.holes[h]!, `${argument}.holes[${h}]`, 3);
}
