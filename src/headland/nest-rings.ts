import { type Point, pointInPolygon, type Polygon, type Ring, signedArea } from "../geometry/index.js";

/**
 * Polygons of rings that do not cross: ground inside an odd number of rings. No coordinate is changed.
 *
 * @internal
 */
export function nestRings(rings: readonly Ring[]): Polygon[] {
  const sorted = rings
    .map((ring) => ({ ring, area: Math.abs(signedArea(ring)), depth: 0, parent: -1 }))
    .filter((entry) => entry.area > 0)
    .sort((a, b) => b.area - a.area);
  sorted.forEach((entry, i) => {
    // the smallest ring around it is the last in the list that holds it
    for (let j = i - 1; j >= 0; j--) {
      if (!holds(sorted[j]!.ring, entry.ring)) continue;
      entry.parent = j;
      entry.depth = sorted[j]!.depth + 1;
      break;
    }
  });
  const polygons = new Map<number, { exterior: Ring; holes: Ring[] }>();
  sorted.forEach((entry, i) => {
    if (entry.depth % 2 === 0) polygons.set(i, { exterior: wound(entry.ring, 1), holes: [] });
    else polygons.get(entry.parent)!.holes.push(wound(entry.ring, -1));
  });
  return [...polygons.values()];
}

// rings may touch in points: the first place off the boundary decides
function holds(outer: Ring, inner: Ring): boolean {
  const polygon: Polygon = { exterior: outer, holes: [] };
  for (let i = 0; i < inner.length; i++) {
    const p = inner[i]!;
    const where = pointInPolygon(polygon, p);
    if (where !== "boundary") return where === "inside";
    const q = inner[(i + 1) % inner.length]!;
    const middle = pointInPolygon(polygon, [(p[0] + q[0]) / 2, (p[1] + q[1]) / 2]);
    if (middle !== "boundary") return middle === "inside";
  }
  return false;
}

function wound(ring: Ring, sign: 1 | -1): Point[] {
  return signedArea(ring) * sign < 0 ? [...ring].reverse() : [...ring];
}
