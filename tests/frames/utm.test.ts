import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { fromUtm, toUtm, utmZone } from "../../src/frames/index.js";
import { readTable } from "../helpers/reference.js";
import { expectAngleWithin, expectCode, expectWithin } from "../helpers/within.js";

const LIMIT = 1e-7;
const DEGREE = 111_320;
const side = { n: "north", s: "south" } as const;

describe("UTM against GeoConvert", () => {
  it.for(readTable("geodesy/utm.csv"))("row $id ($class)", (row) => {
    const n = (name: string) => Number(row[name]);
    const position = { latitude: n("lat"), longitude: n("lon") };
    const utm = toUtm(position);
    expect(utm.zone).toBe(n("zone"));
    expect(utm.hemisphere).toBe(side[row["hemisphere"] as "n" | "s"]);
    expectWithin(utm.easting, n("easting"), LIMIT, "easting");
    expectWithin(utm.northing, n("northing"), LIMIT, "northing");
    expectWithin(utm.convergence, n("convergence"), 1e-10, "convergence");
    expectWithin(utm.scale, n("scale"), 1e-13, "scale");
    const back = fromUtm(utm);
    expectWithin(back.latitude * DEGREE, n("lat") * DEGREE, 1e-8, "latitude in metres");
    expectAngleWithin(back.longitude, n("lon"), 1e-8 / DEGREE / Math.cos((n("lat") * Math.PI) / 180), "longitude");
  });

  it.for(readTable("geodesy/utm_inverse.csv"))("row $id back", (row) => {
    const n = (name: string) => Number(row[name]);
    const hemisphere = side[row["hemisphere"] as "n" | "s"];
    const p = fromUtm({ zone: n("zone"), hemisphere, easting: n("easting"), northing: n("northing") });
    expectWithin(p.latitude * DEGREE, n("lat") * DEGREE, LIMIT, "latitude in metres");
    expectAngleWithin(p.longitude, n("lon"), LIMIT / DEGREE, "longitude");
  });
});

describe("zones", () => {
  it("has the exceptions of Norway and Svalbard to the degree", () => {
    const zone = (latitude: number, longitude: number) => utmZone({ latitude, longitude });
    expect([zone(55.999, 3), zone(56, 2.999), zone(56, 3), zone(63.999, 11.999), zone(64, 5)]).toEqual([
      31, 31, 32, 32, 31,
    ]);
    expect([zone(71.999, 8), zone(72, 8.999), zone(72, 9), zone(72, 20.999), zone(84, 21)]).toEqual([
      32, 31, 33, 33, 35,
    ]);
    expect([zone(80, 32.999), zone(80, 33), zone(80, 41.999), zone(80, 42), zone(80, -0.001)]).toEqual([
      35, 37, 37, 38, 30,
    ]);
  });

  it("wraps longitude", () => {
    expect(utmZone({ latitude: 0, longitude: 180 })).toBe(1);
    expect(utmZone({ latitude: 0, longitude: 179.9999 })).toBe(60);
    expect(utmZone({ latitude: 0, longitude: 365 })).toBe(31);
  });

  it("keeps to the zone asked for, over its edge and over 180 degrees", () => {
    const utm = toUtm({ latitude: 52, longitude: 6.01 }, { zone: 31 });
    expect(utm.zone).toBe(31);
    expectWithin(fromUtm(utm).longitude, 6.01, 1e-13);
    const over = toUtm({ latitude: -17, longitude: -179.999 }, { zone: 60 });
    expect(over.easting).toBeGreaterThan(819_440);
    expectWithin(fromUtm(over).longitude, -179.999, 1e-13);
  });

  it("goes there and back in any zone asked for within 30 degrees", () => {
    fc.assert(
      fc.property(
        fc.double({ min: -80, max: 84, noNaN: true }),
        fc.integer({ min: 1, max: 60 }),
        fc.double({ min: -30, max: 30, noNaN: true }),
        (latitude, zone, off) => {
          const longitude = 6 * zone - 183 + off;
          const utm = toUtm({ latitude, longitude, altitude: 7 }, { zone });
          const back = fromUtm(utm);
          expectWithin(back.latitude * DEGREE, latitude * DEGREE, 2e-8, "latitude in metres");
          expectAngleWithin(back.longitude, longitude, 1e-12, "longitude");
          expect(back.altitude).toBe(7);
        },
      ),
    );
  });

  it("refuses what has no place in UTM", () => {
    expectCode(() => toUtm({ latitude: 84.1, longitude: 0 }), "out-of-range");
    expectCode(() => toUtm({ latitude: -80.1, longitude: 0 }), "out-of-range");
    expectCode(() => toUtm({ latitude: NaN, longitude: 0 }), "not-finite");
    expectCode(() => utmZone({ latitude: 0, longitude: Infinity }), "not-finite");
    expectCode(() => toUtm({ latitude: 0, longitude: 0 }, { zone: 61 }), "out-of-range");
    expectCode(() => toUtm({ latitude: 0, longitude: 0 }, { zone: 1.5 }), "out-of-range");
    expectCode(() => toUtm({ latitude: 0, longitude: 0 }, { zone: 20 }), "out-of-range");
    const utm = { zone: 31, hemisphere: "north", easting: 5e5, northing: 0 } as const;
    expectCode(() => fromUtm({ ...utm, zone: 0 }), "out-of-range");
    expectCode(() => fromUtm({ ...utm, hemisphere: "n" as "north" }), "out-of-range");
    expectCode(() => fromUtm({ ...utm, easting: NaN }), "not-finite");
    const error = expectCode(() => fromUtm({ ...utm, northing: 3e7 }), "out-of-range");
    expect(error.argument).toBe("utm.northing");
  });
});
