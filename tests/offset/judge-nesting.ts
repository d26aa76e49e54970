import type { Point, Polygon } from "../../src/geometry/types.js";
import { DistanceField } from "./distance-field.js";
import { area } from "./judgement.js";

/** Rings: exterior counter-clockwise, holes clockwise and inside their exterior, no part in another. */
export function judgeNesting(polygons: readonly Polygon[], defects: string[]): void {
  const fields = polygons.map((polygon) => ringField(polygon.exterior));
  // most, not all: rings may touch in vertices, and a point that touches may fall on either side
  const lies = (ring: readonly Point[], field: DistanceField): boolean => {
    let inside = 0;
    for (let i = 1; i < ring.length; i++) {
      const x = (ring[i - 1]![0] + ring[i]![0]) / 2;
      const y = (ring[i - 1]![1] + ring[i]![1]) / 2;
      if (field.odd(x - field.originX, y - field.originY)) inside++;
    }
    return inside * 2 > ring.length - 1;
  };
  polygons.forEach((polygon, i) => {
    if (!(area(polygon.exterior) > 0)) defects.push(`part ${i}: exterior has signed area ${area(polygon.exterior)}`);
    polygon.holes.forEach((hole, h) => {
      if (!(area(hole) < 0)) defects.push(`part ${i} hole ${h} has signed area ${area(hole)}`);
      if (!lies(hole, fields[i]!)) defects.push(`part ${i} hole ${h} is not inside its exterior`);
      polygon.holes.forEach((other, k) => {
        if (k !== h && lies(hole, ringField(other))) defects.push(`part ${i}: hole ${h} lies in hole ${k}`);
      });
    });
    polygons.forEach((other, k) => {
      if (k === i || !lies(polygon.exterior, fields[k]!)) return;
      if (!other.holes.some((hole) => lies(polygon.exterior, ringField(hole))))
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
