import { expect } from "vitest";
import type { CoverageRecord } from "../../src/coverage/index.js";
import { checkPolygon, LineIndex } from "../../src/geometry/index.js";
import type { Point, Polygon, Ring } from "../../src/geometry/types.js";
import type { WorkedBoundary } from "../../src/survey/index.js";
import { areaOf, expectValid } from "../coverage/validity.js";
import { expectWithin } from "../helpers/within.js";

/** A quad turned by an angle in degrees about the origin, then moved, marked on a record. */
export function markQuad(record: CoverageRecord, corners: readonly Point[], degrees = 0, at: Point = [0, 0]): void {
  const c = Math.cos((degrees * Math.PI) / 180);
  const s = Math.sin((degrees * Math.PI) / 180);
  const [p, q, r, t] = corners.map(([x, y]): Point => [at[0] + x * c - y * s, at[1] + x * s + y * c]);
  record.mark(p![0], p![1], q![0], q![1], r![0], r![1], t![0], t![1]);
}

/** An upright rectangle marked on a record, turned and moved as by {@link markQuad}. */
export function markBox(
  record: CoverageRecord,
  [minX, minY, maxX, maxY]: readonly [number, number, number, number],
  degrees = 0,
  at: Point = [0, 0],
): void {
  markQuad(
    record,
    [
      [minX, minY],
      [maxX, minY],
      [maxX, maxY],
      [minX, maxY],
    ],
    degrees,
    at,
  );
}

/** Farthest that any point of some rings, taken every quarter of a metre, lies from some other rings, metres. */
export function farthestFrom(rings: readonly Ring[], others: readonly Ring[], step = 0.25): number {
  let most = 0;
  const edges = others.map((other) => new LineIndex(other));
  for (const ring of rings) {
    for (let i = 1; i < ring.length; i++) {
      const [ax, ay] = ring[i - 1]!;
      const [bx, by] = ring[i]!;
      const n = Math.max(1, Math.ceil(Math.hypot(bx - ax, by - ay) / step));
      for (let k = 0; k < n; k++) {
        const x = ax + ((bx - ax) * k) / n;
        const y = ay + ((by - ay) * k) / n;
        most = Math.max(most, Math.min(...edges.map((edge) => edge.nearest(x, y).distance)));
      }
    }
  }
  return most;
}

/** Hausdorff distance of two sets of rings, metres, both ways (F. Hausdorff, Grundzüge der Mengenlehre, 1914). */
export function hausdorff(a: readonly Ring[], b: readonly Ring[]): number {
  return Math.max(farthestFrom(a, b), farthestFrom(b, a));
}

/** All rings of some polygons. */
export function ringsOf(polygons: readonly Polygon[]): Ring[] {
  return polygons.flatMap(({ exterior, holes }) => [exterior, ...holes]);
}

/** What every result of `boundaryFromCoverage` promises. */
export function expectSound(boundary: WorkedBoundary, tolerance: number): void {
  expectValid(boundary.polygons);
  for (const polygon of boundary.polygons) checkPolygon(polygon);
  expectWithin(areaOf(boundary.polygons), boundary.area, 1e-6, "area, m²");
  const { closed, filled, dropped, simplified, departure } = boundary.report;
  expectWithin(boundary.worked + closed + filled - dropped + simplified, boundary.area, 1e-6, "account, m²");
  expect(departure).toBeLessThanOrEqual(tolerance + 1e-12);
  expect(boundary.reason === "ok").toBe(boundary.polygons.length > 0);
}
