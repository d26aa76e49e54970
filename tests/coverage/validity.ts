import { expect } from "vitest";
import type { Polygon, Ring } from "../../src/geometry/types.js";

/** Shoelace area of a closed ring, counter-clockwise positive; independent of the library's own. */
export function shoelace(ring: Ring): number {
  let twice = 0;
  for (let i = 0; i + 1 < ring.length; i++) {
    const a = ring[i]!;
    const b = ring[i + 1]!;
    twice += (a[0] - ring[0]![0]) * (b[1] - ring[0]![1]) - (b[0] - ring[0]![0]) * (a[1] - ring[0]![1]);
  }
  return twice / 2;
}

/** Area of polygons: exteriors minus holes. */
export function areaOf(polygons: readonly Polygon[]): number {
  let area = 0;
  for (const polygon of polygons) {
    area += shoelace(polygon.exterior);
    for (const hole of polygon.holes) area += shoelace(hole);
  }
  return area;
}

/**
 * Check what an outline promises: rings closed, exteriors counter-clockwise, holes clockwise, no point twice in a ring,
 * no two segments crossing or overlapping, rings touching in single points at most.
 */
export function expectValid(polygons: readonly Polygon[]): void {
  const segments: { a: readonly [number, number]; b: readonly [number, number]; ring: number }[] = [];
  let rings = 0;
  for (const polygon of polygons) {
    expect(shoelace(polygon.exterior)).toBeGreaterThan(0);
    for (const hole of polygon.holes) expect(shoelace(hole)).toBeLessThan(0);
    for (const ring of [polygon.exterior, ...polygon.holes]) {
      expect(ring.length).toBeGreaterThanOrEqual(4);
      expect(ring[ring.length - 1]).toEqual(ring[0]);
      const keys = ring.slice(1).map((point) => point.join(" "));
      expect(new Set(keys).size).toBe(keys.length);
      for (let i = 0; i + 1 < ring.length; i++) segments.push({ a: ring[i]!, b: ring[i + 1]!, ring: rings });
      rings++;
    }
  }
  segments.sort((s, t) => Math.min(s.a[0], s.b[0]) - Math.min(t.a[0], t.b[0]));
  for (let i = 0; i < segments.length; i++) {
    const s = segments[i]!;
    const reach = Math.max(s.a[0], s.b[0]);
    for (let k = i + 1; k < segments.length; k++) {
      const t = segments[k]!;
      if (Math.min(t.a[0], t.b[0]) > reach) break;
      if (crossing(s.a, s.b, t.a, t.b)) {
        expect.fail(`segments cross: ${s.a.join()} ${s.b.join()} and ${t.a.join()} ${t.b.join()}`);
      }
    }
  }
}

type P = readonly [number, number];

/** Proper crossing, or overlap along a length, or an end within the other's inside; common ends are no crossing. */
function crossing(a: P, b: P, c: P, d: P): boolean {
  const abc = turn(a, b, c);
  const abd = turn(a, b, d);
  const cda = turn(c, d, a);
  const cdb = turn(c, d, b);
  if (abc !== 0 && abd !== 0 && cda !== 0 && cdb !== 0) return abc !== abd && cda !== cdb;
  if (abc === 0 && abd === 0)
    return between(a, b, c) || between(a, b, d) || between(c, d, a) || between(c, d, b) || same(a, b, c, d);
  return (
    (abc === 0 && between(a, b, c)) ||
    (abd === 0 && between(a, b, d)) ||
    (cda === 0 && between(c, d, a)) ||
    (cdb === 0 && between(c, d, b))
  );
}

function turn(a: P, b: P, p: P): number {
  const cross = (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]);
  // the points tested are multiples of a cell: what is less than this is rounding
  return Math.abs(cross) < 1e-9 ? 0 : Math.sign(cross);
}

function between(a: P, b: P, p: P): boolean {
  const dot = (p[0] - a[0]) * (b[0] - a[0]) + (p[1] - a[1]) * (b[1] - a[1]);
  const length = (b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2;
  return dot > 1e-9 && dot < length - 1e-9;
}

function same(a: P, b: P, c: P, d: P): boolean {
  const near = (p: P, q: P) => Math.abs(p[0] - q[0]) + Math.abs(p[1] - q[1]) < 1e-9;
  return (near(a, c) && near(b, d)) || (near(a, d) && near(b, c));
}
