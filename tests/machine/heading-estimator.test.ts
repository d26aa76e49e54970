import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { HeadingEstimator, type HeadingInput, type HeadingState } from "../../src/machine/index.js";
import { normal as noise } from "../helpers/random.js";
import { expectAngleWithin, expectCode, expectWithin } from "../helpers/within.js";

const R = Math.PI / 180;

interface Truth {
  time: number;
  x: number;
  y: number;
  heading: number;
  speed: number;
  turnRate: number;
}

/** Drive the reference point by a law of speed (m/s) and yaw rate (degrees/s), integrated finely. */
function drive(seconds: number, rate: number, law: (t: number) => [number, number], heading = 0): Truth[] {
  const list: Truth[] = [];
  const fine = 40;
  let x = 0;
  let y = 0;
  let h = heading;
  const n = Math.round(seconds * rate);
  for (let k = 0; k <= n; k++) {
    const [speed, yawRate] = law(k / rate);
    list.push({ time: k / rate, x, y, heading: ((h % 360) + 360) % 360, speed, turnRate: yawRate });
    for (let f = 0; f < fine; f++) {
      const [v, w] = law((k + (f + 0.5) / fine) / rate);
      const d = 1 / rate / fine;
      x += v * d * Math.sin((h + (w * d) / 2) * R);
      y += v * d * Math.cos((h + (w * d) / 2) * R);
      h += w * d;
    }
  }
  return list;
}

const travelOf = (truth: Truth) => (truth.speed < 0 ? truth.heading + 180 : truth.heading);

describe("HeadingEstimator", () => {
  test("takes the heading of two antennas as it is", () => {
    const estimator = new HeadingEstimator();
    let state: HeadingState | undefined;
    for (const p of drive(5, 10, () => [3, 12])) state = estimator.update({ ...p, course: p.heading });
    expect(state).toMatchObject({ source: "antennas", reason: "measured", reversing: false, moving: true });
    expectAngleWithin(state!.heading, 60, 1e-9);
    expectWithin(state!.yawRate, 12, 0.01, "yaw rate");
    expectWithin(state!.curvature, (12 * R) / 3, 1e-3, "curvature");
  });

  test("takes the course over ground without two antennas, across north", () => {
    const estimator = new HeadingEstimator();
    let state: HeadingState | undefined;
    for (const p of drive(10, 5, () => [2, 7], 330)) {
      state = estimator.update({ time: p.time, x: p.x, y: p.y, speed: 2, course: p.heading });
    }
    expect(state).toMatchObject({ source: "course", moving: true });
    expectAngleWithin(state!.heading, 40, 0.05);
    expectWithin(state!.yawRate, 7, 0.05);
  });

  test.for([1, 5, 10, 20])("works from positions alone at %d Hz, straight and in a steady turn", (rate) => {
    for (const yawRate of [0, 10]) {
      const estimator = new HeadingEstimator();
      const truth = drive(12, rate, () => [2.5, yawRate], 200);
      for (const p of truth) {
        const state = estimator.update({ time: p.time, x: p.x, y: p.y });
        if (p.time < 6) continue;
        expect(state.source).toBe("course");
        expectAngleWithin(state.heading, p.heading, 0.3, `heading at ${p.time} s`);
        expectWithin(state.yawRate, yawRate, 0.3);
        // the chord of a 1 s step in this turn is 0.13 % shorter than its arc
        expectWithin(state.speed, 2.5, 0.005);
      }
    }
  });

  test("holds the heading at standstill while the position wanders, and does not creep", () => {
    const wander = noise(7);
    for (const withCourse of [true, false]) {
      const estimator = new HeadingEstimator();
      for (const p of drive(5, 10, () => [2, 0], 75)) estimator.update({ time: p.time, x: p.x, y: p.y });
      const end = drive(5, 10, () => [2, 0], 75).at(-1)!;
      // an hour parked with 2 cm of noise; the receiver's course is then any
      for (let k = 1; k <= 36000; k++) {
        const input: HeadingInput = {
          time: 5 + k / 10,
          x: end.x + 0.02 * wander(),
          y: end.y + 0.02 * wander(),
          speed: Math.abs(0.02 * wander()),
          ...(withCourse ? { course: (Math.abs(wander()) * 1000) % 360 } : {}),
        };
        const state = estimator.update(input);
        if (k > 1) {
          expect(state.source).toBe("held");
          expect(state.reason).toBe("standstill");
          expect(state.yawRate).toBe(0);
          expect(state.reversing).toBe(false);
          expectAngleWithin(state.heading, 75, 0.5);
        }
      }
    }
  });

  test("has a hysteresis between standing and moving", () => {
    const estimator = new HeadingEstimator();
    let t = 0;
    const at = (speed: number) => estimator.update({ time: ++t, x: 0, y: t * 0.2, speed, course: 0 }).moving;
    expect([at(0.2), at(0.29), at(0.3), at(0.2), at(0.15), at(0.149), at(0.2), at(0.31)]).toEqual([
      false,
      false,
      true,
      true,
      true,
      false,
      false,
      true,
    ]);
  });

  describe("reversing", () => {
    /** Forward, brake, back with a turn, brake, forward again. */
    const law = (t: number): [number, number] => {
      if (t < 6) return [2, 0];
      if (t < 8) return [2 - 2 * (t - 6), 0];
      if (t < 13) return [-2, -6];
      if (t < 14) return [-2 + 2 * (t - 13), 0];
      return [Math.min(2, t - 14), 5];
    };

    const sources: [string, (p: Truth) => HeadingInput][] = [
      ["two antennas and course", (p) => ({ ...p, speed: Math.abs(p.speed), course: travelOf(p) % 360 })],
      ["two antennas alone", (p) => ({ time: p.time, x: p.x, y: p.y, heading: p.heading })],
      ["course alone", (p) => ({ time: p.time, x: p.x, y: p.y, speed: Math.abs(p.speed), course: travelOf(p) % 360 })],
      ["positions alone", (p) => ({ time: p.time, x: p.x, y: p.y })],
      [
        "course and the gear",
        (p) => ({
          time: p.time,
          x: p.x,
          y: p.y,
          speed: Math.abs(p.speed),
          course: travelOf(p) % 360,
          reversing: p.speed < 0,
        }),
      ],
    ];
    for (const withCourse of [true, false]) {
      test(`a gear shifted while still rolling turns nothing round ${withCourse ? "with course" : "from positions"}`, () => {
        const estimator = new HeadingEstimator();
        for (const p of drive(20, 10, law)) {
          // a second before the machine stops, and again before it goes forward
          const gear = p.time > 6.5 && p.time < 13.2;
          const course = { speed: Math.abs(p.speed), course: travelOf(p) % 360 };
          const input = { time: p.time, x: p.x, y: p.y, reversing: gear, ...(withCourse ? course : {}) };
          const state = estimator.update(input);
          if (p.time > 1) expectAngleWithin(state.heading, p.heading, 9, `heading at ${p.time} s`);
          if (p.time > 9.2 && p.time < 12.9) expectWithin(state.speed, -2, 0.05);
        }
      });
    }

    for (const rate of [1, 10, 20]) {
      for (const [name, of] of sources) {
        test(`is told from ${name} at ${rate} Hz and never flips the heading`, () => {
          const estimator = new HeadingEstimator();
          // the sense may come late by the time that half a metre or one fix takes
          const late = rate === 1 ? 2.1 : 1.2;
          for (const p of drive(20, rate, law)) {
            const state = estimator.update(of(p));
            if (p.time < 1.5) continue;
            expectAngleWithin(state.heading, p.heading, rate === 1 ? 16 : 9, `heading at ${p.time} s`);
            const clear = (from: number, to: number) => p.time > from + late && p.time < to;
            if (clear(0, 7)) expect(state.reversing).toBe(false);
            if (clear(8, 13)) {
              expect(state.reversing, `reversing at ${p.time} s`).toBe(true);
              expectWithin(state.speed, -2, 0.05);
              if (p.time > 11) {
                expectWithin(state.yawRate, -6, 0.5);
                // backwards with the nose going left is a curve to the right in the driver's sense
                expectWithin(state.curvature, (6 * R) / 2, 0.006);
              }
            }
            if (clear(14.5, 20)) {
              expect(state.reversing, `forward again at ${p.time} s`).toBe(false);
              expect(state.speed).toBeGreaterThan(0);
            }
          }
        });
      }
    }

    test("takes a turn of 180 degrees at full speed as a turn", () => {
      for (const yawRate of [15, 30, 45]) {
        const estimator = new HeadingEstimator();
        for (const p of drive(180 / yawRate + 4, 5, (t) => [1.5, t > 2 && t < 2 + 180 / yawRate ? yawRate : 0])) {
          const state = estimator.update({ time: p.time, x: p.x, y: p.y, speed: 1.5, course: p.heading });
          expect(state.reversing).toBe(false);
        }
      }
    });

    test("keeps the sense through a stop on a headland turn", () => {
      // stops half-way round a turn: the course comes out of the stop as it went in
      const estimator = new HeadingEstimator();
      const stop = (t: number): [number, number] => (t < 4 ? [2, 20] : t < 8 ? [0, 0] : [2, 20]);
      for (const p of drive(12, 10, stop)) {
        const state = estimator.update({ time: p.time, x: p.x, y: p.y, speed: p.speed, course: p.heading });
        expect(state.reversing).toBe(false);
      }
    });
  });

  test("takes the slip angle of a forward antenna out of the course", () => {
    // antenna 2.5 m ahead, 0.4 m right of the fixed axle, 12 m circle: the course is atan(2.5 / 12) = 11.8 degrees off
    const antenna = { x: 2.5, y: 0.4 };
    for (const speed of [2, -2]) {
      const estimator = new HeadingEstimator({ antenna });
      const yawRate = 2 / 12 / R;
      const truth = drive(8, 20, () => [speed, yawRate]);
      const places = truth.map((p) => {
        const s = Math.sin(p.heading * R);
        const c = Math.cos(p.heading * R);
        return [p.x + antenna.x * s + antenna.y * c, p.y + antenna.x * c - antenna.y * s] as const;
      });
      truth.forEach((p, k) => {
        const vx = speed - yawRate * R * antenna.y;
        const vy = yawRate * R * antenna.x;
        const course = (p.heading + Math.atan2(vy, vx) / R + 720) % 360;
        const [x, y] = places[k]!;
        const state = estimator.update({ time: p.time, x, y, speed: Math.hypot(vx, vy), course, reversing: speed < 0 });
        if (p.time < 4) return;
        expectAngleWithin(state.heading, p.heading, 0.1);
        expectWithin(state.speed, speed, 0.01);
        expectWithin(state.curvature, Math.sign(speed) / 12, 1e-3);
      });
    }
  });

  test("has the stated lag: twice the smoothing time while a turn grows, none in a steady one", () => {
    const estimator = new HeadingEstimator({ smoothingTime: 0.3 });
    const growth = 4;
    for (const p of drive(6, 20, (t) => [3, growth * t])) {
      const state = estimator.update({ ...p, course: p.heading });
      if (p.time > 3) expectWithin(p.turnRate - state.yawRate, growth * 0.6, growth * 0.06, "lag of the yaw rate");
    }
    // after a sudden turn 63 % of the rate is there after 2.1 smoothing times
    const sudden = new HeadingEstimator({ smoothingTime: 0.3 });
    let reached = Number.NaN;
    for (const p of drive(6, 50, (t) => [3, t < 2 ? 0 : 20])) {
      const state = sudden.update({ ...p, course: p.heading });
      if (Number.isNaN(reached) && state.yawRate >= 20 * (1 - Math.exp(-1))) reached = p.time - 2;
    }
    expectWithin(reached, 2.146 * 0.3, 0.05, "time to 63 %");
  });

  test("under RTK noise predicts the yaw rate well enough for 2 s ahead", () => {
    // two antennas, 0.2 degrees a fix at 10 Hz: s sqrt(dt / 4 T³) = 0.19 degrees/s
    const error = noise(3);
    const estimator = new HeadingEstimator();
    let sum = 0;
    let n = 0;
    for (const p of drive(120, 10, () => [3, 8])) {
      const state = estimator.update({ ...p, heading: p.heading + 0.2 * error(), course: p.heading });
      if (p.time < 3) continue;
      sum += (state.yawRate - 8) ** 2;
      n++;
    }
    const rms = Math.sqrt(sum / n);
    const formula = 0.2 * Math.sqrt(0.1 / (4 * 0.3 ** 3));
    expect(rms).toBeGreaterThan(0.6 * formula);
    expect(rms).toBeLessThan(1.15 * formula);
  });

  test("from positions with 1 cm of noise keeps the heading within 2.5 degrees", () => {
    const error = noise(11);
    const estimator = new HeadingEstimator();
    let sum = 0;
    let n = 0;
    for (const p of drive(120, 10, () => [2.5, 0], 45)) {
      const state = estimator.update({ time: p.time, x: p.x + 0.01 * error(), y: p.y + 0.01 * error() });
      if (p.time < 2) continue;
      sum += ((state.heading - 45) * 1) ** 2;
      n++;
      expect(state.reversing).toBe(false);
    }
    expect(Math.sqrt(sum / n)).toBeLessThan(2.5);
  });

  test("goes over from two antennas to the course and back without a phantom turn", () => {
    // a machine that drifts 4 degrees down a slope: heading 90, course 94
    const estimator = new HeadingEstimator();
    for (let k = 0; k < 100; k++) {
      const input = { time: k / 10, x: k * 0.3, y: 0, speed: 3, course: 94 };
      const state = estimator.update(k % 20 < 10 ? { ...input, heading: 90 } : input);
      expectWithin(state.yawRate, 0, 0.1, `yaw rate at fix ${k}`);
    }
  });

  test("carries a turn on through fixes without a course", () => {
    const estimator = new HeadingEstimator();
    for (const p of drive(6, 10, () => [2, 15])) {
      const full = p.time < 5;
      const state = estimator.update({ ...(full ? p : { time: p.time, x: p.x, y: p.y }), speed: 2 });
      if (p.time > 3 && p.time < 5.4) expectAngleWithin(state.heading, p.heading, 0.5);
    }
  });

  describe("bad input", () => {
    test("changes nothing, throws nothing and says why", () => {
      const estimator = new HeadingEstimator();
      expect(estimator.update({ time: Number.NaN, x: 0, y: 0 })).toMatchObject({
        source: "none",
        reason: "not-finite",
      });
      estimator.update({ time: 1, x: 0, y: 0, speed: 2, course: 30 });
      estimator.update({ time: 1.1, x: 0.1, y: 0.17, speed: 2, course: 30 });
      const held = { heading: 30, source: "held", speed: 2 };
      expect(estimator.update({ time: 1.2, x: Number.NaN, y: 0 })).toMatchObject({ ...held, reason: "not-finite" });
      expect(estimator.update({ time: 1.1, x: 5, y: 5, course: 200 })).toMatchObject({ ...held, reason: "time-order" });
      expect(estimator.update({ time: 0.9, x: 5, y: 5, course: 200 })).toMatchObject({ ...held, reason: "time-order" });
      const odd = { speed: Number.NaN, course: Number.POSITIVE_INFINITY, heading: Number.NaN };
      expect(estimator.update({ time: 1.2, x: 0.2, y: 0.34, ...odd }).heading).toBeCloseTo(30, 0);
    });

    test("starts afresh after a gap, a jump and a clock set back, and keeps the heading until it moves", () => {
      for (const [time, x] of [
        [60, 40],
        [2.1, 5000],
        [-500, 0.3],
      ] as const) {
        const estimator = new HeadingEstimator();
        for (let k = 0; k <= 20; k++) estimator.update({ time: k / 10, x: 0, y: k * 0.2 });
        expect(estimator.update({ time, x, y: 4 })).toMatchObject({ source: "held", reason: "gap", yawRate: 0 });
        expectAngleWithin(estimator.update({ time: time + 0.1, x: x + 0.2, y: 4 }).heading, 0, 1e-9);
        for (let k = 2; k < 10; k++) estimator.update({ time: time + k / 10, x: x + k * 0.2, y: 4 });
        const state = estimator.update({ time: time + 1, x: x + 2, y: 4 });
        expectAngleWithin(state.heading, 90, 1e-6);
        expect(state.reversing).toBe(false);
      }
    });

    test("stays finite and in range whatever comes in", () => {
      const any = fc.oneof(fc.double(), fc.double({ min: -400, max: 400 }), fc.constant(undefined));
      const number = fc.oneof(fc.double(), fc.double({ min: 0, max: 100 }));
      fc.assert(
        fc.property(
          fc.array(fc.tuple(number, number, number, any, any, any, fc.option(fc.boolean(), { nil: undefined })), {
            maxLength: 30,
          }),
          (fixes) => {
            const estimator = new HeadingEstimator({ antenna: { x: 3, y: 1 } });
            for (const [time, x, y, speed, course, heading, reversing] of fixes) {
              const s = estimator.update({ time, x, y, speed, course, heading, reversing });
              for (const value of [s.heading, s.speed, s.yawRate, s.curvature])
                expect(value).toSatisfy(Number.isFinite);
              expect(s.heading).toBeGreaterThanOrEqual(0);
              expect(s.heading).toBeLessThan(360);
              expect(Math.abs(s.curvature)).toBeLessThanOrEqual(1);
            }
          },
        ),
      );
    });

    test("refuses options out of range", () => {
      expectCode(() => new HeadingEstimator({ smoothingTime: 0 }), "out-of-range");
      expectCode(() => new HeadingEstimator({ movingSpeed: 0.1, standstillSpeed: 0.2 }), "out-of-range");
      expect(expectCode(() => new HeadingEstimator({ maximumGap: Number.NaN }), "not-finite").argument).toBe(
        "options.maximumGap",
      );
    });
  });

  test("goes on from a snapshot bit for bit", () => {
    const error = noise(5);
    const law = (t: number): [number, number] => [t < 8 ? 2 : t < 10 ? 0 : -2, 9];
    const inputs = drive(20, 10, law).map((p, k) => ({
      time: p.time,
      x: p.x + 0.01 * error(),
      y: p.y + 0.01 * error(),
      ...(k % 3 === 0 ? {} : { speed: Math.abs(p.speed), course: travelOf(p) % 360 }),
    }));
    for (const cut of [0, 1, 30, 85, 100, 130]) {
      const whole = new HeadingEstimator();
      for (let k = 0; k < cut; k++) whole.update(inputs[k]!);
      const copy = HeadingEstimator.restore(JSON.parse(JSON.stringify(whole.snapshot())));
      for (let k = cut; k < inputs.length; k++) {
        expect(copy.update(inputs[k]!)).toEqual(whole.update(inputs[k]!));
      }
      expect(copy.snapshot()).toEqual(whole.snapshot());
    }
    expectCode(() => HeadingEstimator.restore({ version: 2 } as never), "bad-snapshot");
    expectCode(() => HeadingEstimator.restore(null as never), "bad-snapshot");
    const good = new HeadingEstimator().snapshot();
    for (const bad of [{ reversing: Number.NaN }, { moving: 1 }, { yawRate: null }, { curvature: Number.NaN }]) {
      const state = { ...good.state, ...bad } as never;
      expectCode(() => HeadingEstimator.restore({ ...good, state }), "bad-snapshot");
    }
    expectCode(
      () => HeadingEstimator.restore({ ...new HeadingEstimator().snapshot(), numbers: [1, 2] }),
      "bad-snapshot",
    );
  });
});
