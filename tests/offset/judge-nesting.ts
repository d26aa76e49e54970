import type { Point, Polygon } from "../../src/geometry/types.js";
import { DistanceField } from "./distance-field.js";
import { area } from "./judgement.js";

/** Rings: exterior counter-clockwise, holes clockwise and inside their exterior, no part in another. */
export function judgeNesting(polygons: readonly Polygon[], defects: string[]): void {
  const fields = polygons.map((polygon) => ringField(polygon.exterior));
  const probe = (field: DistanceField, p: Point): boolean => field.odd(p[0] - field.originX, p[1] - field.originY);
  polygons.forEach((polygon, i) => {
    if (!(area(polygon.exterior) > 0)) defects.push(`part ${i}: exterior has signed area ${area(polygon.exterior)}`);
    polygon.holes.forEach((hole, h) => {
      if (!(area(hole) < 0)) defects.push(`part ${i} hole ${h} has signed area ${area(hole)}`);
      // most, not all: a vertex that touches the exterior may fall on either side
      const inside = hole.filter((p) => probe(fields[i]!, p)).length;
      if (inside * 2 < hole.length) defects.push(`part ${i} hole ${h} is not inside its exterior`);
      polygon.holes.forEach((other, k) => {
        if (k !== h && probe(ringField(other), hole[0]!)) defects.push(`part ${i}: hole ${h} lies in hole ${k}`);
      });
    });
    polygons.forEach((other, k) => {
      if (k === i || !probe(fields[k]!, polygon.exterior[0]!)) return;
      if (!other.holes.some((hole) => probe(ringField(hole), polygon.exterior[0]!)))
        defects.push(`part ${i} lies in part ${k}`);
    });
  });
}

function ringField(ring: readonly Point[]): DistanceField {
  const flat: number[] = [];
  for (let i = 0; i < ring.length; i++) {
    const a = ring[i]!;
    const b = ring[(i + 1) % ring.length]!;
    flat.push(a[0], a[1], b[0], b[1]);
  }
  return new DistanceField(Float64Array.from(flat));
}
