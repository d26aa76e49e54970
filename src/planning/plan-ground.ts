import { type Polygon, type Ring, signedArea } from "../geometry/index.js";

/**
 * Ground that passes are laid on: the edges of its polygons, four numbers an edge. Polygons may share edges, the ground then goes on across.
 *
 * @internal
 */
export interface PlanGround {
  /** ax, ay, bx, by of each edge, metres */
  readonly edges: Float64Array;
  /** square metres */
  readonly area: number;
}

/** Edges of polygons that do not overlap. */
export function planGround(polygons: readonly Polygon[]): PlanGround {
  const rings = polygons.flatMap(({ exterior, holes }): Ring[] => [exterior, ...holes]);
  const edges: number[] = [];
  for (const ring of rings) {
    for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
      const a = ring[j]!;
      const b = ring[i]!;
      if (a[0] !== b[0] || a[1] !== b[1]) edges.push(a[0], a[1], b[0], b[1]);
    }
  }
  let area = 0;
  for (const { exterior, holes } of polygons) {
    area += Math.abs(signedArea(exterior));
    for (const hole of holes) area -= Math.abs(signedArea(hole));
  }
  return { edges: Float64Array.from(edges), area };
}

/** Ground of several grounds together. */
export function joinGround(grounds: readonly PlanGround[]): PlanGround {
  const edges = new Float64Array(grounds.reduce((sum, ground) => sum + ground.edges.length, 0));
  let at = 0;
  let area = 0;
  for (const ground of grounds) {
    edges.set(ground.edges, at);
    at += ground.edges.length;
    area += ground.area;
  }
  return { edges, area };
}
