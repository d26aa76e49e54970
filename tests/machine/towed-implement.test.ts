import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { steadyTurn, TowedImplement, type TowedOptions, type TowedState } from "../../src/machine/index.js";
import { normal } from "../helpers/random.js";
import { expectAngleWithin, expectCode, expectWithin, MM } from "../helpers/within.js";
import { axle, type Drive, rungeKutta, type Towage } from "./towed-oracle.js";

const DEGREES = 180 / Math.PI;

/** Machine's pose on a drive of arcs: [seconds, m/s, degrees/s] each. */
class Arcs {
  x: number;
  y: number;
  heading: number;
  constructor(x = 0, y = 0, heading = 0) {
    this.x = x;
    this.y = y;
    this.heading = heading;
  }
  go(seconds: number, speed: number, rate: number): void {
    const half = (rate * seconds) / 2 / DEGREES;
    const chord = speed * seconds * (half === 0 ? 1 : Math.sin(half) / half);
    const course = this.heading / DEGREES + half;
    this.x += chord * Math.sin(course);
    this.y += chord * Math.cos(course);
    this.heading += rate * seconds;
  }
}

/** Drive an implement over arcs at a rate; the last state. */
function tow(
  implement: TowedImplement,
  legs: readonly (readonly [number, number, number])[],
  hertz: number,
  machine = new Arcs(),
  start = 0,
  each: (state: TowedState) => void = () => undefined,
): TowedState {
  let time = start;
  let tick = 0;
  const first = legs[0]!;
  each(implement.update(time, machine.x, machine.y, machine.heading, first[1], first[2], true));
  for (const [seconds, speed, rate] of legs) {
    const count = Math.round(seconds * hertz);
    for (let i = 0; i < count; i++) {
      machine.go(1 / hertz, speed, rate);
      time = start + ++tick / hertz;
      each(implement.update(time, machine.x, machine.y, machine.heading, speed, rate, true));
    }
  }
  return implement.state;
}

const DRIVES: Record<string, Drive> = {
  "straight on into a circle": { speed: () => 2.5, turning: (t) => 0.25 * Math.max(0, Math.min(1, (t - 2) / 2)) },
  slalom: { speed: () => 3, turning: (t) => 0.3 * Math.sin(t) },
  "to and fro": { speed: (t) => 2 * Math.cos(0.4 * t), turning: (t) => 0.2 * Math.sin(0.7 * t) },
};

describe("TowedImplement against closed forms", () => {
  // steady state of the kinematic equation: R_implement = sqrt(R² + c² - L²)
  test.for([
    [10, 0, 6, 8],
    [10, 1, 6, 8.06225775],
    [8, 0.8, 5, 6.2960305],
    [20, 0, 8, 18.33030278],
  ] as const)("settles on the steady circle: R %d, c %d, L %d", ([radius, c, drawbar, own]) => {
    for (const side of [1, -1]) {
      const rate = (side * 2 * DEGREES) / radius;
      const implement = new TowedImplement({ hitch: -c, drawbar }, { heading: 0 });
      const state = tow(implement, [[120, 2, rate]], 5);
      // the centre of the machine's circle lies abeam of the start
      expectWithin(Math.hypot(state.x - side * radius, state.y), own, 1e-6, "radius");
      const steady = steadyTurn({ radius: side * radius, hitch: -c, drawbar });
      if (steady.status !== "ok") expect.fail("no steady turn");
      expectWithin(state.articulation, steady.articulation, 1e-6, "articulation");
      expectWithin(state.yawRate, rate, 1e-6, "yaw rate");
      expectWithin(state.speed, (2 * own) / radius, 1e-6, "speed");
      expect(state.status).toBe("ok");
    }
  });

  // tractrix: tan(th/2) = tan(th0/2) exp(-s/L); L 6 m, th0 90 degrees
  test.for([
    [3, 62.476191607697295],
    [6, 40.3950625791453],
    [12, 15.41462680703157],
    [18, 5.700470874708466],
  ] as const)("follows the tractrix: after %d m %d degrees", ([way, angle]) => {
    for (const hertz of [1, 20]) {
      const state = tow(new TowedImplement({ hitch: 0, drawbar: 6 }, { heading: 90 }), [[way, 1, 0]], hertz);
      expectWithin(state.heading, angle, 1e-9);
      expectWithin(state.x, -6 * Math.sin(angle / DEGREES), 1e-9);
    }
  });

  test("grows by e to the way over the drawbar in reverse, and jackknifes", () => {
    const implement = new TowedImplement({ hitch: 0, drawbar: 6 }, { heading: 0.01 });
    const machine = new Arcs();
    for (const metres of [6, 12, 18]) {
      const fresh = new TowedImplement({ hitch: 0, drawbar: 6 }, { heading: 0.01 });
      const state = tow(fresh, [[metres, -1, 0]], 10);
      const exact = 2 * Math.atan(Math.tan(0.005 / DEGREES) * Math.exp(metres / 6)) * DEGREES;
      expectWithin(state.articulation, exact, 1e-9);
      expect(state.speed).toBeLessThan(0);
    }
    const seen: string[] = [];
    const state = tow(implement, [[70, -1, 0]], 10, machine, 0, ({ status }) => {
      if (seen.at(-1) !== status) seen.push(status);
    });
    // nobody knows the heading after three drawbars in reverse, before it folds
    expect(seen).toEqual(["ok", "unknown", "jackknife"]);
    expect(state.articulation).toBeGreaterThanOrEqual(75);
    expect(state.articulation).toBeLessThanOrEqual(90);
    // pulled straight again
    seen.length = 0;
    const again = tow(implement, [[40, 1, 0]], 10, machine, 71, ({ status }) => {
      if (seen.at(-1) !== status) seen.push(status);
    });
    expect(seen).toEqual(["jackknife", "unknown", "ok"]);
    expectWithin(again.articulation, 0, 1);
  });

  test("jackknifes in a turn too tight for its drawbar, and holds there", () => {
    const implement = new TowedImplement({ hitch: 0, drawbar: 6 }, { heading: 0 });
    const state = tow(implement, [[60, 1, DEGREES / 4]], 10);
    expect(state.status).toBe("jackknife");
    expect(state.articulation).toBe(-90);
    expectWithin(state.yawRate, DEGREES / 4, 1e-12);
    const far = tow(
      new TowedImplement({ hitch: 0, drawbar: 6 }, { heading: 0, jackknifeAngle: 110 }),
      [[60, 1, 15]],
      10,
    );
    expect(far.articulation).toBe(-110);
  });
});

describe("TowedImplement against Runge and Kutta in steps of 1 ms", () => {
  // measured, with a margin of one half: metres at the axle
  test.for([
    ["straight on into a circle", 1, 9 * MM],
    ["straight on into a circle", 5, 0.36 * MM],
    ["straight on into a circle", 10, 0.09 * MM],
    ["straight on into a circle", 20, 0.023 * MM],
    ["slalom", 1, 18 * MM],
    ["slalom", 5, 0.75 * MM],
    ["slalom", 10, 0.18 * MM],
    ["slalom", 20, 0.046 * MM],
    ["to and fro", 1, 21 * MM],
    ["to and fro", 20, 0.053 * MM],
  ] as const)("%s at %d Hz within %d m", ([name, hertz, tolerance]) => {
    const drive = DRIVES[name]!;
    const bars = [[1, 6]] as const;
    let exact: Towage = [0, 0, 0, 0];
    const implement = new TowedImplement({ hitch: -1, drawbar: 6 }, { heading: 0 });
    for (let i = 0; i <= 20 * hertz; i++) {
      const t = i / hertz;
      if (i > 0) exact = rungeKutta(exact, bars, drive, t - 1 / hertz, t);
      const [x, y, heading] = exact as [number, number, number, number];
      const speed = drive.speed(t);
      const state = implement.update(t, x, y, heading * DEGREES, speed, drive.turning(t) * DEGREES, true);
      const place = axle(exact, bars, 0);
      expectWithin(Math.hypot(state.x - place[0], state.y - place[1]), 0, tolerance, `axle at ${t} s`);
      // its motion is the equation's own, not a difference of places
      const fold = heading - exact[3]!;
      const omega = drive.turning(t);
      const rate = (speed * Math.sin(fold) - omega * Math.cos(fold)) / 6;
      expectWithin(state.yawRate, rate * DEGREES, 0.2, "yaw rate");
      expectWithin(state.speed, speed * Math.cos(fold) + omega * Math.sin(fold), 0.02, "speed");
    }
  });

  test("on arcs the interval does not matter, nor a hitch beside the middle", () => {
    const drive: Drive = { speed: (t) => (t < 10 ? 3 : 1), turning: (t) => (t < 4 ? 0.2 : t < 10 ? -0.3 : 0.1) };
    const legs = [
      [4, 3, 0.2 * DEGREES],
      [6, 3, -0.3 * DEGREES],
      [5, 1, 0.1 * DEGREES],
    ] as const;
    let exact: Towage = [0, 0, 0, 0.4];
    for (const [from, to] of [
      [0, 4],
      [4, 10],
      [10, 15],
    ] as const) {
      const middle = (from + to) / 2;
      const even: Drive = { speed: () => drive.speed(middle), turning: () => drive.turning(middle) };
      exact = rungeKutta(exact, [[1.2, 5]], even, from, to);
    }
    for (const hertz of [1, 2, 20]) {
      const state = tow(new TowedImplement({ hitch: -1.2, drawbar: 5 }, { heading: 0.4 * DEGREES }), legs, hertz);
      expectAngleWithin(state.heading, exact[3]! * DEGREES, 1e-8, `${hertz} Hz`);
      const place = axle(exact, [[1.2, 5]], 0);
      expectWithin(Math.hypot(state.x - place[0], state.y - place[1]), 0, 1e-9);
    }
    const beside = [1, 20].map((hertz) =>
      tow(new TowedImplement({ hitch: -1.2, drawbar: 5, hitchY: 0.7 }, { heading: 10 }), legs, hertz),
    );
    expectAngleWithin(beside[0]!.heading, beside[1]!.heading, 1e-9);
  });

  test("two implements behind each other", () => {
    const drive = DRIVES["slalom"]!;
    const bars = [
      [1, 6],
      [0.5, 4],
    ] as const;
    let exact: Towage = [0, 0, 0, 0, 0];
    const first = new TowedImplement({ hitch: -1, drawbar: 6 }, { heading: 0 });
    const second = new TowedImplement({ hitch: -0.5, drawbar: 4 }, { heading: 0 });
    for (let i = 0; i <= 200; i++) {
      const t = i / 10;
      if (i > 0) exact = rungeKutta(exact, bars, drive, t - 0.1, t);
      const [x, y, heading] = exact as [number, number, number, number, number];
      const a = first.update(t, x, y, heading * DEGREES, drive.speed(t), drive.turning(t) * DEGREES, true);
      const b = second.update(t, a.x, a.y, a.heading, a.speed, a.yawRate, true);
      const place = axle(exact, bars, 1);
      expectWithin(Math.hypot(b.x - place[0], b.y - place[1]), 0, 0.18 * MM);
    }
  });
});

describe("TowedImplement.poseAhead", () => {
  test("foretells where arcs lead, to the digit", () => {
    fc.assert(
      fc.property(
        fc.double({ min: -5, max: 5, noNaN: true }),
        fc.double({ min: -30, max: 30, noNaN: true }),
        fc.double({ min: 0, max: 3, noNaN: true }),
        (speed, rate, seconds) => {
          const definition = { hitch: -1, drawbar: 6, hitchY: 0.2 };
          const implement = new TowedImplement(definition, { heading: 20 });
          const machine = new Arcs(100, 200, 50);
          implement.update(0, machine.x, machine.y, machine.heading, speed, rate, true);
          const out = new Float64Array(3);
          implement.poseAhead(seconds, out);
          machine.go(seconds, speed, rate);
          const state = implement.update(
            seconds + 1e-9,
            machine.x,
            machine.y,
            machine.heading,
            speed,
            rate,
            seconds <= 2,
          );
          if (seconds > 2) return;
          expectWithin(Math.hypot(out[0]! - state.x, out[1]! - state.y), 0, 1e-8);
          expectAngleWithin(out[2]!, state.heading, 1e-7);
        },
      ),
    );
  });

  test("is the present pose for 0 s, for no number, and before the first fix", () => {
    const out = new Float64Array(3).fill(9);
    const implement = new TowedImplement({ hitch: -1, drawbar: 6 }, { heading: 10 });
    implement.poseAhead(1, out);
    expect([...out]).toEqual([0, 0, 0]);
    const state = implement.update(0, 5, 5, 0, 2, 3, true);
    for (const seconds of [0, Number.NaN, Number.POSITIVE_INFINITY]) {
      implement.poseAhead(seconds, out);
      expectWithin(out[0]!, state.x, 1e-12);
      expectWithin(out[1]!, state.y, 1e-12);
      expectWithin(out[2]!, 10, 1e-12);
    }
  });
});

describe("TowedImplement at a start and over gaps", () => {
  test("starts in line, unknown until three drawbars of way bring every start together", () => {
    let way = Number.NaN;
    const implement = new TowedImplement({ hitch: -1, drawbar: 6 });
    expect(implement.state.status).toBe("unknown");
    tow(implement, [[20, 2, 0]], 10, new Arcs(), 0, ({ status, articulation, y }) => {
      expect(articulation).toBe(0);
      if (status === "ok" && Number.isNaN(way)) way = y + 7;
    });
    // tan(5/2) = tan(75/2) exp(-s/L)
    expectWithin(way, 6 * Math.log(Math.tan(37.5 / DEGREES) / Math.tan(2.5 / DEGREES)), 0.2);
    expect(way).toBeLessThan(18);
    expect(new TowedImplement({ hitch: -1, drawbar: 6 }, { heading: 30 }).update(0, 0, 0, 0, 0, 0, true).status).toBe(
      "ok",
    );
  });

  test("keeps its word: the true heading is within headingBound whatever the start was", () => {
    fc.assert(
      fc.property(
        fc.double({ min: -74, max: 74, noNaN: true }),
        fc.array(fc.tuple(fc.constantFrom(1, 2, 4), fc.constantFrom(-1.5, 1, 2.5), fc.integer({ min: -8, max: 8 })), {
          minLength: 1,
          maxLength: 8,
        }),
        (start, legs) => {
          const known = new TowedImplement({ hitch: -1, drawbar: 6 }, { heading: start });
          const unknown = new TowedImplement({ hitch: -1, drawbar: 6 });
          const truth: number[] = [];
          let folded = false;
          tow(known, legs, 5, new Arcs(), 0, (s) => {
            folded ||= s.status === "jackknife";
            truth.push(folded ? Number.NaN : s.heading);
          });
          let i = 0;
          let lost = false;
          tow(unknown, legs, 5, new Arcs(), 0, (s) => {
            const true_ = truth[i++]!;
            // once folded nothing is known of the other one
            lost ||= s.status === "jackknife" || Number.isNaN(true_);
            if (!lost) expectAngleWithin(s.heading, true_, s.headingBound + 1e-9);
          });
        },
      ),
    );
  });

  test("a jump of the position swings nothing", () => {
    const implement = new TowedImplement({ hitch: -1, drawbar: 6 }, { heading: 0 });
    tow(implement, [[5, 2, 5]], 10);
    const machine = new Arcs();
    machine.go(5.1, 2, 5);
    const twin = new TowedImplement({ hitch: -1, drawbar: 6 }, { heading: 0 });
    const whole = tow(twin, [[5.1, 2, 5]], 10);
    const state = implement.update(5.1, machine.x + 3, machine.y - 2, machine.heading, 2, 5, false);
    expectWithin(state.articulation, whole.articulation, 1e-9);
    expectWithin(state.x, whole.x + 3, 1e-9);
    expect(state.status).toBe("ok");
  });

  test("over a gap of seconds it goes on where speed and turn lead, and knows less", () => {
    for (const [gap, bound] of [
      [3, 8.85],
      [4, 15.53],
    ] as const) {
      const implement = new TowedImplement({ hitch: -1, drawbar: 6 }, { heading: 0 });
      tow(implement, [[10, 2, 10]], 10);
      const machine = new Arcs();
      machine.go(10 + gap, 2, 10);
      const whole = { ...tow(new TowedImplement({ hitch: -1, drawbar: 6 }, { heading: 0 }), [[10 + gap, 2, 10]], 10) };
      const state = implement.update(10 + gap, machine.x + 0.2, machine.y, machine.heading, 2, 10, false);
      expectWithin(state.articulation, whole.articulation, 1);
      expectWithin(state.headingBound, bound, 0.25);
      expect(state.status).toBe("unknown");
      // settled again sooner than from a new start
      const after = tow(implement, [[5, 2, 0]], 10, machine, 10 + gap);
      expect(after.status).toBe("ok");
    }
    // elsewhere than it should be: it turned about meanwhile
    const lost = new TowedImplement({ hitch: -1, drawbar: 6 }, { heading: 0 });
    tow(lost, [[10, 2, 10]], 10);
    const machine = new Arcs();
    machine.go(13, 2, 10);
    expect(lost.update(13, machine.x + 1, machine.y, machine.heading, 2, 10, false).articulation).toBe(0);
  });

  test("after a long gap it starts anew, unless the machine stood", () => {
    const make = () => {
      const implement = new TowedImplement({ hitch: -1, drawbar: 6 }, { heading: 0 });
      tow(implement, [[6, 2, 10]], 10);
      return implement;
    };
    const machine = new Arcs();
    machine.go(6, 2, 10);
    const { x, y, heading } = machine;
    const before = make().state.articulation;
    expect(before).toBeLessThan(-10);
    const stood = make().update(600, x + 0.1, y, heading + 1, 0, 0, false);
    expectWithin(stood.articulation, before - 1, 0.2);
    expect(stood.status).toBe("ok");
    for (const away of [
      make().update(600, x + 1, y, heading, 0, 0, true),
      make().update(600, x, y, heading + 20, 0, 0, true),
      make().update(9, x + 5, y, heading, 2, 0, false),
      make().update(-60, x + 5, y, heading, 2, 0, true),
      make().update(6.1, x, y, heading + 180, 2, 0, true),
    ]) {
      expect([away.articulation, away.status]).toEqual([0, "unknown"]);
    }
    // a short gap that a longer limit allows
    const patient = new TowedImplement({ hitch: -1, drawbar: 6 }, { heading: 0, maximumGap: 10 });
    tow(patient, [[6, 2, 10]], 10);
    machine.go(3, 2, 10);
    expect(patient.update(9, machine.x, machine.y, machine.heading, 2, 10, true).status).toBe("ok");
  });

  test("an old fix changes nothing, bad numbers only the status", () => {
    const implement = new TowedImplement({ hitch: -1, drawbar: 6 }, { heading: 0 });
    tow(implement, [[6, 2, 10]], 10);
    const before = { ...implement.state };
    const machine = new Arcs();
    machine.go(6, 2, 10);
    implement.update(5.5, 90, 90, 0, 1, 1, true);
    implement.update(6, 90, 90, 0, 1, 1, true);
    expect(implement.state).toEqual(before);
    const bad = [Number.NaN, Number.POSITIVE_INFINITY, 1e300];
    for (let argument = 0; argument < 6; argument++) {
      for (const value of bad) {
        if (argument === 0 && value === 1e300) continue;
        const given: [number, number, number, number, number, number] = [
          7,
          machine.x,
          machine.y,
          machine.heading,
          2,
          10,
        ];
        given[argument] = value;
        expect(implement.update(...given, true)).toEqual({ ...before, status: "invalid" });
      }
    }
    // and it goes on as if they had not been
    machine.go(0.1, 2, 10);
    expect(implement.update(6.1, machine.x, machine.y, machine.heading, 2, 10, true).status).toBe("ok");
    const clean = tow(new TowedImplement({ hitch: -1, drawbar: 6 }, { heading: 0 }), [[6.1, 2, 10]], 10);
    expectWithin(implement.state.articulation, clean.articulation, 1e-9);
  });

  test("never throws and stays finite, whatever comes", () => {
    const odd = fc.oneof(fc.double(), fc.double({ min: -100, max: 100 }), fc.constantFrom(0, -0, 1e9, -1e9));
    fc.assert(
      fc.property(fc.array(fc.tuple(odd, odd, odd, odd, odd, odd, fc.boolean()), { maxLength: 20 }), (calls) => {
        const implement = new TowedImplement({ hitch: -1, drawbar: 0.1, hitchY: 0.3 });
        const out = new Float64Array(3);
        for (const call of calls) {
          const { status, ...numbers } = implement.update(...call);
          expect(["ok", "unknown", "jackknife", "invalid"]).toContain(status);
          for (const [name, value] of Object.entries(numbers)) expect(value, name).toSatisfy(Number.isFinite);
          expect(numbers.heading).toBeGreaterThanOrEqual(0);
          expect(numbers.heading).toBeLessThan(360);
          for (const seconds of [call[0], 1]) {
            implement.poseAhead(seconds, out);
            expect([...out].every(Number.isFinite)).toBe(true);
          }
        }
      }),
    );
  });

  test("noise of the fixes at standstill and on a long straight does not add up", () => {
    const noise = normal(3);
    const implement = new TowedImplement({ hitch: -1, drawbar: 6 }, { heading: 0 });
    let worst = 0;
    // an hour at 10 Hz, every other minute standing: 1 cm and 0.2 degrees of noise
    let way = 0;
    for (let i = 0; i < 36_000; i++) {
      const speed = Math.floor(i / 600) % 2 === 0 ? 2 : 0;
      way += speed / 10;
      const state = implement.update(i / 10, 0.01 * noise(), way + 0.01 * noise(), 0.2 * noise(), speed, 0, true);
      worst = Math.max(worst, Math.abs(state.x));
      expect(state.status).toBe("ok");
    }
    expect(worst).toBeLessThan(0.08);
  });
});

describe("TowedImplement turned, mirrored, moved, stored", () => {
  const legs = [
    [5, 2, 0],
    [6, 2, 15],
    [4, -1, -5],
    [6, 2, -10],
  ] as const;
  const definition = { hitch: -1.1, drawbar: 5.5, hitchY: 0.1 };
  const plain = (options: TowedOptions = { heading: 5 }) => {
    const states: TowedState[] = [];
    tow(new TowedImplement(definition, options), legs, 10, new Arcs(), 0, (s) => states.push({ ...s }));
    return states;
  };

  test("a mirrored drive gives the mirrored implement", () => {
    const right = plain();
    let i = 0;
    const mirrored = legs.map(([t, v, w]) => [t, v, -w] as const);
    tow(new TowedImplement({ ...definition, hitchY: -0.1 }, { heading: -5 }), mirrored, 10, new Arcs(), 0, (s) => {
      const r = right[i++]!;
      expectWithin(s.x, -r.x, 1e-11);
      expectWithin(s.y, r.y, 1e-11);
      expectWithin(s.articulation, -r.articulation, 1e-10);
      expectWithin(s.headingBound, r.headingBound, 1e-9);
      expect(s.status).toBe(r.status);
    });
  });

  test.for([37.5, 90, 181, 359.9])("a drive turned by %d degrees gives the turned implement", (angle) => {
    const right = plain();
    const sine = Math.sin(angle / DEGREES);
    const cosine = Math.cos(angle / DEGREES);
    let i = 0;
    tow(new TowedImplement(definition, { heading: 5 + angle }), legs, 10, new Arcs(0, 0, angle), 0, (s) => {
      const r = right[i++]!;
      expectWithin(s.x, r.x * cosine + r.y * sine, 1e-10);
      expectWithin(s.y, r.y * cosine - r.x * sine, 1e-10);
      expectAngleWithin(s.heading, r.heading + angle, 1e-10);
    });
  });

  test("a drive 6000 km away gives the same, to the digits of its coordinates", () => {
    const right = plain();
    let i = 0;
    tow(new TowedImplement(definition, { heading: 5 }), legs, 10, new Arcs(6e6, -6e6, 0), 0, (s) => {
      const r = right[i++]!;
      // a coordinate of 6e6 m has steps of 1e-9 m
      expectWithin(s.x - 6e6, r.x, 1e-7);
      expectWithin(s.y + 6e6, r.y, 1e-7);
      expectWithin(s.articulation, r.articulation, 1e-6);
    });
  });

  test("goes on from a snapshot bit for bit, through JSON", () => {
    for (const cut of [0, 1, 60, 120, 180]) {
      const whole = plain({});
      let implement = new TowedImplement(definition);
      if (cut === 0) implement = TowedImplement.restore(JSON.parse(JSON.stringify(implement.snapshot())), definition);
      const machine = new Arcs();
      let i = 0;
      const check = (s: TowedState) => {
        expect(s).toEqual(whole[i]);
        i++;
      };
      check(implement.update(0, 0, 0, 0, 2, 0, true));
      let time = 0;
      const a = new Float64Array(3);
      const b = new Float64Array(3);
      for (const [seconds, speed, rate] of legs) {
        for (let k = 0; k < seconds * 10; k++) {
          machine.go(0.1, speed, rate);
          time += 0.1;
          check(implement.update(time, machine.x, machine.y, machine.heading, speed, rate, true));
          if (i === cut) {
            const old = implement;
            implement = TowedImplement.restore(JSON.parse(JSON.stringify(old.snapshot())), definition);
            expect(implement.state).toEqual(old.state);
            old.poseAhead(0.7, a);
            implement.poseAhead(0.7, b);
            expect([...b]).toEqual([...a]);
          }
        }
      }
    }
  });

  test("refuses a snapshot that is damaged, and options out of range", () => {
    const good = new TowedImplement(definition).snapshot();
    for (const bad of [
      null,
      { ...good, version: 2 },
      { ...good, numbers: good.numbers.slice(1) },
      { ...good, numbers: good.numbers.map(() => Number.NaN) },
      { ...good, state: null },
      { ...good, state: { ...good.state, x: null } },
      { ...good, state: { ...good.state, status: "fine" } },
    ]) {
      expectCode(() => TowedImplement.restore(bad as never, definition), "bad-snapshot");
    }
    expectCode(() => new TowedImplement(definition, { jackknifeAngle: 130 }), "out-of-range");
    expectCode(() => new TowedImplement(definition, { settledAngle: 0 }), "out-of-range");
    expectCode(() => new TowedImplement(definition, { maximumGap: 0 }), "out-of-range");
    expectCode(() => new TowedImplement(definition, { heading: Number.NaN }), "not-finite");
    expectCode(() => new TowedImplement(definition, null as never), "not-finite");
  });
});
