import { describe, expect, test } from "vitest";
import { offsetPolygon } from "../../src/offset/index.js";
import type { Point } from "../../src/geometry/types.js";
import { lengthOf, LONG, type Parcel, parcels } from "./engine.js";
import { floodCount } from "./flood.js";
import { area } from "./judgement.js";
import { judgePolygons } from "./oracle.js";

/**
 * Real parcels (Netherlands, Denmark, Schleswig-Holstein) in the coordinates of their national grids, up to 3.2e7 m.
 * Deviation and missing parts are asked at a millimetre, ring counts by flooding.
 */
const all = parcels();
const INWARD = [3, 6, 12, 24];

/** Every n-th parcel, all of them in the long run. */
function some(every: number, from = 0): Parcel[] {
  return all.filter((_, i) => LONG || i % every === from);
}

describe.skipIf(all.length === 0)("real parcels", () => {
  test("there are 300", () => expect(all.length).toBe(300));

  test.for(INWARD)("inward %i m, every parcel", (distance) => {
    const failures: string[] = [];
    for (const { name, polygon } of all) {
      const result = offsetPolygon(polygon, -distance);
      const interior = LONG ? 10 : 3;
      const { defects } = judgePolygons([polygon], -distance, result, { spacing: LONG ? 0.1 : 0.5, interior });
      if (defects.length > 0) failures.push(`${name}: ${defects.slice(0, 3).join("; ")}`);
    }
    expect(failures).toEqual([]);
  });

  test.for([6, 24])("outward %i m, some parcels", (distance) => {
    const failures: string[] = [];
    for (const { name, polygon } of some(10, 3)) {
      const result = offsetPolygon(polygon, distance);
      const { defects } = judgePolygons([polygon], distance, result, { spacing: 0.5, interior: LONG ? 10 : 3 });
      if (defects.length > 0) failures.push(`${name}: ${defects.slice(0, 3).join("; ")}`);
    }
    expect(failures).toEqual([]);
  });

  test("flattened at a micrometre, no point inside a segment is nearer than a micrometre less than asked", () => {
    const failures: string[] = [];
    for (const { name, polygon } of some(50, 7)) {
      for (const distance of [-6, 6]) {
        const tolerance = 1e-6;
        const result = offsetPolygon(polygon, distance, { tolerance });
        const { defects, interiorNear } = judgePolygons([polygon], distance, result, { tolerance, interior: 1 });
        if (!(interiorNear <= 1e-6 + 4e-8)) defects.push(`nearer by ${interiorNear}`);
        if (defects.length > 0) failures.push(`${name} at ${distance}: ${defects.slice(0, 3).join("; ")}`);
      }
    }
    expect(failures).toEqual([]);
  });

  test("as many parts and holes as a flooded raster has", () => {
    const failures: string[] = [];
    let settled = 0;
    let asked = 0;
    for (const [i, { name, polygon }] of some(4, 1).entries()) {
      const distance = INWARD[i % INWARD.length]!;
      const result = offsetPolygon(polygon, -distance);
      const count = floodCount([polygon], -distance, 512);
      // a ring holds a disc of radius area / length; one wider than a cell's diagonal holds a cell, so the raster sees it
      const seen = (ring: readonly Point[]): boolean =>
        Math.abs(area(ring)) > count.cell * lengthOf([{ points: ring }]);
      const parts = result.filter((part) => seen(part.exterior)).length;
      const holes = result.reduce((sum, part) => sum + part.holes.filter(seen).length, 0);
      asked++;
      if (count.parts[0] === count.parts[1] && count.holes[0] === count.holes[1]) settled++;
      if (
        parts > count.parts[1] ||
        result.length < count.parts[0] ||
        holes > count.holes[1] ||
        holes < count.holes[0]
      ) {
        failures.push(`${name} at ${distance}: ${parts} parts and ${holes} holes, flooded ${JSON.stringify(count)}`);
      }
    }
    expect(failures).toEqual([]);
    // a bound that seldom closes would judge nothing
    expect(settled).toBeGreaterThan(0.7 * asked);
  });

  test("the same at the grid's coordinates and near the origin, to a micrometre", () => {
    for (const { polygon } of some(20, 11)) {
      const [ox, oy] = polygon.exterior[0]!;
      const local = {
        exterior: polygon.exterior.map(([x, y]) => [x - ox, y - oy] as const),
        holes: polygon.holes.map((hole) => hole.map(([x, y]) => [x - ox, y - oy] as const)),
      };
      const near = offsetPolygon(local, -6);
      const far = offsetPolygon(polygon, -6).map((part) => ({
        exterior: part.exterior.map(([x, y]) => [x - ox, y - oy] as const),
        holes: part.holes.map((hole) => hole.map(([x, y]) => [x - ox, y - oy] as const)),
      }));
      expect(far.length).toBe(near.length);
      expect(judgePolygons([local], -6, far, { spacing: 0.5, interior: 1, coordinates: 3.3e7 }).defects).toEqual([]);
    }
  });
});
