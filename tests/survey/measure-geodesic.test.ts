import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { GeographicPosition } from "../../src/frames/position.js";
import {
  geodesicBearing,
  geodesicDestination,
  geodesicDistance,
  measurePathGeodesic,
  measurePolygonGeodesic,
} from "../../src/survey/index.js";
import { readJsonLines, readTable } from "../helpers/reference.js";
import { expectAngleWithin, expectCode, expectWithin } from "../helpers/within.js";
import { type PolygonRow, ringOf } from "./polygon-row.js";

const at = (latitude: number, longitude: number): GeographicPosition => ({ latitude, longitude });

describe("tables of GeographicLib 2.1.2 (GeodSolve, Planimeter; commands in the files)", () => {
  test("distance and bearing, 297 pairs from steps to antipodes", () => {
    for (const row of readTable("geodesy/geodesic_inverse.csv")) {
      const from = at(Number(row["lat1"]), Number(row["lon1"]));
      const to = at(Number(row["lat2"]), Number(row["lon2"]));
      const what = `row ${row["id"]}`;
      const length = Number(row["s12"]);
      // the table prints nanometres; positions near the antipode bring 15 nm of the method
      expectWithin(geodesicDistance(from, to), length, 3e-8, `${what} distance`);
      if (row["class"] === "coincident") expect(geodesicBearing(from, to)).toBe(0);
      else if (row["class"] !== "near_antipodal" && row["class"] !== "special") {
        // 1e-9 m across the line is the method's own limit on short lines
        const limit = 1e-11 + (1e-8 / length) * 57.3;
        expectAngleWithin(geodesicBearing(from, to), Number(row["azi1"]), limit, `${what} bearing`);
      }
    }
  });

  test("destination, 291 rows", () => {
    for (const row of readTable("geodesy/geodesic_direct.csv")) {
      const from = at(Number(row["lat1"]), Number(row["lon1"]));
      const reached = geodesicDestination(from, Number(row["azi1"]), Number(row["s12"]));
      const expected = at(Number(row["lat2"]), Number(row["lon2"]));
      expectWithin(geodesicDistance(reached, expected), 0, 3e-8, `row ${row["id"]}`);
    }
  });

  test("area and perimeter of 61 polygons, one about the pole, open and closed, both windings", () => {
    const rows = readJsonLines<PolygonRow>("geodesy/polygons.jsonl").slice(1);
    expect(rows).toHaveLength(61);
    for (const row of rows) {
      const ring = ringOf(row);
      const area = Math.abs(Number(row.area_m2_independent ?? row.area_m2));
      // 0.04 m2: the pole ring is 250 km2, where 1e-8 relative is 2.5 m2
      const limit = Math.max(1e-3, 1e-8 * area);
      for (const exterior of [ring, [...ring, ring[0]!], [...ring].reverse()]) {
        const measured = measurePolygonGeodesic({ exterior, holes: [] });
        expectWithin(measured.area, area, limit, `polygon ${row.id} area, m2`);
        expectWithin(measured.perimeter, Number(row.perimeter_m), 1e-7, `polygon ${row.id} perimeter, m`);
      }
    }
  });
});

describe("published values", () => {
  test("JFK to Changi is 15347628 m, setting out at 3 18 29.9 (GeodSolve manual page, GeographicLib 2.1.2)", () => {
    const jfk = at(40 + 38 / 60 + 23 / 3600, -(73 + 46 / 60 + 44 / 3600));
    const changi = at(1 + 21 / 60 + 33 / 3600, 103 + 59 / 60 + 22 / 3600);
    expectWithin(geodesicDistance(jfk, changi), 15_347_628, 0.5);
    expectAngleWithin(geodesicBearing(jfk, changi), 3 + 18 / 60 + 29.9 / 3600, 0.05 / 3600);
  });

  test("a quarter meridian is 10001965.729 m (WGS 84; value from memory)", () => {
    expectWithin(geodesicDistance(at(0, 0), at(90, 0)), 10_001_965.729, 1e-3);
  });

  test("the first of the 20 ten-figure cases in the tests of geographiclib-geodesic", () => {
    const from = at(35.60777, -139.44815);
    const to = at(-11.17491, -69.95921);
    expectWithin(geodesicDistance(from, to), 8_935_244.5604818305, 1e-8);
    expectAngleWithin(geodesicBearing(from, to), 111.098748429560326, 1e-11);
  });
});

describe("paths and holes", () => {
  test("total and direct differ on a bent path, across 180 degrees too", () => {
    const path = [at(-18, 179.999), at(-18, -179.999), at(-17.999, -179.999)];
    const measured = measurePathGeodesic(path);
    const legs = geodesicDistance(path[0]!, path[1]!) + geodesicDistance(path[1]!, path[2]!);
    expectWithin(measured.length, legs, 1e-9);
    expectWithin(measured.direct, geodesicDistance(path[0]!, path[2]!), 1e-9);
    expect(measured.length).toBeLessThan(400);
  });

  test("no position and one position measure 0", () => {
    expect(measurePathGeodesic([])).toEqual({ length: 0, direct: 0 });
    expect(measurePathGeodesic([at(52, 5)])).toEqual({ length: 0, direct: 0 });
  });

  test("a hole is taken off, whichever way it is wound", () => {
    const exterior = [at(52, 5), at(52, 5.01), at(52.01, 5.01), at(52.01, 5)];
    const hole = [at(52.002, 5.002), at(52.002, 5.004), at(52.004, 5.004), at(52.004, 5.002)];
    const whole = measurePolygonGeodesic({ exterior, holes: [] });
    const alone = measurePolygonGeodesic({ exterior: hole, holes: [] });
    for (const ring of [hole, [...hole].reverse()]) {
      const measured = measurePolygonGeodesic({ exterior, holes: [ring] });
      expectWithin(measured.area, whole.area - alone.area, 1e-6);
      expectWithin(measured.holesArea, alone.area, 1e-6);
      expectWithin(measured.holesPerimeter, alone.perimeter, 1e-9);
      expectWithin(measured.perimeter, whole.perimeter, 1e-9);
    }
  });

  test("area does not depend on start vertex, on turns of 360 degrees or on altitude", () => {
    const rows = readJsonLines<PolygonRow>("geodesy/polygons.jsonl").slice(1);
    fc.assert(
      fc.property(fc.constantFrom(...rows), fc.nat(), fc.constantFrom(-360, 360), (row, shift, turn) => {
        const ring = ringOf(row);
        const k = shift % ring.length;
        const moved = [...ring.slice(k), ...ring.slice(0, k)].map((p, i) => ({
          ...p,
          longitude: p.longitude + (i % 2 === 0 ? turn : 0),
          altitude: 100 * i,
        }));
        const plain = measurePolygonGeodesic({ exterior: ring, holes: [] });
        const other = measurePolygonGeodesic({ exterior: moved, holes: [] });
        expectWithin(other.area, plain.area, Math.max(1e-3, 1e-9 * plain.area));
      }),
      { numRuns: 100 },
    );
  });
});

describe("bad input", () => {
  const square = [at(0, 0), at(0, 1), at(1, 1), at(1, 0)];
  test("names argument, index and value", () => {
    const error = expectCode(() => measurePathGeodesic([at(1, 2), at(Number.NaN, 2)]), "not-finite");
    expect(error.index).toBe(1);
    expect(error.message).toContain("positions[1].latitude is NaN");
    const far = expectCode(
      () => measurePolygonGeodesic({ exterior: square, holes: [[at(0, 0), at(99.99, 0), at(0, 1)]] }),
      "out-of-range",
    );
    expect(far.message).toContain("polygon.holes[0][1].latitude is 99.99");
    expectCode(() => geodesicDistance(at(91, 0), at(0, 0)), "out-of-range");
    expectCode(() => geodesicBearing(at(0, 0), at(0, Number.POSITIVE_INFINITY)), "not-finite");
    expectCode(() => geodesicDestination(at(0, 0), 10, Number.NaN), "not-finite");
    expectCode(() => geodesicDistance(undefined as unknown as GeographicPosition, at(0, 0)), "not-finite");
  });
  test("needs three distinct positions", () => {
    expectCode(() => measurePolygonGeodesic({ exterior: square.slice(0, 2), holes: [] }), "too-few-points");
    const error = expectCode(
      () => measurePolygonGeodesic({ exterior: [at(0, 0), at(0, 1), at(0, 361), at(0, 0)], holes: [] }),
      "too-few-points",
    );
    expect(error.message).toContain("2 distinct positions");
  });
});
