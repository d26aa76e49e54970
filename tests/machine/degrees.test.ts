import fc from "fast-check";
import { expect, test } from "vitest";
import { cosDegrees, sinDegrees, turnPair } from "../../src/machine/degrees.js";

const pairOf = (angle: number): [number, number] => {
  const pair = Float64Array.of(angle, 0);
  turnPair(pair);
  return [pair[0]!, pair[1]!];
};

test("sine and cosine together are those of each alone, exact at quarter turns", () => {
  for (let quarter = -9; quarter <= 9; quarter++) {
    const [sine, cosine] = pairOf(90 * quarter);
    // 0 and -0 are one here
    expect([sine + 0, cosine + 0]).toEqual([sinDegrees(90 * quarter) + 0, cosDegrees(90 * quarter) + 0]);
    expect(Math.abs(sine) + Math.abs(cosine)).toBe(1);
  }
  fc.assert(
    fc.property(fc.double({ min: -1000, max: 1000, noNaN: true }), (angle) => {
      const [sine, cosine] = pairOf(angle);
      expect(sine).toBe(sinDegrees(angle));
      // the cosine alone is the sine a quarter turn on: rounded once more, at most 1000 degrees' last place
      expect(Math.abs(cosine - cosDegrees(angle))).toBeLessThan(3e-15);
      expect(Math.abs(sine - Math.sin((angle * Math.PI) / 180))).toBeLessThan(1e-14);
      expect(Math.abs(cosine - Math.cos((angle * Math.PI) / 180))).toBeLessThan(1e-14);
    }),
    { numRuns: 2000 },
  );
  for (const none of [Number.NaN, Number.POSITIVE_INFINITY]) expect(pairOf(none)).toEqual([Number.NaN, Number.NaN]);
});
