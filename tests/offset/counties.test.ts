import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import type { Point, Polygon } from "../../src/geometry/types.js";
import { offsetPolygon } from "../../src/offset/index.js";
import { hasPackage, LONG } from "./engine.js";
import { judgePolygons } from "./oracle.js";

/**
 * Counties of the United States (npm package us-atlas, from the Census Bureau's cartographic boundary files, public
 * domain), laid flat about each one's own middle. Natural outlines with islands, far from the shapes of fields.
 */
interface Topology {
  readonly transform: { readonly scale: Point; readonly translate: Point };
  readonly arcs: readonly (readonly Point[])[];
  readonly objects: { readonly counties: { readonly geometries: readonly Geometry[] } };
}
interface Geometry {
  readonly type: string;
  readonly id: string;
  readonly arcs: readonly number[][] | readonly number[][][];
}

const EARTH_RADIUS = 6_371_000;

/** Counties as polygons in metres: equal scale along the parallel of the middle and along meridians. */
function counties(): { id: string; polygons: Polygon[] }[] {
  if (!hasPackage("us-atlas")) return [];
  const path = new URL("../../node_modules/us-atlas/counties-10m.json", import.meta.url);
  const topology = JSON.parse(readFileSync(path, "utf8")) as Topology;
  const { scale, translate } = topology.transform;
  // arcs are delta-coded (TopoJSON format specification 1.0, section 2.1.3)
  const arcs = topology.arcs.map((arc) => {
    let x = 0;
    let y = 0;
    return arc.map(([dx, dy]): Point => [(x += dx) * scale[0] + translate[0], (y += dy) * scale[1] + translate[1]]);
  });
  const ring = (indexes: readonly number[]): Point[] =>
    indexes.flatMap((index, k) => {
      const points = index < 0 ? [...arcs[~index]!].reverse() : arcs[index]!;
      return k === 0 ? points : points.slice(1);
    });
  return topology.objects.counties.geometries.map((geometry) => {
    const parts = (geometry.type === "Polygon" ? [geometry.arcs] : geometry.arcs) as number[][][];
    const degrees = parts.map((part) => part.map(ring));
    const [longitude, latitude] = degrees[0]![0]![0]!;
    const metre = (EARTH_RADIUS * Math.PI) / 180;
    const flat = ([x, y]: Point): Point => [
      (x - longitude) * metre * Math.cos((latitude * Math.PI) / 180),
      (y - latitude) * metre,
    ];
    // at this resolution some islets have shrunk to a line: they are no polygons
    const polygons = degrees
      .filter(([exterior]) => exterior!.length > 3)
      .map(([exterior, ...holes]) => ({ exterior: exterior!.map(flat), holes: holes.map((hole) => hole.map(flat)) }));
    // several parts are joined where they touch, and joining drops slits of no width that a single polygon keeps
    return { id: geometry.id, polygons: polygons.length > 1 ? polygons.map(withoutSlits) : polygons };
  });
}

/** A polygon without stretches that go there and back on themselves. */
function withoutSlits(polygon: Polygon): Polygon {
  const clean = (ring: readonly Point[]): Point[] => {
    const out: Point[] = [];
    for (const p of ring) {
      const before = out[out.length - 2];
      if (before !== undefined && before[0] === p[0] && before[1] === p[1]) out.pop();
      else if (out.length === 0 || out[out.length - 1]![0] !== p[0] || out[out.length - 1]![1] !== p[1]) out.push(p);
    }
    return out;
  };
  return { exterior: clean(polygon.exterior), holes: polygon.holes.map(clean) };
}

const all = counties();
const some = all.filter((_, i) => (LONG ? i % 8 === 0 : i % 32 === 5));

describe.skipIf(all.length === 0)("counties", () => {
  test("about a hundred of three thousand", () => {
    expect(all.length).toBeGreaterThan(3000);
    expect(some.length).toBeGreaterThan(95);
  });

  test.for([-100, -500, -2000, 100, 2000])("%i m", (distance) => {
    const failures: string[] = [];
    for (const { id, polygons } of some) {
      const result = offsetPolygon(polygons, distance, { tolerance: 0.01 });
      const { defects } = judgePolygons(polygons, distance, result, {
        tolerance: 0.01,
        interior: 3,
        spacing: Math.max(50, Math.abs(distance) / 10),
        // rings that touch, themselves or one another, are joined first, and that moves them by up to a micrometre
        exact: 1e-6,
        ties: true,
      });
      if (defects.length > 0) failures.push(`${id}: ${defects.slice(0, 2).join("; ")}`);
    }
    expect(failures).toEqual([]);
  });
});
