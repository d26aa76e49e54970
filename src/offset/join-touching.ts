import { type Polygon, union } from "../geometry/index.js";
import { visitContacts } from "./contacts.js";
import type { FlatSource } from "./flat-source.js";
import type { Killers } from "./killers.js";
import { windingAt } from "./winding.js";

/** Polygons nearer than this are joined, metres: twice what the grid of `union` moves a vertex by. */
const NEAR = 2e-6;

/**
 * Polygons of a list that overlap or touch, joined; each one that lies apart as it is, with its slits and spikes of no width.
 *
 * @param polygons - each valid for itself
 * @param source - of all their rings, polygon after polygon
 * @param all - the tree over it
 * @param vertices - how many vertices of the source each polygon has
 * @returns what was joined, and the numbers of the polygons that lie apart
 *
 * @internal
 */
export function joinTouching(
  polygons: readonly Polygon[],
  source: FlatSource,
  all: Killers,
  vertices: readonly number[],
): { joined: Polygon[]; apart: number[] } {
  const polygonOf = new Int32Array(source.size);
  const firsts: number[] = [];
  let k = 0;
  vertices.forEach((count, p) => {
    firsts.push(k);
    polygonOf.fill(p, k, k + count);
    k += count;
  });
  const leader = polygons.map((_, p) => p);
  const leaderOf = (p: number): number => {
    let top = p;
    while (leader[top] !== top) top = leader[top]!;
    leader[p] = top;
    return top;
  };
  const join = (p: number, q: number): void => {
    leader[leaderOf(p)] = leaderOf(q);
  };
  const { size, x, y, next } = source;
  visitContacts({ size, x, y, next, boxes: all.boxes, levels: all.levels }, NEAR, (i, j) => {
    if (polygonOf[i] !== polygonOf[j]) join(polygonOf[i]!, polygonOf[j]!);
    return true;
  });
  // boundaries that do not meet: one may still lie in the other's ground
  const boxes = firsts.map((first, p) => boxOf(source, first, first + vertices[p]!));
  for (let p = 0; p < polygons.length; p++) {
    const px = x[firsts[p]!]!;
    const py = y[firsts[p]!]!;
    for (let q = 0; q < polygons.length; q++) {
      const [west, south, east, north] = boxes[q]!;
      if (px < west || px > east || py < south || py > north || leaderOf(p) === leaderOf(q)) continue;
      if (windingAt(all, px, py, (segment) => polygonOf[segment] === q) !== 0) join(p, q);
    }
  }
  const groups = new Map<number, number[]>();
  for (let p = 0; p < polygons.length; p++) {
    const group = groups.get(leaderOf(p));
    if (group === undefined) groups.set(leaderOf(p), [p]);
    else group.push(p);
  }
  const joined: Polygon[] = [];
  const apart: number[] = [];
  for (const group of groups.values()) {
    if (group.length === 1) apart.push(group[0]!);
    else for (const polygon of union(group.map((p) => polygons[p]!))) joined.push(polygon);
  }
  return { joined, apart };
}

function boxOf({ x, y }: FlatSource, from: number, to: number): [number, number, number, number] {
  let west = Number.POSITIVE_INFINITY;
  let south = Number.POSITIVE_INFINITY;
  let east = Number.NEGATIVE_INFINITY;
  let north = Number.NEGATIVE_INFINITY;
  for (let k = from; k < to; k++) {
    west = Math.min(west, x[k]!);
    south = Math.min(south, y[k]!);
    east = Math.max(east, x[k]!);
    north = Math.max(north, y[k]!);
  }
  return [west, south, east, north];
}
