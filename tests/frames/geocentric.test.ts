import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { type Ellipsoid, geocentricToGeodetic, geodeticToGeocentric, localFrame } from "../../src/frames/index.js";
import { readTable } from "../helpers/reference.js";
import { expectAngleWithin, expectWithin, MM } from "../helpers/within.js";

/** Metres for a degree of latitude, about: to compare geographic results in metres. */
const DEGREE = 111_320;
const LIMIT = 1e-8;

describe("geodeticToGeocentric", () => {
  it.for(readTable("geodesy/geodetic_to_ecef.csv"))("row $id ($class) as CartConvert has it", (row) => {
    const n = (name: string) => Number(row[name]);
    const [x, y, z] = geodeticToGeocentric({ latitude: n("lat"), longitude: n("lon"), altitude: n("h") });
    expectWithin(x, n("x"), LIMIT, "x");
    expectWithin(y, n("y"), LIMIT, "y");
    expectWithin(z, n("z"), LIMIT, "z");
  });

  it("gives NaN for what is no place", () => {
    expect(geodeticToGeocentric({ latitude: 95, longitude: 0 })).toEqual([NaN, NaN, NaN]);
    expect(geodeticToGeocentric({ latitude: NaN, longitude: 0 })).toEqual([NaN, NaN, NaN]);
  });

  it("has the values of EPSG:4978 in PROJ's test/gie/epsg_no_grid.gie", () => {
    const [x, y, z] = geodeticToGeocentric({ latitude: 55, longitude: 12, altitude: 10 });
    expectWithin(x, 3586475.2672, 1e-4);
    expectWithin(y, 762328.8513, 1e-4);
    expectWithin(z, 5201391.7147, 1e-4);
  });

  it("has the value of the CartConvert man page (GeographicLib 2.1.2)", () => {
    const [x, y, z] = geodeticToGeocentric({ latitude: 33.3, longitude: 44.4, altitude: 6000 });
    expectWithin(x, 3816209.6, 0.005);
    expectWithin(y, 3737108.55, 0.005);
    expectWithin(z, 3485109.57, 0.005);
  });
});

describe("geocentricToGeodetic", () => {
  it.for(readTable("geodesy/ecef_to_geodetic.csv"))("row $id ($class) as CartConvert has it", (row) => {
    const n = (name: string) => Number(row[name]);
    const p = geocentricToGeodetic([n("x"), n("y"), n("z")]);
    expectWithin(p.latitude * DEGREE, n("lat") * DEGREE, LIMIT, "latitude in metres");
    const parallel = Math.max(DEGREE * Math.cos((n("lat") * Math.PI) / 180), 1e-9);
    // a degree of longitude is as long as the place is high, too: stay within the double's own last digit
    expectAngleWithin(p.longitude, n("lon"), Math.max(LIMIT / parallel, 3e-14), "longitude");
    expectWithin(p.altitude, n("h"), LIMIT, "altitude");
  });

  it("undoes geodeticToGeocentric from 5000 km deep to 1e9 m high, on any ellipsoid", () => {
    const airy: Ellipsoid = { semiMajorAxis: 6377563.396, flattening: 1 / 299.3249646 };
    fc.assert(
      fc.property(
        fc.double({ min: -90, max: 90, noNaN: true }),
        fc.double({ min: -180, max: 179.999, noNaN: true }),
        fc.oneof(fc.double({ min: -5e6, max: 1e6, noNaN: true }), fc.double({ min: 1e6, max: 1e9, noNaN: true })),
        (latitude, longitude, altitude) => {
          const there = geodeticToGeocentric({ latitude, longitude, altitude }, airy);
          const back = geodeticToGeocentric(geocentricToGeodetic(there, airy), airy);
          const limit = 1e-8 * Math.max(1, altitude / 6e6);
          for (const i of [0, 1, 2] as const) expectWithin(back[i], there[i], limit, "coordinate");
        },
      ),
    );
  });

  it("finds the nearest place for points near the centre", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 84e3, noNaN: true }),
        fc.oneof(
          fc.double({ min: -84e3, max: 84e3, noNaN: true }),
          fc.constantFrom(0, 1e-9, -1e-7, 1e-199, 5e-324, -1e-12),
        ),
        (x, z) => {
          fc.pre(x + Math.abs(z) > 1);
          const found = geocentricToGeodetic([x, 0, z]);
          const there = geodeticToGeocentric(found);
          expectWithin(there[0], x, 1e-4, "x");
          expectWithin(there[2], z, 1e-4, "z");
          // no place of a fine sweep is nearer
          for (let latitude = -90; latitude <= 90; latitude += 2.5) {
            const [sx, , sz] = geodeticToGeocentric({ latitude, longitude: 0 });
            expect(Math.hypot(sx - x, sz - z)).toBeGreaterThan(-found.altitude - 1e-3);
          }
        },
      ),
    );
  });

  it("knows no latitude at the centre, and passes NaN on", () => {
    expect(geocentricToGeodetic([0, 0, 0]).latitude).toBeNaN();
    expect(geocentricToGeodetic([NaN, 0, 6e6])).toEqual({ latitude: NaN, longitude: NaN, altitude: NaN });
    expect(geocentricToGeodetic([6378137, 0, 0])).toEqual({ latitude: 0, longitude: 0, altitude: 0 });
    expect(geocentricToGeodetic([-6378137, 0, 0]).longitude).toBe(-180);
  });
});

describe("published topocentric values", () => {
  const origin = { latitude: 55, longitude: 5, altitude: 200 };
  // IOGP 373-7-2 (October 2020), EPSG 9836 and 9837, as in PROJ's test/gie/builtins.gie lines 8446-8465
  it("EPSG 9837: geographic to topocentric", () => {
    const p = { latitude: 53 + 48 / 60 + 33.82 / 3600, longitude: 2 + 7 / 60 + 46.38 / 3600, altitude: 73 };
    const [east, north, up] = localFrame(origin).toEastNorthUp(p);
    expectWithin(east, -189013.869, MM);
    expectWithin(north, -128642.04, MM);
    expectWithin(up, -4220.171, MM);
    // recomputed in doubles from the same rounded inputs
    expectWithin(east, -189013.86915091, 2e-8);
    expectWithin(north, -128642.03980556, 2e-8);
    expectWithin(up, -4220.1707584, 2e-8);
  });

  it("EPSG 9836: geocentric to topocentric, and the origin's geocentric coordinates", () => {
    const [x0, y0, z0] = geodeticToGeocentric(origin);
    expectWithin(x0, 3652755.3058, 1e-4);
    expectWithin(y0, 319574.6799, 1e-4);
    expectWithin(z0, 5201547.3536, 1e-4);
    const p = geocentricToGeodetic([3771793.968, 140253.342, 5124304.349]);
    const [east, north, up] = localFrame(origin).toEastNorthUp(p);
    expectWithin(east, -189013.869, MM);
    expectWithin(north, -128642.04, MM);
    expectWithin(up, -4220.171, MM);
    const back = localFrame(origin).fromEastNorthUp([east, north, up]);
    expectWithin(back.latitude, p.latitude, 1e-13);
    expectWithin(back.longitude, p.longitude, 1e-13);
    expectWithin(back.altitude, p.altitude, 2e-8);
  });

  it("the local coordinates of the CartConvert man page", () => {
    // CartConvert -l 33 44 20 of 33.3 44.4 6000
    const frame = localFrame({ latitude: 33, longitude: 44, altitude: 20 });
    const [east, north, up] = frame.toEastNorthUp({ latitude: 33.3, longitude: 44.4, altitude: 6000 });
    expectWithin(east, 37288.97, 0.005);
    expectWithin(north, 33374.29, 0.005);
    // 5783.6466 by the tables here too: the man page cut it, it did not round
    expectWithin(up, 5783.64, 0.0067);
    // CartConvert -r 30000 30000 0: deep inside the Earth, 42 km from the axis
    const deep = geocentricToGeodetic([30000, 30000, 0]);
    expectWithin(deep.latitude, 6.483, 5e-4);
    expectWithin(deep.longitude, 45, 1e-13);
    expectWithin(deep.altitude, -6335709.73, 0.005);
  });
});
