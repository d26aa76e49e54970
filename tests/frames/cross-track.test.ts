import { describe, expect, it } from "vitest";
import { localFrame } from "../../src/frames/index.js";
import type { Point } from "../../src/geometry/types.js";
import { readTable } from "../helpers/reference.js";
import { expectWithin } from "../helpers/within.js";

/** Cross-track (right positive) and along-track distance in the plane, metres: the oracle's own three lines. */
function planeTrack(a: Point, b: Point, p: Point): [cross: number, along: number] {
  const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
  const e = (b[0] - a[0]) / length;
  const n = (b[1] - a[1]) / length;
  return [(p[0] - a[0]) * n - (p[1] - a[1]) * e, (p[0] - a[0]) * e + (p[1] - a[1]) * n];
}

describe("cross-track error in the plane against the geodesic", () => {
  it.for(readTable("geodesy/cross_track_geodesic.csv"))("row $id", (row) => {
    const n = (name: string) => Number(row[name]);
    const a = { latitude: n("lat_a"), longitude: n("lon_a") };
    const b = { latitude: n("lat_b"), longitude: n("lon_b") };
    const p = { latitude: n("lat_p"), longitude: n("lon_p") };
    // origin on the line
    const near = localFrame(a);
    const [cross, along] = planeTrack(near.toLocal(a), near.toLocal(b), near.toLocal(p));
    expectWithin(cross, n("cross_m"), 2e-7, "cross-track");
    // along the line the plane is shorter by d³ / 6R², and by d c² / 2R² to the side
    const bound = (Math.abs(along) * (along * along + 3 * cross * cross)) / (6 * 6.3354e6 ** 2);
    expectWithin(along, n("along_m"), bound + 2e-8, "along-track");
    // origin 5 km away, on each side: what the plane itself costs
    for (const [east, north] of [
      [5e3, 0],
      [0, 5e3],
      [-3535, -3535],
    ] as const) {
      const far = localFrame(near.toGeodetic([east, north]));
      const [there] = planeTrack(far.toLocal(a), far.toLocal(b), far.toLocal(p));
      expectWithin(there, n("cross_m"), 2e-4, `cross-track, origin at ${east}, ${north}`);
    }
  });
});

describe("cross-track on the sphere, the oracle for the signs", () => {
  it("has the Aviation Formulary's LAX, JFK and D: right of course is positive", () => {
    // Ed Williams, Aviation Formulary, "Cross track error": west longitudes turned negative
    const rad = (d: number, m: number) => ((d + m / 60) * Math.PI) / 180;
    const lax = [rad(33, 57), -rad(118, 24)] as const;
    const jfk = [rad(40, 38), -rad(73, 47)] as const;
    const d = [rad(34, 30), -rad(116, 30)] as const;
    const course = (a: readonly [number, number], b: readonly [number, number]) =>
      Math.atan2(
        Math.sin(b[1] - a[1]) * Math.cos(b[0]),
        Math.cos(a[0]) * Math.sin(b[0]) - Math.sin(a[0]) * Math.cos(b[0]) * Math.cos(b[1] - a[1]),
      );
    const distance = (a: readonly [number, number], b: readonly [number, number]) =>
      2 *
      Math.asin(
        Math.sqrt(
          Math.sin((a[0] - b[0]) / 2) ** 2 + Math.cos(a[0]) * Math.cos(b[0]) * Math.sin((a[1] - b[1]) / 2) ** 2,
        ),
      );
    const xtd = Math.asin(Math.sin(distance(lax, d)) * Math.sin(course(lax, d) - course(lax, jfk)));
    // printed 0.00216747 with rounded intermediates (0.002 nautical miles); in full doubles 0.00216777817
    expectWithin(xtd, 0.00216747, 6e-7);
    expectWithin(xtd, 0.00216777817, 1e-11);
    // the plane at LAX has D on the same side; at this size it is the wrong tool, so the side is all that is asked
    const degrees = (p: readonly [number, number]) => ({
      latitude: (p[0] * 180) / Math.PI,
      longitude: (p[1] * 180) / Math.PI,
    });
    const frame = localFrame(degrees(lax));
    expect(planeTrack([0, 0], frame.toLocal(degrees(jfk)), frame.toLocal(degrees(d)))[0]).toBeGreaterThan(0);
  });
});
