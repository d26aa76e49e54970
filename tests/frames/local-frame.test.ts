import { describe, expect, it } from "vitest";
import { localFrame, WGS84 } from "../../src/frames/index.js";
import { TangentPlane } from "../../src/frames/tangent-plane.js";
import { readTable } from "../helpers/reference.js";
import { expectAngleWithin, expectCode, expectWithin } from "../helpers/within.js";

/** Metres for a degree, about: to compare geographic results in metres. */
const DEGREE = 111_320;
const rows = readTable("geodesy/enu_forward_exact.csv");

describe("localFrame against the 50-digit table", () => {
  it.for(rows)("row $id: forward", (row) => {
    const n = (name: string) => Number(row[name]);
    const origin = { latitude: n("lat0"), longitude: n("lon0"), altitude: n("h0") };
    const far = Math.hypot(n("east"), n("north")) > 5000;
    const limit = far ? 1e-8 : 1e-11;
    // the arithmetic holds at the poles too, where the public frame refuses to stand
    const plane = new TangentPlane(WGS84, origin.latitude, origin.longitude, origin.altitude);
    plane.geodetic.set([n("lat"), n("lon"), n("h")]);
    plane.forward();
    expectWithin(plane.local[0]!, n("east"), limit, "east");
    expectWithin(plane.local[1]!, n("north"), limit, "north");
    expectWithin(plane.local[2]!, n("up"), limit, "up");
    if (Math.abs(origin.latitude) > 89.9) {
      expectCode(() => localFrame(origin), "out-of-range");
      return;
    }
    const position = { latitude: n("lat"), longitude: n("lon"), altitude: n("h") };
    expect(localFrame(origin).toEastNorthUp(position)).toEqual([plane.local[0], plane.local[1], plane.local[2]]);
    expect(localFrame(origin).toLocal(position)).toEqual([plane.local[0], plane.local[1]]);
  });
});

describe("localFrame against CartConvert", () => {
  it.for(readTable("geodesy/enu_forward.csv"))("row $id: forward", (row) => {
    const n = (name: string) => Number(row[name]);
    const plane = new TangentPlane(WGS84, n("lat0"), n("lon0"), n("h0"));
    plane.geodetic.set([n("lat"), n("lon"), n("h")]);
    plane.forward();
    for (const [i, name] of ["east", "north", "up"].entries()) expectWithin(plane.local[i]!, n(name), 1e-8, name);
  });

  it.for(readTable("geodesy/enu_reverse.csv"))("row $id: back", (row) => {
    const n = (name: string) => Number(row[name]);
    const plane = new TangentPlane(WGS84, n("lat0"), n("lon0"), n("h0"));
    plane.local.set([n("east"), n("north"), n("up")]);
    plane.inverse();
    const cos = Math.cos((n("lat") * Math.PI) / 180);
    expectWithin(plane.geodetic[0]! * DEGREE, n("lat") * DEGREE, 1e-8, "latitude in metres");
    expectAngleWithin(plane.geodetic[1]!, n("lon"), 1e-8 / DEGREE / cos, "longitude");
    expectWithin(plane.geodetic[2]!, n("h"), 1e-8, "altitude");
    // the planar way: same place when its altitude is given
    plane.geodetic[2] = n("h");
    plane.inverseAt();
    expectWithin(plane.geodetic[0]! * DEGREE, n("lat") * DEGREE, 1e-8, "planar latitude in metres");
    expectAngleWithin(plane.geodetic[1]!, n("lon"), 1e-8 / DEGREE / cos, "planar longitude");
  });
});

describe("headings against the 40-digit table", () => {
  it.for(readTable("geodesy/heading_enu.csv"))("row $id", (row) => {
    const n = (name: string) => Number(row[name]);
    const frame = localFrame({ latitude: n("lat0"), longitude: n("lon0") });
    const at = { latitude: n("lat"), longitude: n("lon") };
    expectAngleWithin(frame.headingToLocal(n("true_heading"), at), n("enu_heading"), 1e-11);
    expectAngleWithin(frame.headingToTrue(n("enu_heading"), at), n("true_heading"), 1e-11);
  });
});
