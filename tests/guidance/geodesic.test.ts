// Against geodesics on the ellipsoid: tests/reference/geodesy/cross_track_geodesic.csv, made with GeodSolve of GeographicLib
// 2.1.2 (its command is the file's first line), 160 lines of up to 3.1 km, truth good to 3e-9 m.
import { describe, expect, test } from "vitest";
import { localFrame } from "../../src/frames/index.js";
import { guidancePattern, headingLine, PassFollower, straightLine } from "../../src/guidance/index.js";
import { readTable } from "../helpers/reference.js";
import { expectWithin, MM } from "../helpers/within.js";

const rows = readTable("geodesy/cross_track_geodesic.csv").map((row) => ({
  id: row["id"]!,
  a: { latitude: Number(row["lat_a"]), longitude: Number(row["lon_a"]) },
  b: { latitude: Number(row["lat_b"]), longitude: Number(row["lon_b"]) },
  p: { latitude: Number(row["lat_p"]), longitude: Number(row["lon_p"]) },
  azimuth: Number(row["azi_a"]),
  length: Number(row["length_m"]),
  along: Number(row["along_m"]),
  cross: Number(row["cross_m"]),
}));

function follow(row: (typeof rows)[number], origin: { latitude: number; longitude: number }) {
  const frame = localFrame(origin);
  const line = straightLine(frame.toLocal(row.a), frame.toLocal(row.b));
  const follower = new PassFollower(guidancePattern(line, { swathWidth: 6 }));
  follower.hold(0);
  const [x, y] = frame.toLocal(row.p);
  return follower.update(x, y, 0);
}

describe("an AB line in the field's frame against the geodesic on the ellipsoid", () => {
  test("the table has all its rows", () => {
    expect(rows.length).toBe(160);
    expect(rows.some((row) => row.cross > 100)).toBe(true);
    expect(rows.some((row) => row.cross < -100)).toBe(true);
  });

  test("cross-track error is within 0.2 µm, sign included, when the frame's origin is A", () => {
    for (const row of rows) {
      const state = follow(row, row.a);
      expectWithin(state.crossTrackError, row.cross, 2e-7, `row ${row.id}, cross-track error`);
      // the plane is s³/6R² shorter than the ground at s metres from the origin: 0.1 mm at 2.9 km
      expectWithin(state.distanceAlong, row.along, 0.1 * MM, `row ${row.id}, distance along`);
    }
  });

  test("cross-track error is within 0.1 mm when the frame's origin is 2.8 km from A", () => {
    for (const row of rows) {
      for (const [north, east] of [
        [2000, 2000],
        [-2000, 2000],
        [2000, -2000],
        [-2000, -2000],
      ] as const) {
        const origin = {
          latitude: row.a.latitude + north / 111_000,
          longitude: row.a.longitude + east / (111_000 * Math.cos((row.a.latitude * Math.PI) / 180)),
        };
        const state = follow(row, origin);
        expectWithin(state.crossTrackError, row.cross, 0.1 * MM, `row ${row.id} from ${north}, ${east}`);
      }
    }
  });

  test("a heading line with the azimuth of the table gives the same error, once the azimuth is the frame's", () => {
    for (const row of rows) {
      const frame = localFrame(row.a);
      const line = headingLine(frame.toLocal(row.a), frame.headingToLocal(row.azimuth, row.a));
      const follower = new PassFollower(guidancePattern(line, { swathWidth: 6 }));
      follower.hold(0);
      const [x, y] = frame.toLocal(row.p);
      // the table prints azimuths to 1e-6 degrees
      const printed = 5e-7 * (Math.PI / 180) * Math.abs(row.along);
      expectWithin(follower.update(x, y, 0).crossTrackError, row.cross, printed + 2e-7, `row ${row.id}`);
    }
  });

  test("the pass number comes out as the table's distance in swaths", () => {
    for (const row of rows) {
      const frame = localFrame(row.a);
      const line = straightLine(frame.toLocal(row.a), frame.toLocal(row.b));
      const follower = new PassFollower(guidancePattern(line, { swathWidth: 6 }));
      const [x, y] = frame.toLocal(row.p);
      const state = follower.update(x, y, 0);
      expect(Math.abs(state.crossTrackError)).toBeLessThanOrEqual(3 + 1e-6);
      expectWithin(state.pass * 6 + state.crossTrackError, row.cross, 2e-7, `row ${row.id}`);
    }
  });
});

describe("published cross-track distances", () => {
  test("off course to the right is positive, as in the Aviation Formulary", () => {
    // Ed Williams, Aviation Formulary: course 65.8921666 from LAX, D at course 70.17 and 99.8665 nm from there:
    // xtd 7.4512 nm right of course, atd 99.588 nm. On the sphere; the plane is 0.002 nm away from it at 100 nm, and the
    // printed value has rounded intermediates of 0.002 nm.
    const nauticalMile = 1852;
    const radians = Math.PI / 180;
    const follower = new PassFollower(guidancePattern(headingLine([0, 0], 65.8921666), { swathWidth: 6 }));
    follower.hold(0);
    const distance = 99.8665 * nauticalMile;
    const course = (1.22473 / Math.PI) * 180;
    const state = follower.update(distance * Math.sin(course * radians), distance * Math.cos(course * radians), 0);
    expectWithin(state.crossTrackError / nauticalMile, 7.4512, 0.004, "cross-track error, nm");
    expectWithin(state.distanceAlong / nauticalMile, 99.588, 0.004, "along-track distance, nm");
  });

  test("the error between two recorded points is the true one, not the distance to the nearer point", () => {
    // Trans. ASABE 59(6):1609-1616 (2016): taking the nearest recorded point may be 25 cm out at 0.5 m spacing; worked out for
    // a true error of 0.02 m midway: 0.2508 m
    const follower = new PassFollower(guidancePattern(straightLine([0, 0], [0, 0.5]), { swathWidth: 3 }));
    expectWithin(follower.update(0.02, 0.25, 0).crossTrackError, 0.02, 1e-12);
    expectWithin(Math.hypot(0.02, 0.25), 0.2508, 5e-5, "the nearest point's distance");
  });
});
