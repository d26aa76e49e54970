import { requireList } from "../errors/index.js";
import { checkPolygon } from "../geometry/index.js";
import type { Line, Polygon, Ring } from "../geometry/types.js";
import { requireRing } from "./require-ring.js";

/**
 * A field's boundary from points set one by one, checked: the field that everything else works on.
 *
 * Points that were set as positions are brought into the field's frame first (`LocalFrame.toLocal`). The last point is
 * joined to the first, repeated or not; points set twice are dropped. A ring may touch itself in a point (a pinched
 * field), it may not cross or overlap itself.
 *
 * @param points - in order round the field, either way, metres
 * @param holes - obstacles, each a ring of its own, metres; default none
 * @returns the polygon: rings closed, exterior counter-clockwise, holes clockwise
 * @throws `FeeringError` `too-few-points` for fewer than three distinct points, `degenerate` for no area,
 * `self-crossing` with the place and the two segments, `hole-outside`, `not-finite`
 * @example
 * ```ts
 * const field = boundaryFromPoints([[0, 0], [200, 0], [200, 100], [0, 100]]);
 * hectares(measurePolygon(field).area); // 2
 * ```
 */
export function boundaryFromPoints(points: Line, holes: readonly Ring[] = []): Polygon {
  requireRing(points, "boundary.exterior");
  requireList(holes, "boundary.holes");
  holes.forEach((hole, i) => requireRing(hole, `boundary.holes[${i}]`));
  return checkPolygon({ exterior: points, holes }, "boundary");
}
