import fc from "fast-check";
import { describe, expect, test } from "vitest";
import * as units from "../../src/units/index.js";
import { expectWithin } from "../helpers/within.js";

const { acres, feet, hectares, kilometresPerHour, knots, milesPerHour } = units;

describe("exact factors", () => {
  test("one hectare is 2.471053814671653 acres (NIST Handbook 44, appendix C, to all digits)", () => {
    expect(acres(10_000)).toBe(2.471053814671653);
    expect(hectares(123_456)).toBe(12.3456);
  });
  test("one international acre is 4046.8564224 m2 and 43 560 square feet (NIST Handbook 44, appendix C)", () => {
    expect(units.squareMetresFromAcres(1)).toBe(4046.8564224);
    expectWithin(43_560 * units.metresFromFeet(1) ** 2, 4046.8564224, 1e-12 * 4047);
  });
  test("the US survey acre is 4 ppm larger and not meant (NIST: 1200/3937 m a foot)", () => {
    const surveyAcre = 43_560 * (1200 / 3937) ** 2;
    expectWithin((surveyAcre / units.squareMetresFromAcres(1) - 1) * 1e6, 4.000012, 1e-6, "ppm");
  });
  test("one foot is 0.3048 m, one knot 1852 m an hour, one mile an hour 0.44704 m/s", () => {
    expect(units.metresFromFeet(1)).toBe(0.3048);
    expect(units.metresPerSecondFromKnots(3600)).toBe(1852);
    expect(units.metresPerSecondFromMilesPerHour(1)).toBe(0.44704);
    expect(units.metresPerSecondFromKilometresPerHour(36)).toBe(10);
    expect(kilometresPerHour(10)).toBe(36);
  });
});

describe("work rate", () => {
  test("10 km/h on 12 m is 12 ha/h: C = S W eff / 10 (ASAE EP496.3)", () => {
    expectWithin(units.hectaresPerHour(12 * units.metresPerSecondFromKilometresPerHour(10)), 12, 1e-12);
  });
  // rows of a published table: width ft, speed mph, efficiency, acres an hour to one decimal
  // (Iowa State University, Ag Decision Maker A3-24)
  test.for([
    [40, 6, 0.7, 20.4],
    [60, 6, 0.68, 29.7],
    [60, 12, 0.68, 59.3],
    [80, 12, 0.68, 79.1],
    [15, 5, 0.63, 5.7],
    [36, 5, 0.6, 13.1],
    [50, 6, 0.7, 25.5],
  ] as const)("%d ft at %d mph and efficiency %d is %d acres an hour", ([width, speed, efficiency, published]) => {
    const rate = units.metresFromFeet(width) * units.metresPerSecondFromMilesPerHour(speed) * efficiency;
    expectWithin(units.acresPerHour(rate), published, 0.05 + 1e-9, "acres an hour");
  });
});

test("each pair undoes the other to 2 ulp", () => {
  const pairs: [(x: number) => number, (x: number) => number][] = [
    [hectares, units.squareMetresFromHectares],
    [acres, units.squareMetresFromAcres],
    [feet, units.metresFromFeet],
    [kilometresPerHour, units.metresPerSecondFromKilometresPerHour],
    [knots, units.metresPerSecondFromKnots],
    [milesPerHour, units.metresPerSecondFromMilesPerHour],
  ];
  fc.assert(
    fc.property(fc.double({ min: -1e9, max: 1e9, noNaN: true }), (x) => {
      for (const [to, from] of pairs) {
        // denormals lose digits, 1e-300 is far below any unit here
        expectWithin(from(to(x)), x, 5e-16 * Math.abs(x) + 1e-300);
        expectWithin(to(from(x)), x, 5e-16 * Math.abs(x) + 1e-300);
      }
    }),
  );
});
