import type { Point, Polygon, Ring } from "../../src/geometry/index.js";

/** Distance from a point to a ring, by looking at every edge: written apart from the library on purpose. */
export function distanceToRing(ring: Ring, x: number, y: number): number {
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < ring.length; i++) {
    const [ax, ay] = ring[i]!;
    const [bx, by] = ring[(i + 1) % ring.length]!;
    const ex = bx - ax;
    const ey = by - ay;
    const squared = ex * ex + ey * ey;
    const t = squared === 0 ? 0 : Math.max(0, Math.min(1, ((x - ax) * ex + (y - ay) * ey) / squared));
    least = Math.min(least, Math.hypot(x - ax - t * ex, y - ay - t * ey));
  }
  return least;
}

/** Whether a point lies in a polygon, by counting crossings. */
export function inPolygon(polygon: Polygon, x: number, y: number): boolean {
  let inside = false;
  for (const ring of [polygon.exterior, ...polygon.holes]) {
    for (let i = 0; i < ring.length; i++) {
      const [ax, ay] = ring[i]!;
      const [bx, by] = ring[(i + 1) % ring.length]!;
      if (ay > y !== by > y && x < ax + ((y - ay) / (by - ay)) * (bx - ax)) inside = !inside;
    }
  }
  return inside;
}

/** Whether a point lies in any of the polygons. */
export function inAny(polygons: readonly Polygon[], x: number, y: number): boolean {
  return polygons.some((polygon) => inPolygon(polygon, x, y));
}

/** How deep a point lies in a field: distance to the nearest boundary or obstacle edge, negative outside. */
export function depth(field: readonly Polygon[], x: number, y: number): number {
  let least = Number.POSITIVE_INFINITY;
  for (const polygon of field) {
    for (const ring of [polygon.exterior, ...polygon.holes]) least = Math.min(least, distanceToRing(ring, x, y));
  }
  return inAny(field, x, y) ? least : -least;
}

/** Points of a line no farther apart than a step. */
export function along(line: readonly Point[], step: number): Point[] {
  const points: Point[] = [];
  for (let i = 0; i + 1 < line.length; i++) {
    const [ax, ay] = line[i]!;
    const [bx, by] = line[i + 1]!;
    const count = Math.max(1, Math.ceil(Math.hypot(bx - ax, by - ay) / step));
    for (let k = 0; k < count; k++) points.push([ax + ((bx - ax) * k) / count, ay + ((by - ay) * k) / count]);
  }
  return points;
}

/** Places spread over the box of a field, by the additive recurrence of the plastic number (M. Roberts 2018). */
export function spread(field: readonly Polygon[], count: number): Point[] {
  let minX = Number.POSITIVE_INFINITY;
  let minY = minX;
  let maxX = -minX;
  let maxY = -minX;
  for (const { exterior } of field) {
    for (const [x, y] of exterior) {
      minX = Math.min(minX, x);
      minY = Math.min(minY, y);
      maxX = Math.max(maxX, x);
      maxY = Math.max(maxY, y);
    }
  }
  const points: Point[] = [];
  for (let k = 1; k <= count; k++) {
    points.push([
      minX + (maxX - minX) * ((0.5 + k * 0.7548776662466927) % 1),
      minY + (maxY - minY) * ((0.5 + k * 0.5698402909980532) % 1),
    ]);
  }
  return points;
}
