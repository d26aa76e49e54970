import fc from "fast-check";
import geodesic from "geographiclib-geodesic";
import { describe, expect, expectTypeOf, it } from "vitest";
import { type EastNorthUp, localFrame } from "../../src/frames/index.js";
import type { Point } from "../../src/geometry/types.js";
import { readTable } from "../helpers/reference.js";
import { expectAngleWithin, expectCode, expectWithin, MM } from "../helpers/within.js";

const DEGREE = 111_320;
/** Radius of curvature that bounds the model errors from above, metres: the smallest on WGS 84. */
const RADIUS = 6_335_400;

// adding 0 turns -0 into 0: equality of bits is asked for below
const within = (min: number, max: number) => fc.double({ min, max, noNaN: true }).map((value) => value + 0);
const origins = fc.oneof(
  fc.record({ latitude: within(-85, 85), longitude: within(-180, 179.999), altitude: within(-400, 5000) }),
  // within a kilometre or so of the 180th meridian
  fc.record({
    latitude: within(-85, 85),
    longitude: fc.oneof(within(179.99, 180), within(-180, -179.99)),
    altitude: within(-400, 5000),
  }),
);

/** Difference of two places in metres, both ways round. */
function expectSamePlace(
  a: { latitude: number; longitude: number },
  b: { latitude: number; longitude: number },
  limit: number,
): void {
  expectWithin(a.latitude * DEGREE, b.latitude * DEGREE, limit, "latitude in metres");
  expectAngleWithin(a.longitude, b.longitude, limit / DEGREE / Math.cos((b.latitude * Math.PI) / 180), "longitude");
}

describe("there and back (P1)", () => {
  it("is the identity in the plane: 1e-8 m within 5 km, 2e-8 m to 50 km", () => {
    fc.assert(
      fc.property(origins, within(-35e3, 35e3), within(-35e3, 35e3), within(0, 1), (origin, east, north, k) => {
        const frame = localFrame(origin);
        const scale = k < 0.5 ? 0.1 : 1;
        const point = [east * scale, north * scale] as const;
        const place = frame.toGeodetic(point);
        expect(place.altitude).toBe(origin.altitude);
        expect(place.longitude >= -180 && place.longitude < 180).toBe(true);
        const back = frame.toLocal(place);
        const limit = scale < 1 ? 1e-8 : 2e-8;
        expectWithin(back[0], point[0], limit, "x");
        expectWithin(back[1], point[1], limit, "y");
        // without an altitude a position lies at the frame's own
        const bare = frame.toLocal({ latitude: place.latitude, longitude: place.longitude });
        expect(bare).toEqual(back);
        expectSamePlace(frame.toGeodetic(back), place, limit);
      }),
      { numRuns: 500 },
    );
  });

  it("is the identity in space, near and far", () => {
    fc.assert(
      fc.property(
        origins,
        fc.constantFrom(1, 100, 5e3, 50e3, 3e5, 5e6),
        within(-1, 1),
        within(-1, 1),
        within(0, 1),
        (origin, size, e, n, u) => {
          const frame = localFrame(origin);
          const point = [e * size, n * size, u * size] as const;
          const back = frame.toEastNorthUp(frame.fromEastNorthUp(point));
          const limit = size > 1e5 ? 5e-8 : 1e-8;
          for (const i of [0, 1, 2] as const) expectWithin(back[i], point[i], limit, "coordinate");
        },
      ),
      { numRuns: 500 },
    );
  });

  it("takes a point to any altitude asked for, near and far", () => {
    fc.assert(
      fc.property(
        origins,
        fc.constantFrom(1e3, 1e5, 4e6),
        within(-0.7, 0.7),
        within(-0.7, 0.7),
        within(-10e3, 250e3),
        (origin, size, e, n, altitude) => {
          const frame = localFrame(origin);
          const place = frame.toGeodetic([e * size, n * size], altitude);
          expectWithin(place.altitude, altitude, 1e-12, "altitude");
          const back = frame.toLocal(place);
          expectWithin(back[0], e * size, size > 2e5 ? 2e-7 : 2e-8, "x");
          expectWithin(back[1], n * size, size > 2e5 ? 2e-7 : 2e-8, "y");
        },
      ),
      { numRuns: 300 },
    );
  });

  it("works over the pole from the most polar origin allowed", () => {
    const frame = localFrame({ latitude: 89.9, longitude: 179.9999 });
    for (const point of [
      [0, 11_170],
      [5, 11_170],
      [-5000, 14_000],
      [0.001, 30_000],
      [150e3, -3],
    ] as const) {
      const back = frame.toLocal(frame.toGeodetic(point));
      expectWithin(back[0], point[0], 1e-8, "x");
      expectWithin(back[1], point[1], 1e-8, "y");
    }
  });
});

describe("distances in the plane (P2)", () => {
  // measured against the geodesic: d³/24R² at most between points on either side of the origin, r² d/2R² off to one side
  const bound = (distance: number, away: number) => (distance * away * away) / (2 * RADIUS * RADIUS) + 2e-9;

  it("agree with geographiclib's inverse within d r² / 2 R²", () => {
    fc.assert(
      fc.property(
        origins,
        within(-7e3, 7e3),
        within(-7e3, 7e3),
        within(-7e3, 7e3),
        within(-7e3, 7e3),
        (at, ax, ay, bx, by) => {
          const frame = localFrame({ latitude: at.latitude, longitude: at.longitude });
          const a = frame.toGeodetic([ax, ay]);
          const b = frame.toGeodetic([bx, by]);
          const s = geodesic.Geodesic.WGS84.Inverse(a.latitude, a.longitude, b.latitude, b.longitude).s12!;
          const plane = Math.hypot(bx - ax, by - ay);
          const away = Math.max(Math.hypot(ax, ay), Math.hypot(bx, by));
          // 1e-8 m is what the rounding of the degrees leaves
          expectWithin(plane, s, bound(Math.max(s, plane), away) + 1e-8, "distance");
        },
      ),
      { numRuns: 300 },
    );
  });

  it("agree with GeodSolve's table from an end of the line as origin", () => {
    for (const row of readTable("geodesy/geodesic_inverse.csv")) {
      if (row["class"] !== "field" && row["class"] !== "step") continue;
      const n = (name: string) => Number(row[name]);
      if (Math.abs(n("lat1")) > 89.9) continue;
      const frame = localFrame({ latitude: n("lat1"), longitude: n("lon1") });
      const [x, y] = frame.toLocal({ latitude: n("lat2"), longitude: n("lon2") });
      const s = n("s12");
      expectWithin(Math.hypot(x, y), s, s ** 3 / (6 * RADIUS * RADIUS) + 2e-8, `row ${row["id"]}: distance`);
      if (s > 100) {
        // the plane keeps the azimuth at its origin to e² d²/R²: a hundredth of an arc-second over 10 km
        const azimuth = (Math.atan2(x, y) * 180) / Math.PI;
        expectAngleWithin(azimuth, n("azi1"), 0.3 * (s / RADIUS) ** 2 + (2e-8 / s) * 57.3, `row ${row["id"]}: azimuth`);
      }
    }
  });

  it("lose what the table of sizes says, 0.51 mm over 5 km and 4.1 mm over 10 km at 52 degrees north", () => {
    const frame = localFrame({ latitude: 52, longitude: 5 });
    for (const [away, lost] of [
      [1e3, 0.004],
      [2e3, 0.03],
      [5e3, 0.51],
      [10e3, 4.1],
    ] as const) {
      const end = geodesic.Geodesic.WGS84.Direct(52, 5, 37, away);
      const [x, y] = frame.toLocal({ latitude: end.lat2!, longitude: end.lon2! });
      expectWithin(away - Math.hypot(x, y), lost * MM, 0.06 * lost * MM + 5e-6, `lost over ${away} m`);
    }
  });
});

describe("origin and axes (P3)", () => {
  it("put the origin at exactly 0, 0, 0 and back at itself, bit for bit", () => {
    fc.assert(
      fc.property(origins, (origin) => {
        const frame = localFrame(origin);
        const zero = frame.toEastNorthUp(frame.origin);
        for (const i of [0, 1, 2] as const) expect(Object.is(zero[i], 0)).toBe(true);
        expect(frame.toGeodetic([0, 0])).toEqual(frame.origin);
        expect(frame.fromEastNorthUp([0, 0, 0])).toEqual(frame.origin);
      }),
    );
  });

  it("point y north and x east", () => {
    fc.assert(
      fc.property(origins, (origin) => {
        const frame = localFrame(origin);
        const north = frame.toGeodetic([0, 1]);
        expect(north.longitude).toBe(frame.origin.longitude);
        expect(north.latitude).toBeGreaterThan(origin.latitude);
        const east = frame.toGeodetic([1, 0]);
        expectWithin(east.latitude, origin.latitude, 2e-11);
        expect((east.longitude - frame.origin.longitude + 540) % 360).toBeGreaterThan(180);
      }),
    );
  });
});

describe("longitude (P4)", () => {
  // whole 2^-30 degrees, so that adding a turn loses nothing
  const longitudes = fc.integer({ min: -180 * 2 ** 30, max: 180 * 2 ** 30 }).map((k) => k / 2 ** 30);
  const turns = fc.integer({ min: -2, max: 2 }).map((k) => 360 * k);

  it("of a position or an origin may go round: the same bits come out", () => {
    fc.assert(
      fc.property(
        within(-89, 89),
        longitudes,
        fc.integer({ min: -(2 ** 26), max: 2 ** 26 }).map((k) => k / 2 ** 30),
        within(-0.05, 0.05),
        turns,
        turns,
        (latitude, longitude, dLon, dLat, turn, originTurn) => {
          const position = { latitude: latitude + dLat, longitude: longitude + dLon };
          const plain = localFrame({ latitude, longitude }).toLocal(position);
          const frame = localFrame({ latitude, longitude: longitude + originTurn });
          const turned = frame.toLocal({ latitude: position.latitude, longitude: position.longitude + turn });
          expect(turned).toEqual(plain);
          expect(frame.headingToLocal(10, { ...position, longitude: position.longitude + turn })).toBe(
            frame.headingToLocal(10, position),
          );
        },
      ),
    );
  });

  it("goes over 180 degrees as over any other meridian", () => {
    // multiples of 2^-20 degrees: the same small difference, exactly, on either side
    const step = 2 ** -20;
    const there = localFrame({ latitude: 61, longitude: 180 - 100 * step });
    const plain = localFrame({ latitude: 61, longitude: -100 * step });
    for (const k of [-5000, -101, -100, 0, 1, 250, 4000]) {
      const over = 180 + k * step;
      const wrapped = over >= 180 ? over - 360 : over;
      expect(there.toLocal({ latitude: 61.01, longitude: wrapped })).toEqual(
        plain.toLocal({ latitude: 61.01, longitude: k * step }),
      );
    }
    expect(localFrame({ latitude: 0, longitude: 180 }).origin.longitude).toBe(-180);
    expect(localFrame({ latitude: 0, longitude: -900 }).origin.longitude).toBe(-180);
  });
});

describe("headings", () => {
  const places = fc.record({ x: within(-50e3, 50e3), y: within(-50e3, 50e3) });

  it("come back to 1e-11 degrees, and stand still at the origin", () => {
    fc.assert(
      fc.property(origins, places, within(-720, 720), (origin, { x, y }, heading) => {
        const frame = localFrame(origin);
        const at = frame.toGeodetic([x, y]);
        const local = frame.headingToLocal(heading, at);
        expect(local >= 0 && local < 360).toBe(true);
        expectAngleWithin(frame.headingToTrue(local, at), heading, 1e-11, "back");
        const still = ((heading % 360) + 360) % 360;
        expectAngleWithin(frame.headingToLocal(heading, frame.origin), still, 1e-13, "at the origin");
      }),
    );
  });

  it("are the direction in which a short drive on that heading goes", () => {
    fc.assert(
      fc.property(origins, places, within(0, 360), (origin, { x, y }, heading) => {
        const frame = localFrame({ latitude: origin.latitude, longitude: origin.longitude });
        const a = frame.toGeodetic([x, y]);
        const b = geodesic.Geodesic.WGS84.Direct(a.latitude, a.longitude, heading, 10);
        const [bx, by] = frame.toLocal({ latitude: b.lat2!, longitude: b.lon2! });
        const driven = (Math.atan2(bx - x, by - y) * 180) / Math.PI;
        // over 10 m a geodesic's own bend (10 tan(lat) / 2R) and the degrees' last digit count: 1e-3 and 1e-7 degrees
        expectAngleWithin(driven, frame.headingToLocal(heading, a), 6e-4, "driven");
      }),
    );
  });

  it("lose 0.47 m over a 500 m pass 5 km east at 50 degrees when not turned, as the table of sizes says", () => {
    const frame = localFrame({ latitude: 50, longitude: 5 });
    const at = frame.toGeodetic([5000, 0]);
    const turn = frame.headingToLocal(0, at) > 180 ? frame.headingToLocal(0, at) - 360 : frame.headingToLocal(0, at);
    expectWithin(Math.abs(500 * Math.sin((turn * Math.PI) / 180)), 0.466, 1e-3);
    // east of the origin the meridians lean to the left, seen from the frame
    expect(turn).toBeLessThan(0);
  });

  it("are NaN for what is no place or no heading", () => {
    const frame = localFrame({ latitude: 52, longitude: 5 });
    expect(frame.headingToLocal(NaN, frame.origin)).toBeNaN();
    expect(frame.headingToLocal(10, { latitude: NaN, longitude: 5 })).toBeNaN();
    expect(frame.headingToTrue(10, { latitude: 95, longitude: 5 })).toBeNaN();
    expect(frame.headingToTrue(Infinity, frame.origin)).toBeNaN();
  });
});

describe("batch and in-place forms", () => {
  it("give the same bits as the single ones, into the caller's array", () => {
    const frame = localFrame({ latitude: -33.5, longitude: 179.999, altitude: 120 });
    const latLon = new Float64Array(200);
    for (let i = 0; i < 100; i++) {
      latLon[2 * i] = -33.5 + 0.001 * Math.sin(i);
      latLon[2 * i + 1] = 179.999 + 0.002 * Math.cos(i);
    }
    const xy = frame.toLocalBatch(latLon);
    const out = Float64Array.of(7, 0, 0, 7);
    for (let i = 0; i < 100; i++) {
      const p = { latitude: latLon[2 * i]!, longitude: latLon[2 * i + 1]! };
      expect([xy[2 * i], xy[2 * i + 1]]).toEqual([...frame.toLocal(p)]);
      frame.toLocalInto(p.latitude, p.longitude, out, 1);
      expect([...out]).toEqual([7, xy[2 * i], xy[2 * i + 1], 7]);
      const back = frame.toGeodetic([xy[2 * i]!, xy[2 * i + 1]!]);
      frame.toGeodeticInto(xy[2 * i]!, xy[2 * i + 1]!, out, 1);
      expect([...out]).toEqual([7, back.latitude, back.longitude, 7]);
    }
    const copy = xy.slice();
    expect(frame.toGeodeticBatch(copy, copy)).toBe(copy);
    const again = frame.toGeodeticBatch(xy);
    expect([...copy]).toEqual([...again]);
    expect([...frame.toLocalBatch(Float64Array.of(1, 2, 3))]).toHaveLength(3);
    expect([...frame.toLocalBatch(latLon, new Float64Array(2))]).toEqual([xy[0], xy[1]]);
  });

  it("pass NaN and what is no place on as NaN, and throw nothing", () => {
    const frame = localFrame({ latitude: 10, longitude: 20 });
    for (const latitude of [NaN, 95, -90.001, Infinity]) {
      expect(frame.toLocal({ latitude, longitude: 20 })).toEqual([NaN, NaN]);
    }
    for (const longitude of [NaN, Infinity, -Infinity]) {
      expect(frame.toEastNorthUp({ latitude: 10, longitude })).toEqual([NaN, NaN, NaN]);
    }
    expect(frame.toLocal({ latitude: 10, longitude: 20, altitude: NaN })[0]).toBeNaN();
    for (const point of [
      [NaN, 0],
      [0, NaN],
      [Infinity, 0],
      [7e6, 0],
      [1e300, -1e300],
    ] as const) {
      expect(frame.toGeodetic(point).latitude).toBeNaN();
    }
    expect(frame.toGeodetic([0, 0], NaN).latitude).toBeNaN();
    expect(frame.fromEastNorthUp([NaN, 0, 0]).latitude).toBeNaN();
    const batch = frame.toLocalBatch(Float64Array.of(NaN, 20, 10, 20));
    expect([...batch]).toEqual([NaN, NaN, 0, 0]);
    expect([...frame.toGeodeticBatch(Float64Array.of(NaN, 0, 0, 0))]).toEqual([NaN, NaN, 10, 20]);
  });
});

describe("set-up", () => {
  it("refuses an origin that is none, by name", () => {
    const refuse = (origin: object, code: string, argument: string) => {
      expect(expectCode(() => localFrame(origin as never), code).argument).toBe(argument);
    };
    refuse({ latitude: 89.91, longitude: 0 }, "out-of-range", "origin.latitude");
    refuse({ latitude: -90, longitude: 0 }, "out-of-range", "origin.latitude");
    refuse({ latitude: NaN, longitude: 0 }, "not-finite", "origin.latitude");
    refuse({ latitude: "52", longitude: 0 }, "not-finite", "origin.latitude");
    refuse({ latitude: 52 }, "not-finite", "origin.longitude");
    refuse({ latitude: 52, longitude: Infinity }, "not-finite", "origin.longitude");
    refuse({ latitude: 52, longitude: 5, altitude: NaN }, "not-finite", "origin.altitude");
    refuse({ latitude: 52, longitude: 5, altitude: 2e5 }, "out-of-range", "origin.altitude");
    refuse({ latitude: 52, longitude: 5, altitude: -2e4 }, "out-of-range", "origin.altitude");
    expectCode(() => localFrame(undefined as never), "not-finite");
    expectCode(() => localFrame(null as never), "not-finite");
    expect(localFrame({ latitude: 89.9, longitude: 0 }).origin.altitude).toBe(0);
  });

  it("gives planar points and triples their own types", () => {
    const frame = localFrame({ latitude: 52, longitude: 5 });
    expectTypeOf(frame.toLocal(frame.origin)).toEqualTypeOf<Point>();
    expectTypeOf(frame.toEastNorthUp(frame.origin)).toEqualTypeOf<EastNorthUp>();
  });
});
