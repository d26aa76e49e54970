import fc from "fast-check";
import { describe, expect, it, test } from "vitest";
import {
  BicycleModel,
  lookAheadDistance,
  purePursuit,
  pursuePoint,
  stanley,
  steeringAngle,
  steeringCurvature,
} from "../../src/machine/index.js";
import { expectWithin, MM } from "../helpers/within.js";

// closed forms: derived for this test and checked a second way; the laws are those of Coulter 1992 and Hoffmann et al. 2007

/** A bicycle that starts off a line through the origin, northwards, steered without delay in short steps; forward or back. */
function drive(
  steer: (e: number, psi: number) => number,
  { off, speed, way, step = 0.001 }: { off: number; speed: number; way: number; step?: number },
  seen: (x: number, heading: number, way: number) => void,
): void {
  const model = new BicycleModel({ wheelbase: 2.5, maximumAngle: 80 });
  let state = model.place(off, 0, speed < 0 ? 180 : 0);
  for (let s = 0; s < way; s += step) {
    // a nose to the south drives north in reverse
    const nose = state.heading > 180 ? state.heading - 360 : state.heading;
    seen(state.x, nose, s);
    state = model.step(steer(state.x, nose), speed, step / Math.abs(speed));
  }
  seen(state.x, state.heading, way);
}

describe("pure pursuit", () => {
  it("has the curvature of the arc through the target: 1 m beside, 5 m ahead", () => {
    const curvature = purePursuit({ crossTrackError: 1, headingError: 0 }, { lookAheadDistance: 5 });
    expectWithin(curvature, -0.08, 1e-15, "curvature, 1/m");
    expectWithin(steeringAngle(curvature, 2.5), -11.309932474020215, 1e-12, "wheels, degrees");
    expectWithin(steeringCurvature(11.309932474020215, 2.5), 0.08, 1e-15);
    expectWithin(pursuePoint(10, 20, 90, 10 + Math.sqrt(24), 19), 0.08, 1e-15, "to a point, heading east");
  });

  test.for([0.5, 3, 5, 12])(
    "fades as exp(-s/Ld)(cos + sin) for a look-ahead of %d m, forward and in reverse",
    (reach) => {
      for (const speed of [0.7, 3, -2]) {
        const off = 0.001 * reach;
        let least = 0;
        let leastAt = 0;
        const reversing = speed < 0;
        drive(
          (e, headingError) =>
            purePursuit({ crossTrackError: e, headingError }, { lookAheadDistance: reach, reversing }),
          { off, speed, way: 5 * reach, step: reach / 2000 },
          (x, _, s) => {
            const u = s / reach;
            // half a step of delay by the steps' arcs
            expectWithin(x / off, Math.exp(-u) * (Math.cos(u) + Math.sin(u)), 2e-3, `share at ${s} m`);
            if (x < least) {
              least = x;
              leastAt = s;
            }
          },
        );
        expectWithin(-least / off, Math.exp(-Math.PI), 3e-4, "overshoot");
        expectWithin(leastAt / reach, Math.PI, 0.01, "its place");
      }
    },
  );

  it("asks for the circle's own curvature on it, for any look-ahead below its diameter", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 2, max: 500, noNaN: true }),
        fc.double({ min: 0.01, max: 1.99, noNaN: true }),
        fc.boolean(),
        fc.boolean(),
        fc.boolean(),
        (radius, share, left, along, reversing) => {
          const curvature = (left ? -1 : 1) / radius;
          const headingError = along ? 0 : 180;
          const asked = purePursuit(
            { crossTrackError: 0, headingError, curvature },
            { lookAheadDistance: share * radius, reversing },
          );
          // the wheels stand to the nose's right on a line that bends to its right
          expectWithin(asked * radius, (left ? -1 : 1) * (along ? 1 : -1), 1e-9);
        },
      ),
    );
  });

  it("agrees with the arc to the point that lies there on the line", () => {
    fc.assert(
      fc.property(
        fc.double({ min: -3, max: 3, noNaN: true }),
        fc.double({ min: -60, max: 60, noNaN: true }),
        fc.double({ min: -0.05, max: 0.05, noNaN: true }),
        fc.boolean(),
        (off, headingError, bend, reversing) => {
          const reach = 5;
          const nose = reversing ? headingError + 180 : headingError;
          const asked = purePursuit(
            { crossTrackError: off, headingError: nose, curvature: bend },
            { lookAheadDistance: reach, reversing },
          );
          // along the line, in steps, to where it is 5 m away
          let low = 0;
          let high = 8;
          const at = (s: number): [number, number] =>
            Math.abs(bend) < 1e-9 ? [0, s] : [(1 - Math.cos(bend * s)) / bend, Math.sin(bend * s) / bend];
          for (let i = 0; i < 80; i++) {
            const middle = (low + high) / 2;
            const [x, y] = at(middle);
            if (Math.hypot(x - off, y) < reach) low = middle;
            else high = middle;
          }
          const [x, y] = at(low);
          expectWithin(asked, pursuePoint(off, 0, nose, x, y, reversing), 1e-6, "curvature, 1/m");
        },
      ),
    );
  });

  it("makes for its foot when the line is farther away than it looks, and turns round for a target behind", () => {
    expectWithin(purePursuit({ crossTrackError: 8, headingError: 0 }, { lookAheadDistance: 5 }), -2 / 8, 1e-15);
    expect(pursuePoint(0, 0, 0, 0.1, -5)).toBeGreaterThan(0.39);
    expect(pursuePoint(0, 0, 0, -0.1, -5)).toBeLessThan(-0.39);
    expect(pursuePoint(0, 0, 0, 0, 0)).toBe(0);
    const limited = { lookAheadDistance: 5, maximumCurvature: 0.1 };
    expect(purePursuit({ crossTrackError: 4, headingError: 0 }, limited)).toBe(-0.1);
  });

  it("gives NaN for NaN and throws nothing", () => {
    for (const crossTrackError of [Number.NaN, 1]) {
      const headingError = Number.isNaN(crossTrackError) ? 0 : Number.NaN;
      expect(purePursuit({ crossTrackError, headingError }, { lookAheadDistance: 5 })).toBeNaN();
      expect(stanley({ crossTrackError, headingError }, { speed: 1 })).toBeNaN();
    }
    expect(purePursuit({ crossTrackError: 1, headingError: 0 }, { lookAheadDistance: Number.NaN })).toBeNaN();
    expect(pursuePoint(0, 0, Number.NaN, 1, 1)).toBeNaN();
  });

  it("looks ahead by time, within limits", () => {
    expect(lookAheadDistance(3)).toBe(6);
    expect(lookAheadDistance(-3)).toBe(6);
    expect(lookAheadDistance(0)).toBe(3);
    expect(lookAheadDistance(40)).toBe(20);
    expect(lookAheadDistance(3, { time: 1.5, minimum: 5, maximum: 9 })).toBe(5);
  });
});

describe("Stanley", () => {
  /** Front axle's error over time with the front axle at a constant speed: dF/dt = -k. */
  function frontErrors(
    start: number,
    gain: number,
    speed: number,
    reversing: boolean,
    times: readonly number[],
  ): number[] {
    const wheelbase = 2.5;
    const model = new BicycleModel({ wheelbase, maximumAngle: 84 });
    const side = reversing ? -1 : 1;
    // the leading axle is `start` to the right, the machine parallel to the line
    let state = model.place(start, 0, reversing ? 180 : 0);
    const dt = 2e-4;
    const found: number[] = [];
    let time = 0;
    for (const until of times) {
      for (; time < until - dt / 2; time += dt) {
        const nose = state.heading > 180 ? state.heading - 360 : state.heading;
        const angle = stanley(
          { crossTrackError: state.x, headingError: nose },
          { speed: side * speed, wheelbase, gain, softening: 0, maximumAngle: 84 },
        );
        // the rear axle is slower than the leading point by the cosine
        const pace = side * speed * Math.cos((angle * Math.PI) / 180);
        state = model.step(steeringCurvature(angle, wheelbase), pace, dt);
      }
      const nose = (state.heading * Math.PI) / 180;
      found.push(state.x + side * wheelbase * Math.sin(nose));
    }
    return found;
  }

  // k = 1/s, v = 3 m/s, e0 = 2 m, from F(u) = sqrt(1 + u²) + ln(u / (1 + sqrt(1 + u²))), u = k e / v, falling by k a second
  test.for([false, true])("follows its closed form, in reverse: %s", (reversing) => {
    const [e1, e2, e4] = frontErrors(2, 1, 3, reversing, [1, 2, 4]);
    expectWithin(e1!, 0.803382178, 0.5 * MM, "e after 1 s");
    expectWithin(e2!, 0.300096314, 0.5 * MM, "e after 2 s");
    expectWithin(e4!, 0.040713344, 0.5 * MM, "e after 4 s");
  });

  it("has F falling by k a second for other gains and speeds", () => {
    for (const [gain, speed, start] of [
      [0.5, 5, 1],
      [2, 4, 3],
      [1, 1, 0.4],
    ] as const) {
      const invariant = (e: number): number => {
        const u = (gain * e) / speed;
        const root = Math.sqrt(1 + u * u);
        return root + Math.log(u / (1 + root));
      };
      const [e1, e2] = frontErrors(start, gain, speed, false, [0.5, 1.5]);
      expectWithin(invariant(e1!), invariant(start) - gain * 0.5, 1e-3, "F after 0.5 s");
      expectWithin(invariant(e2!), invariant(start) - gain * 1.5, 1e-3, "F after 1.5 s");
    }
  });

  it("holds a circle exactly: wheels along its tangent, rear axle on its own circle", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 4, max: 300, noNaN: true }),
        fc.boolean(),
        fc.boolean(),
        (radius, left, reversing) => {
          // front axle on the line's circle; then the rear axle drives wheelbase / tan(angle)
          const wheelbase = 2.8;
          const sign = left ? -1 : 1;
          const rear = Math.sqrt(radius ** 2 - wheelbase ** 2);
          const off = sign * (radius - rear);
          const angle = stanley(
            { crossTrackError: off, headingError: reversing ? 180 : 0, curvature: sign / radius },
            { speed: reversing ? -2 : 2, wheelbase, maximumAngle: 80 },
          );
          const wanted = (sign * (reversing ? -1 : 1) * Math.asin(wheelbase / radius) * 180) / Math.PI;
          expectWithin(angle, wanted, 1e-6, "wheels, degrees");
          // or with the rear axle on the line's circle
          const fixed = stanley(
            { crossTrackError: 0, headingError: reversing ? 180 : 0, curvature: sign / radius },
            { speed: reversing ? -2 : 2, wheelbase, maximumAngle: 80, axle: "fixed" },
          );
          expectWithin(Math.tan((fixed * Math.PI) / 180), (sign * (reversing ? -1 : 1) * wheelbase) / radius, 1e-9);
        },
      ),
    );
  });

  it("needs no speed: at a standstill it points its wheels by the softened law", () => {
    expect(stanley({ crossTrackError: 0, headingError: 0 }, { speed: 0, softening: 0 })).toBe(0);
    expect(stanley({ crossTrackError: 1, headingError: 0 }, { speed: 0, softening: 0 })).toBe(-45);
    const soft = stanley({ crossTrackError: 0.05, headingError: 0 }, { speed: 0 });
    expectWithin(soft, (-Math.atan(0.1) * 180) / Math.PI, 1e-12);
    for (const speed of [1e-9, -1e-9]) {
      const error = { crossTrackError: 0.05, headingError: speed < 0 ? 180 : 0 };
      expectWithin(Math.abs(stanley(error, { speed })), -soft, 1e-6);
    }
  });

  it("stops at its limit", () => {
    expect(stanley({ crossTrackError: -9, headingError: 0 }, { speed: 1, maximumAngle: 30 })).toBe(30);
    expect(stanley({ crossTrackError: 0, headingError: 60 }, { speed: 1, maximumAngle: 30 })).toBe(-30);
  });
});

describe("both laws", () => {
  const laws = {
    "pure pursuit": (e: number, h: number, c: number, same: boolean | undefined, reversing: boolean) =>
      purePursuit(
        {
          crossTrackError: e,
          headingError: h,
          curvature: c,
          ...(same === undefined ? {} : { travelSameDirection: same }),
        },
        { lookAheadDistance: 6, reversing },
      ),
    stanley: (e: number, h: number, c: number, same: boolean | undefined, reversing: boolean) =>
      stanley(
        {
          crossTrackError: e,
          headingError: h,
          curvature: c,
          ...(same === undefined ? {} : { travelSameDirection: same }),
        },
        { speed: 3, wheelbase: 2.5, reversing },
      ),
  };
  for (const [name, law] of Object.entries(laws)) {
    const near = fc.double({ min: -4, max: 4, noNaN: true });
    const angle = fc.double({ min: -80, max: 80, noNaN: true });
    const bend = fc.double({ min: -0.08, max: 0.08, noNaN: true });

    it(`${name}: the line's direction does not matter, nor which way it is written`, () => {
      fc.assert(
        fc.property(near, angle, bend, fc.boolean(), (e, h, c, reversing) => {
          const nose = reversing ? h + 180 : h;
          const one = law(e, nose, c, undefined, reversing);
          expectWithin(law(-e, nose + 180, -c, undefined, reversing), one, 1e-9);
          expectWithin(law(-e, nose + 180, -c, false, reversing), one, 1e-9);
        }),
      );
    });

    it(`${name}: is odd, left and right alike`, () => {
      fc.assert(
        fc.property(near, angle, bend, fc.boolean(), (e, h, c, reversing) => {
          const nose = reversing ? h + 180 : h;
          expectWithin(law(-e, -nose, -c, true, reversing), -law(e, nose, c, true, reversing), 1e-9);
        }),
      );
    });

    it(`${name}: in reverse it is the mirror image about the fixed axle`, () => {
      fc.assert(
        fc.property(near, angle, bend, (e, h, c) => {
          expectWithin(law(e, h + 180, c, true, true), -law(e, h, c, true, false), 1e-9);
        }),
      );
    });
  }
});
