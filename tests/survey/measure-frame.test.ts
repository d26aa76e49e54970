import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { localFrame } from "../../src/frames/index.js";
import {
  geodesicDestination,
  measurePath,
  measurePathGeodesic,
  measurePolygon,
  measurePolygonGeodesic,
} from "../../src/survey/index.js";
import { readJsonLines } from "../helpers/reference.js";
import { expectCode, expectWithin } from "../helpers/within.js";
import { type PolygonRow, ringOf } from "./polygon-row.js";

describe("with a frame the plane's measures are the geodesic ones", () => {
  test("60 polygons of GeographicLib 2.1.2, origin at their first vertex: 1e-3 m2 or 2e-9, perimeter 1e-6 m", () => {
    const rows = readJsonLines<PolygonRow>("geodesy/polygons.jsonl").slice(1);
    for (const row of rows) {
      if (row.class === "pole_enclosing") continue;
      const ring = ringOf(row);
      const frame = localFrame(ring[0]!);
      const polygon = { exterior: ring.map((p) => frame.toLocal(p)), holes: [] };
      const measured = measurePolygon(polygon, { frame });
      const area = Math.abs(Number(row.area_m2_independent));
      expectWithin(measured.area, area, Math.max(1e-3, 2e-9 * area), `polygon ${row.id} area, m2`);
      expectWithin(measured.perimeter, Number(row.perimeter_m), 1e-6, `polygon ${row.id} perimeter, m`);
      // the plane alone is what the correction is needed for
      expectWithin(measurePolygon(polygon).area, area, Math.max(1e-3, 1e-6 * area), `polygon ${row.id} plane`);
    }
  });

  test("any field of 0.1 to 5 km within 20 km of the origin, up to 1000 m of altitude: 1e-8 or 1e-3 m2", () => {
    fc.assert(
      fc.property(
        fc.double({ min: -85, max: 85, noNaN: true }),
        fc.double({ min: -180, max: 180, noNaN: true }),
        fc.double({ min: -100, max: 1000, noNaN: true }),
        fc.double({ min: 0, max: 20e3, noNaN: true }),
        fc.double({ min: 0, max: 360, noNaN: true }),
        fc.double({ min: 50, max: 2500, noNaN: true }),
        fc.integer({ min: 3, max: 8 }),
        (latitude, longitude, altitude, away, bearing, radius, sides) => {
          const origin = { latitude, longitude, altitude };
          const frame = localFrame(origin);
          const centre = geodesicDestination(origin, bearing, away);
          const ring = Array.from({ length: sides }, (_, i) =>
            geodesicDestination(centre, bearing + (i * 360) / sides, radius * (i % 2 === 0 ? 1 : 0.6)),
          );
          const points = ring.map((p) => frame.toLocal(p));
          const truth = measurePolygonGeodesic({ exterior: ring, holes: [] });
          const measured = measurePolygon({ exterior: points, holes: [] }, { frame });
          expectWithin(measured.area, truth.area, Math.max(1e-3, 1e-8 * truth.area), "area, m2");
          expectWithin(measured.perimeter, truth.perimeter, 1e-8 * truth.perimeter + 1e-8, "perimeter, m");
          const path = measurePath(points, { frame });
          const along = measurePathGeodesic(ring);
          expectWithin(path.length, along.length, 1e-8 * along.length + 1e-8, "length, m");
          expectWithin(path.direct, along.direct, 1e-8 * along.direct + 1e-8, "direct, m");
        },
      ),
      { numRuns: 300 },
    );
  });

  test("the ground at 1000 m is 0.0314 % larger than the ellipsoid below it", () => {
    const frame = localFrame({ latitude: 45, longitude: 7, altitude: 1000 });
    const polygon = {
      exterior: [
        [0, 0],
        [400, 0],
        [400, 250],
        [0, 250],
      ] as const,
      holes: [],
    };
    const ground = measurePolygon(polygon).area;
    expect(ground).toBe(100_000);
    // (1 + h/N)(1 + h/M) with h = 1000 m, N = 6388838 m, M = 6367382 m at 45 degrees (Torge 2012, 4.1.3)
    expectWithin(ground / measurePolygon(polygon, { frame }).area, (1 + 1000 / 6388838) * (1 + 1000 / 6367382), 1e-8);
  });

  test("holes are measured the same way", () => {
    const frame = localFrame({ latitude: 52, longitude: 5 });
    const exterior = [
      [3000, 3000],
      [4000, 3000],
      [4000, 4000],
      [3000, 4000],
    ] as const;
    const hole = [
      [3200, 3200],
      [3200, 3300],
      [3300, 3300],
      [3300, 3200],
    ] as const;
    const geographic = {
      exterior: exterior.map((p) => frame.toGeodetic(p)),
      holes: [hole.map((p) => frame.toGeodetic(p))],
    };
    const measured = measurePolygon({ exterior, holes: [hole] }, { frame });
    const truth = measurePolygonGeodesic(geographic);
    expectWithin(measured.area, truth.area, 3e-3, "area, m2");
    expectWithin(measured.holesArea, truth.holesArea, 1e-3, "holes, m2");
    expectWithin(measured.holesPerimeter, truth.holesPerimeter, 1e-6, "holes, m");
  });

  test("a frame without an origin is refused", () => {
    expectCode(
      () =>
        measurePath(
          [
            [0, 0],
            [1, 1],
          ],
          { frame: {} as never },
        ),
      "not-finite",
    );
    expectCode(
      () =>
        measurePolygon(
          {
            exterior: [
              [0, 0],
              [1, 0],
              [0, 1],
            ],
            holes: [],
          },
          { frame: null as never },
        ),
      "not-finite",
    );
  });
});
