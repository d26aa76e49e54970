import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { gnssErrors, type GnssErrorOptions } from "../../src/simulation/index.js";
import { RandomStream } from "../../src/simulation/random-stream.js";
import { expectCode, expectWithin } from "../helpers/within.js";

/** Errors east and qualities of a run, fix by fix. */
function draw(
  options: GnssErrorOptions,
  seed: number,
  count: number,
  rate = 10,
): { east: Float64Array; quality: number[] } {
  const errors = gnssErrors(options, seed);
  const east = new Float64Array(count);
  const quality: number[] = [];
  for (let i = 0; i < count; i++) {
    const error = errors.at(i / rate);
    east[i] = error.east;
    quality.push(error.quality);
  }
  return { east, quality };
}

describe("the random numbers", () => {
  it("follow xoshiro128** in whole numbers of any size", () => {
    const stream = new RandomStream(7, 3);
    const s = [...(stream as unknown as { s: Int32Array }).s].map((v) => BigInt(v >>> 0));
    const mask = 0xffffffffn;
    const turn = (v: bigint, k: bigint): bigint => ((v << k) | (v >> (32n - k))) & mask;
    for (let i = 0; i < 1000; i++) {
      const expected = (turn((s[1]! * 5n) & mask, 7n) * 9n) & mask;
      const shifted = (s[1]! << 9n) & mask;
      s[2]! ^= s[0]!;
      s[3]! ^= s[1]!;
      s[1]! ^= s[2]!;
      s[0]! ^= s[3]!;
      s[2]! ^= shifted;
      s[3] = turn(s[3]!, 11n);
      expect(stream.next()).toBe(Number(expected));
    }
  });

  it("have mean 0 and deviation 1, and the tails of a normal distribution", () => {
    const stream = new RandomStream(3);
    let [sum, squares, fourth, beyond] = [0, 0, 0, 0];
    const n = 400_000;
    for (let i = 0; i < n; i++) {
      const x = stream.normal();
      sum += x;
      squares += x * x;
      fourth += x ** 4;
      if (Math.abs(x) > 1.959964) beyond++;
    }
    expectWithin(sum / n, 0, 0.006);
    expectWithin(squares / n, 1, 0.01);
    expectWithin(fourth / n, 3, 0.06, "kurtosis");
    expectWithin(beyond / n, 0.05, 0.0015);
  });
});

describe("errors of a receiver", () => {
  it("are none by default", () => {
    const errors = gnssErrors();
    for (let i = 0; i < 10; i++) {
      expect(errors.at(i)).toEqual({
        east: 0,
        north: 0,
        velocityEast: 0,
        velocityNorth: 0,
        heading: Number.NaN,
        yawRate: Number.NaN,
        quality: 4,
      });
    }
  });

  it("are the same for the same seed to the bit, and others for another", () => {
    const options = { noise: 0.01, drift: 0.02, randomChanges: [{ perHour: 60, seconds: 5 }] };
    const one = draw(options, 42, 5000);
    expect(draw(options, 42, 5000)).toEqual(one);
    expect(draw(options, 43, 5000).east).not.toEqual(one.east);
    expect(draw(options, 42 + 2 ** 32, 5000).east).not.toEqual(one.east);
  });

  it("keep drift and dropouts when noise is added", () => {
    const changes = [{ perHour: 60, seconds: 5 }];
    const quiet = draw({ drift: 0.02, randomChanges: changes }, 9, 5000);
    const noisy = draw({ drift: 0.02, noise: 0.01, randomChanges: changes }, 9, 5000);
    expect(noisy.quality).toEqual(quiet.quality);
    const apart = noisy.east.map((e, i) => e - quiet.east[i]!);
    expectWithin(Math.sqrt(apart.reduce((sum, e) => sum + e * e, 0) / 5000), 0.01, 5e-4);
  });

  it("drift as a Gauss-Markov process: deviation from the start on, correlation exp(-t/T) at any rate", () => {
    for (const rate of [1, 20]) {
      const seconds = 200_000;
      const { east } = draw({ drift: 0.05, driftTime: 20 }, 17, seconds, rate);
      const n = east.length;
      const squares = east.reduce((sum, e) => sum + e * e, 0) / n;
      expectWithin(Math.sqrt(squares), 0.05, rate === 1 ? 0.002 : 0.005, "deviation");
      for (const lag of [5, 20, 40]) {
        const k = lag * rate;
        let sum = 0;
        for (let i = 0; i + k < n; i++) sum += east[i]! * east[i + k]!;
        expectWithin(sum / (n - k) / squares, Math.exp(-lag / 20), rate === 1 ? 0.03 : 0.1, `correlation at ${lag} s`);
      }
    }
    // the first value has the whole deviation
    const first = Array.from({ length: 4000 }, (_, seed) => gnssErrors({ drift: 1 }, seed).at(0).east);
    expectWithin(Math.sqrt(first.reduce((sum, e) => sum + e * e, 0) / 4000), 1, 0.04, "first values over many seeds");
  });

  it("change quality at set times, with larger errors meanwhile", () => {
    const { east, quality } = draw(
      {
        offset: [0.1, 0],
        noise: 0.01,
        changes: [
          { from: 10, seconds: 20, quality: 5, factor: 30 },
          { from: 50, seconds: 1, quality: 0 },
        ],
      },
      1,
      1000,
    );
    expect([quality[99], quality[100], quality[299], quality[300], quality[500], quality[510]]).toEqual([
      4, 5, 5, 4, 0, 4,
    ]);
    const rms = (from: number, to: number): number =>
      Math.sqrt(east.slice(from, to).reduce((sum, e) => sum + (e - 0.1) ** 2, 0) / (to - from));
    expectWithin(rms(100, 300), 0.3, 0.06);
    expectWithin(rms(600, 1000), 0.01, 0.002);
  });

  it("drop out as often and as long as asked", () => {
    const { quality } = draw({ randomChanges: [{ perHour: 30, seconds: 12 }] }, 5, 400_000, 1);
    let dropouts = 0;
    let out = 0;
    quality.forEach((q, i) => {
      if (q === 0) out++;
      if (q === 0 && quality[i - 1] !== 0) dropouts++;
    });
    // waiting time 120 s and length 12 s in the mean: one in 132 s; those under a second may fall between fixes
    expectWithin(dropouts, 400_000 / 132, 200);
    expectWithin(out / 400_000, 12 / 132, 0.008);
  });

  it("never throw or give what is no number, whatever the times", () => {
    fc.assert(
      fc.property(fc.array(fc.double(), { maxLength: 20 }), (times) => {
        const errors = gnssErrors({ noise: 1, drift: 1, randomChanges: [{ perHour: 10, seconds: 1 }] });
        for (const time of times.filter((t) => !(t > 1e7))) {
          const { east, north } = errors.at(time);
          expect(Number.isFinite(east + north)).toBe(true);
        }
      }),
    );
  });

  it("refuse what no receiver does", () => {
    expectCode(() => gnssErrors({ noise: -1 }), "out-of-range");
    expectCode(() => gnssErrors({ quality: 4.5 }), "out-of-range");
    expectCode(() => gnssErrors({ rate: 0 }), "out-of-range");
    expectCode(() => gnssErrors({ latency: Number.NaN }), "not-finite");
    const error = expectCode(() => gnssErrors({ changes: [{ from: 0, seconds: -1, quality: 1 }] }), "out-of-range");
    expect(error.argument).toBe("options.changes[0].seconds");
    expectCode(() => gnssErrors({}, Number.NaN), "not-finite");
  });
});
