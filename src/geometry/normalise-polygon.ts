import { requireList, requireObject, requirePoints } from "../errors/index.js";
import { signedArea } from "./area.js";
import type { Point, Polygon, Ring } from "./types.js";

/**
 * Bring a polygon into the form that is returned everywhere: rings closed, exterior counter-clockwise, holes clockwise
 * (RFC 7946, section 3.1.6). Nothing is cleaned or checked.
 *
 * @param polygon - metres
 * @returns a new polygon of the same points
 */
export function normalisePolygon(polygon: Polygon): Polygon {
  requireObject(polygon, "polygon");
  requirePoints(polygon.exterior, "polygon.exterior", 0);
  requireList(polygon.holes, "polygon.holes");
  polygon.holes.forEach((hole, h) => requirePoints(hole, `polygon.holes[${h}]`, 0));
  return {
    exterior: wound(polygon.exterior, 1),
    holes: polygon.holes.map((hole) => wound(hole, -1)),
  };
}

function wound(ring: Ring, sign: 1 | -1): Point[] {
  const points = [...ring];
  const first = points[0];
  const last = points[points.length - 1];
  if (first !== undefined && last !== undefined && (first[0] !== last[0] || first[1] !== last[1])) points.push(first);
  return signedArea(points) * sign < 0 ? points.reverse() : points;
}
