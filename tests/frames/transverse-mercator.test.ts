import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { type Ellipsoid, GRS80, transverseMercator } from "../../src/frames/index.js";
import { readTable } from "../helpers/reference.js";
import { expectAngleWithin, expectCode, expectWithin } from "../helpers/within.js";

const DEGREE = 111_320;
const AIRY: Ellipsoid = { semiMajorAxis: 6377563.396, flattening: 1 / 299.3249646 };
const BRITISH = {
  ellipsoid: AIRY,
  centralMeridian: -2,
  originLatitude: 49,
  scaleFactor: 0.9996012717,
  falseEasting: 400e3,
  falseNorthing: -100e3,
};

describe("against the exact transverse Mercator (TransverseMercatorProj -t)", () => {
  const grid = transverseMercator({ centralMeridian: 9, scaleFactor: 0.9996 });
  it.for(readTable("geodesy/tm_far.csv"))("row $id", (row) => {
    const n = (name: string) => Number(row[name]);
    const position = { latitude: n("lat"), longitude: n("lon") };
    // the series is good to nanometres within 3900 km (35 degrees); beyond it degrades, and the docs say so
    if (Math.abs(n("x")) > 3.9e6) return;
    const [x, y] = grid.toProjected(position);
    const limit = Math.abs(n("lon") - 9) <= 8 ? 1e-8 : 5e-8;
    expectWithin(x, n("x"), limit, "x");
    expectWithin(y, n("y"), limit, "y");
    const factors = grid.factors(position);
    expectWithin(factors.convergence, n("convergence"), 1e-12, "convergence");
    expectWithin(factors.scale, n("scale"), 1e-13, "scale");
    const back = grid.toGeographic([n("x"), n("y")]);
    expectWithin(back.latitude * DEGREE, n("lat") * DEGREE, limit, "latitude in metres");
    expectAngleWithin(back.longitude, n("lon"), limit / DEGREE, "longitude");
  });
});

describe("published values", () => {
  const grid = transverseMercator(BRITISH);
  it("EPSG 9807: 50 30 N 0 30 E on the British National Grid (IOGP 373-7-2, September 2019, p. 54)", () => {
    const [x, y] = grid.toProjected({ latitude: 50.5, longitude: 0.5 });
    // the printed pair is rounded badly: 6 mm and 8 mm from what PROJ 9.1.1 gives
    expectWithin(x, 577274.99, 0.011);
    expectWithin(y, 69740.5, 0.011);
    expectWithin(x, 577274.983813, 1e-6);
    expectWithin(y, 69740.492267, 1e-6);
  });

  it("the worked example of the Ordnance Survey's guide to coordinate systems", () => {
    const latitude = 52 + 39 / 60 + 27.2531 / 3600;
    const longitude = 1 + 43 / 60 + 4.5177 / 3600;
    const [x, y] = grid.toProjected({ latitude, longitude });
    expectWithin(x, 651409.903, 1e-3);
    expectWithin(y, 313177.27, 1e-3);
    const back = grid.toGeographic([651409.903, 313177.27]);
    expectWithin(back.latitude, latitude, 1e-8);
    expectWithin(back.longitude, longitude, 1e-8);
  });

  it("EPSG:25832 at 55 N 12 E (PROJ, test/gie/epsg_no_grid.gie)", () => {
    const utm32 = transverseMercator({ ellipsoid: GRS80, centralMeridian: 9, scaleFactor: 0.9996, falseEasting: 5e5 });
    const [x, y] = utm32.toProjected({ latitude: 55, longitude: 12 });
    expectWithin(x, 691875.6321, 1e-4);
    expectWithin(y, 6098907.825, 1e-4);
  });
});

describe("transverseMercator", () => {
  it("puts the origin at the false origin, exactly, and the poles on the central meridian", () => {
    const grid = transverseMercator(BRITISH);
    const [x, y] = grid.toProjected({ latitude: 49, longitude: -2 });
    expect(x).toBe(400e3);
    expectWithin(y, -100e3, 1e-9);
    const pole = grid.toGeographic(grid.toProjected({ latitude: 90, longitude: 50 }));
    expectWithin(pole.latitude, 90, 1e-13);
    expect(grid.toProjected({ latitude: 90, longitude: 50 })[0]).toBeCloseTo(400e3, 6);
  });

  it("goes there and back, singly and in batches alike", () => {
    const grid = transverseMercator({ centralMeridian: 177, falseEasting: 1e6 });
    fc.assert(
      fc.property(
        fc.double({ min: -89, max: 89, noNaN: true }),
        fc.double({ min: -25, max: 25, noNaN: true }),
        (latitude, off) => {
          const p = grid.toProjected({ latitude, longitude: 177 + off });
          const back = grid.toGeographic(p);
          expectWithin(back.latitude * DEGREE, latitude * DEGREE, 1e-8, "latitude in metres");
          const parallel = DEGREE * Math.cos((latitude * Math.PI) / 180);
          expectAngleWithin(back.longitude, 177 + off, 1e-8 / parallel, "longitude");
          const xy = grid.toProjectedBatch(Float64Array.of(latitude, 177 + off));
          expect([...xy]).toEqual([...p]);
          expect([...grid.toGeographicBatch(xy, xy)]).toEqual([back.latitude, back.longitude]);
        },
      ),
    );
  });

  it("passes NaN and latitudes that are none on as NaN", () => {
    const grid = transverseMercator(BRITISH);
    expect(grid.toProjected({ latitude: 95, longitude: 0 })).toEqual([NaN, NaN]);
    expect(grid.toProjected({ latitude: 50, longitude: NaN })).toEqual([NaN, NaN]);
    expect(grid.toGeographic([NaN, 0])).toEqual({ latitude: NaN, longitude: NaN });
    expect(grid.factors({ latitude: NaN, longitude: 0 })).toEqual({ convergence: NaN, scale: NaN });
  });

  it("checks its definition", () => {
    expectCode(() => transverseMercator({ centralMeridian: NaN }), "not-finite");
    expectCode(() => transverseMercator({ centralMeridian: 9, scaleFactor: 0 }), "out-of-range");
    expectCode(() => transverseMercator({ centralMeridian: 9, originLatitude: 91 }), "out-of-range");
    const flat = { semiMajorAxis: 6378137, flattening: 298.257 };
    const error = expectCode(() => transverseMercator({ centralMeridian: 9, ellipsoid: flat }), "out-of-range");
    expect(error.argument).toBe("definition.ellipsoid.flattening");
  });
});
