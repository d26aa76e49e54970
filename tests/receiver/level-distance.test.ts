import geodesic from "geographiclib-geodesic";
import { describe, expect, it } from "vitest";
import { levelDistance } from "../../src/receiver/level-distance.js";
import { expectWithin } from "../helpers/within.js";
import { random } from "../helpers/random.js";

describe("levelDistance", () => {
  it("is the geodesic's length within 1e-6 up to 10 km in latitudes to 70 degrees, 2e-5 to 85", () => {
    // oracle: GeographicLib (Karney 2013), npm geographiclib-geodesic
    const next = random(17);
    for (let i = 0; i < 2000; i++) {
      const latitude = (next() - 0.5) * 170;
      const longitude = (next() - 0.5) * 360;
      const metres = 10 ** (next() * 5 - 1);
      const there = geodesic.Geodesic.WGS84.Direct(latitude, longitude, next() * 360, metres);
      if (Math.abs(there.lat2!) > 85) continue;
      const distance = levelDistance(latitude, longitude, there.lat2!, there.lon2!);
      expectWithin(
        distance,
        metres,
        metres * (Math.max(Math.abs(latitude), Math.abs(there.lat2!)) <= 70 ? 1e-6 : 2e-5) + 1e-8,
        `at ${latitude} ${longitude}`,
      );
    }
  });

  it("does not care for whole turns of longitude", () => {
    expectWithin(levelDistance(10, 179.9999, 10, -179.9999), levelDistance(10, 0, 10, 0.0002), 1e-6);
    expectWithin(levelDistance(10, -179.9999, 10, 179.9999), levelDistance(10, 0, 10, 0.0002), 1e-6);
    expectWithin(levelDistance(10, 350, 10, -9.9999), levelDistance(10, 0, 10, 0.0001), 1e-6);
    expect(levelDistance(47, 20, 47, 20)).toBe(0);
  });
});
