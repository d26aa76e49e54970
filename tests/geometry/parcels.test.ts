import { describe, expect, it } from "vitest";
import {
  checkPolygon,
  difference,
  intersection,
  LineIndex,
  nearestOnLine,
  type Point,
  type Polygon,
  PolygonIndex,
  pointInPolygon,
  polygonArea,
  ringCrossings,
  ringLength,
  signedArea,
  simplifyRing,
  union,
} from "../../src/geometry/index.js";
import { hasData, readData } from "../helpers/data.js";
import { expectWithin } from "../helpers/within.js";
import { random } from "./shapes.js";

interface Parcel {
  readonly properties: { readonly area_ha: number; readonly holes: number };
  readonly geometry: { readonly coordinates: Point[][] };
}

// real parcels in planar metres of national grids, DE-SH with eastings of 3.2e7
describe("real parcels", () => {
  for (const name of ["NL", "DK", "DE-SH"]) {
    const file = `parcels/${name}.geojson`;
    it.skipIf(!hasData(file))(`of ${name} pass the check, and all questions of them agree with the plain forms`, () => {
      const { features } = JSON.parse(new TextDecoder().decode(readData(file))) as { features: Parcel[] };
      const next = random(7);
      for (const { properties, geometry } of features) {
        const [exterior, ...holes] = geometry.coordinates;
        const parcel = checkPolygon({ exterior: exterior!, holes }, "parcel");
        // areas are given to the square metre, without regard to holes
        expectWithin(signedArea(parcel.exterior), properties.area_ha * 1e4, 1);
        const index = new PolygonIndex(parcel);
        const line = new LineIndex(parcel.exterior);
        const { minX, minY, maxX, maxY } = index.bounds;
        for (let k = 0; k < 20; k++) {
          const p: Point = [minX + next() * (maxX - minX), minY + next() * (maxY - minY)];
          expect(index.contains(p[0], p[1])).toBe(pointInPolygon(parcel, p) !== "outside");
          const near = nearestOnLine(parcel.exterior, p);
          expectWithin(line.nearest(p[0], p[1]).signedDistance, near.signedDistance, 1e-9);
        }
        for (const p of parcel.exterior) expect(index.contains(p[0], p[1])).toBe(true);

        const moved = (ring: readonly Point[]): Point[] => ring.map(([x, y]): Point => [x + 7.3, y - 4.1]);
        const other: Polygon = { exterior: moved(parcel.exterior), holes: parcel.holes.map(moved) };
        const sum = (polygons: readonly Polygon[]): number => polygons.reduce((s, p) => s + polygonArea(p), 0);
        const common = sum(intersection([parcel], [other]));
        // a micrometre along all edges
        const tolerance = 4e-6 * [parcel.exterior, ...parcel.holes].reduce((s, ring) => s + ringLength(ring), 0);
        expectWithin(sum(union([parcel, other])) + common, 2 * polygonArea(parcel), tolerance);
        expectWithin(sum(difference([parcel], [other])), polygonArea(parcel) - common, tolerance);

        const simple = simplifyRing(parcel.exterior, 1);
        expect(ringCrossings(simple).filter((c) => c.kind !== "touch")).toEqual([]);
        for (const p of parcel.exterior) expect(nearestOnLine(simple, p).distance).toBeLessThanOrEqual(1 + 1e-7);
      }
    });
  }
});
