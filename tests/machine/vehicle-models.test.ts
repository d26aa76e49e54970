import { describe, expect, it, test } from "vitest";
import {
  ackermannRadius,
  ArticulatedModel,
  BicycleModel,
  SteeringActuator,
  TowedImplement,
  TrackedModel,
  type VehicleModel,
} from "../../src/machine/index.js";
import { expectAngleWithin, expectCode, expectWithin, MM } from "../helpers/within.js";

const DEGREE = Math.PI / 180;

describe("the turning circle of a front-steered machine", () => {
  it("is L / tan at the rear and L / sin at the front", () => {
    const { radius, frontRadius, middleAngle } = ackermannRadius({ wheelbase: 2.8, innerAngle: 30 });
    expectWithin(radius, 4.8497423, 1e-7);
    expectWithin(frontRadius, 5.6, 1e-12);
    expectWithin(middleAngle, 30, 1e-12);
  });

  it("is 464.3 inches in the worked example of a chart of truck turning radii: wheelbase 198, track 77, inner wheel 30 degrees", () => {
    const { outerRadius, outerAngle } = ackermannRadius({ wheelbase: 198, track: 77, innerAngle: 30 });
    expectWithin(outerRadius, 464.3, 0.05, "inches");
    expectWithin(outerRadius, 464.28299, 1e-5, "inches");
    expectWithin(Math.sin(outerAngle * DEGREE), 0.42646, 1e-5, "sine of the outer angle as printed");
  });

  it("refuses what turns nowhere", () => {
    expectCode(() => ackermannRadius({ wheelbase: 0, innerAngle: 30 }), "out-of-range");
    expectCode(() => ackermannRadius({ wheelbase: 3, innerAngle: 0 }), "out-of-range");
    expectCode(() => ackermannRadius({ wheelbase: 3, innerAngle: Number.NaN }), "not-finite");
  });
});

describe("a steering", () => {
  it("waits for its delay, then moves at its rate up to its stop", () => {
    const steering = new SteeringActuator({ maximumAngle: 12, maximumRate: 20, delay: 0.25 });
    steering.command(100);
    expect(steering.advance(0.2)).toBe(0);
    expectWithin(steering.advance(0.2), 3, 1e-12, "0.15 s of movement");
    expectWithin(steering.mean, (3 / 2) * (0.15 / 0.2), 1e-12, "mean over the step");
    expectWithin(steering.advance(10), 12, 1e-12, "its stop");
    expectWithin(steering.mean, 12 - (((12 - 3) / 2) * 0.45) / 10, 1e-9, "mean over the step");
  });

  it("comes to the same whatever the steps", () => {
    const end = (steps: number): number => {
      const steering = new SteeringActuator({ maximumAngle: 30, maximumRate: 25, delay: 0.13 });
      let integral = 0;
      for (let second = 0; second < 4; second++) {
        steering.command([20, -15, 3, 28][second]!);
        for (let i = 0; i < steps; i++) {
          steering.advance(1 / steps);
          integral += steering.mean / steps;
        }
      }
      expect(Math.abs(steering.angle)).toBeLessThanOrEqual(30);
      return integral;
    };
    for (const steps of [2, 7, 50]) expectWithin(end(steps), end(1), 1e-9);
  });

  it("leaves out commands that are no numbers, and time that does not pass", () => {
    const steering = new SteeringActuator();
    steering.command(7);
    steering.command(Number.NaN);
    expect(steering.advance(1)).toBe(7);
    for (const seconds of [0, -1, Number.NaN, Number.POSITIVE_INFINITY]) expect(steering.advance(seconds)).toBe(7);
    expectCode(() => new SteeringActuator({ delay: 6 }), "out-of-range");
    expectCode(() => new SteeringActuator({ maximumRate: 0 }), "out-of-range");
  });
});

const models: readonly (readonly [string, () => VehicleModel])[] = [
  ["bicycle", () => new BicycleModel({ wheelbase: 2.8, maximumAngle: 60 })],
  ["articulated", () => new ArticulatedModel({ front: 1.5, rear: 1.9, maximumAngle: 60 })],
  ["tracked", () => new TrackedModel({ gauge: 2.1 })],
];

describe.for(models)("%s", ([name, make]) => {
  it("drives an exact circle in steps of any length, forward and back", () => {
    for (const [curvature, speed, seconds] of [
      [0.1, 3, 0.05],
      [-0.2, 2, 0.7],
      [0.15, -1.5, 1.3],
    ] as const) {
      const model = make();
      model.place(5, 7, 30);
      // the joint bends at once, while the machine stands
      model.step(curvature, 0, 1);
      const { heading } = model.state;
      const radius = 1 / curvature;
      const cx = 5 + radius * Math.cos(heading * DEGREE);
      const cy = 7 - radius * Math.sin(heading * DEGREE);
      for (let i = 1; i <= 200; i++) {
        const state = model.step(curvature, speed, seconds);
        expectWithin(Math.hypot(state.x - cx, state.y - cy), Math.abs(radius), 1e-9, "radius");
        expectAngleWithin(state.heading, heading + (curvature * speed * seconds * i) / DEGREE, 1e-8);
        expectWithin(state.yawRate * DEGREE, curvature * speed, 1e-12);
      }
    }
  });

  it("holds no more curvature than it says", () => {
    const model = make();
    model.place(0, 0, 0);
    for (let i = 0; i < 100; i++) model.step(9, 1, 0.1);
    expectWithin(model.state.yawRate * DEGREE, model.maximumCurvature, 1e-9);
  });

  it("stands where it is for a step that is none, and keeps its steering for a command that is none", () => {
    const model = make();
    model.place(1, 2, 3);
    for (const seconds of [0, -1, Number.NaN, Number.POSITIVE_INFINITY]) model.step(0.1, 2, seconds);
    expect(model.state).toMatchObject({ x: 1, y: 2, heading: 3 });
    model.step(0.1, 1, 0.1);
    const rate = model.state.yawRate;
    expectWithin(model.step(Number.NaN, 1, 0.1).yawRate, rate, 1e-12, name);
    const { x, y } = model.state;
    const stood = model.step(0.1, Number.NaN, 0.1);
    expect([stood.x, stood.y, stood.speed]).toEqual([x, y, 0]);
  });
});

describe("models while their steering moves", () => {
  /** Runge and Kutta's fourth-order method over x, y, heading with the steering a known function of time. */
  function oracle(rate: (t: number) => number, speed: number, end: number): [x: number, y: number, heading: number] {
    let [x, y, h] = [0, 0, 0];
    const dt = 1e-3;
    for (let i = 0; i < Math.round(end / dt); i++) {
      const t = i * dt;
      const [k1, k2, k3] = [rate(t), rate(t + dt / 2), rate(t + dt)];
      const mid = h + (dt * (k1 + k2)) / 4;
      const last = h + (dt * (k1 + 4 * k2 + k3)) / 6;
      x += (speed * dt * (Math.sin(h) + 4 * Math.sin(mid) + Math.sin(last))) / 6;
      y += (speed * dt * (Math.cos(h) + 4 * Math.cos(mid) + Math.cos(last))) / 6;
      h = last;
    }
    return [x, y, h / DEGREE];
  }
  const ramp = (t: number): number => Math.min(35, 25 * t) * DEGREE;

  test.for([
    [20, 0.42],
    [10, 1.7],
    [5, 6.7],
  ] as const)("bicycle at %d Hz: within %d mm over a full swing at 3 m/s", ([hertz, most]) => {
    const model = new BicycleModel({ wheelbase: 2.8, maximumAngle: 35, maximumRate: 25 });
    model.place(0, 0, 0);
    for (let i = 0; i < 2 * hertz; i++) model.step(9, 3, 1 / hertz);
    const [x, y, heading] = oracle((t) => (3 * Math.tan(ramp(t))) / 2.8, 3, 2);
    expectWithin(Math.hypot(model.state.x - x, model.state.y - y), 0, most * MM, "place");
    expectAngleWithin(model.state.heading, heading, 0.01 * most, "heading");
  });

  it("articulated: turns by its bending too, also while it stands", () => {
    const [f, r] = [1.5, 1.9];
    const model = new ArticulatedModel({ front: f, rear: r, maximumAngle: 35, maximumRate: 25 });
    model.place(0, 0, 0);
    for (let i = 0; i < 40; i++) model.step(9, 3, 0.05);
    const rate = (t: number): number => {
      const bending = t < 1.4 ? 25 * DEGREE : 0;
      return (3 * Math.sin(ramp(t)) + r * bending) / (f * Math.cos(ramp(t)) + r);
    };
    const [x, y, heading] = oracle(rate, 3, 2);
    expectWithin(Math.hypot(model.state.x - x, model.state.y - y), 0, 2 * MM, "place");
    expectAngleWithin(model.state.heading, heading, 0.01, "heading");

    model.place(0, 0, 0);
    for (let i = 0; i < 40; i++) model.step(9, 0, 0.05);
    expectAngleWithin(
      model.state.heading,
      oracle((t) => rate(t) - (3 * Math.sin(ramp(t))) / (f * Math.cos(ramp(t)) + r), 0, 2)[2],
      0.01,
    );
    expect([model.state.x, model.state.y]).toEqual([0, 0]);
  });

  it("articulated: both axles on circles of the joint's angle: r front = (f cos g + r) / sin g", () => {
    const model = new ArticulatedModel({ front: 1.5, rear: 1.9, maximumAngle: 40 });
    expectWithin(model.maximumCurvature, Math.sin(40 * DEGREE) / (1.5 * Math.cos(40 * DEGREE) + 1.9), 1e-15);
    model.place(0, 0, 0);
    expectWithin(model.step(0.1, 1, 1).yawRate * DEGREE, 0.1, 1e-12);
  });

  it("tracked: speeds of the tracks, and no track faster than it runs", () => {
    const model = new TrackedModel({ gauge: 2, maximumTrackSpeed: 3 });
    model.place(0, 0, 0);
    model.step(0.25, 2, 1);
    expect(model.tracks).toEqual({ left: 2.5, right: 1.5 });
    model.step(0.5, 3, 1);
    expect(model.tracks).toEqual({ left: 3, right: 1 });
    expect(model.state.speed).toBe(2);
    model.step(1, -1, 1);
    expect(model.tracks).toEqual({ left: -2, right: 0 });
  });

  it("refuses lengths that are none", () => {
    expectCode(() => new BicycleModel({ wheelbase: 0 }), "out-of-range");
    expectCode(() => new BicycleModel({ wheelbase: 3, maximumAngle: 90 }), "out-of-range");
    expectCode(() => new ArticulatedModel({ front: Number.NaN, rear: 1 }), "not-finite");
    expectCode(() => new TrackedModel({ gauge: -1 }), "out-of-range");
    expectCode(() => new BicycleModel(null as never), "not-finite");
  });
});

describe("a towed implement behind a model", () => {
  // steady circles: sqrt(R² + c² - L²), derived and computed a second way
  test.for([
    [10, 0, 6, 8],
    [10, 1, 6, 8.06225774829855],
    [8, 0.8, 5, 6.2960304954788775],
    [20, 0, 8, 18.33030277982336],
  ] as const)("settles on its own circle: radius %d m, hitch %d m, drawbar %d m", ([radius, hitch, drawbar, own]) => {
    for (const [, make] of models) {
      const model = make();
      model.place(0, 0, 0);
      const implement = new TowedImplement({ hitch: -hitch, drawbar }, { heading: 0 });
      model.step(1 / radius, 0, 1);
      const { heading } = model.state;
      const [cx, cy] = [radius * Math.cos(heading * DEGREE), -radius * Math.sin(heading * DEGREE)];
      for (let i = 0; i < 1200; i++) {
        const { x, y, heading: h, speed, yawRate } = model.step(1 / radius, 3, 0.1);
        implement.update(i / 10, x, y, h, speed, yawRate, true);
      }
      const { x, y } = implement.state;
      expectWithin(Math.hypot(x - cx, y - cy), own, 1e-6, "implement's radius");
    }
  });

  it("follows the tractrix on the straight: 90 degrees off, drawbar 6 m", () => {
    const model = new BicycleModel({ wheelbase: 2.8 });
    model.place(0, 0, 0);
    const implement = new TowedImplement({ hitch: 0, drawbar: 6 }, { heading: 90, jackknifeAngle: 120 });
    implement.update(0, 0, 0, 0, 3, 0, true);
    for (const [way, angle] of [
      [3, 62.476191607697295],
      [6, 40.3950625791453],
      [12, 15.41462680703157],
    ] as const) {
      while (model.state.y < way - 1e-9) {
        const { x, y, heading, speed } = model.step(0, 3, 0.1);
        implement.update(y / 3, x, y, heading, speed, 0, true);
      }
      expectAngleWithin(implement.state.heading, angle, 1e-9, `after ${way} m`);
    }
  });

  it("jackknifes when it is pushed back", () => {
    const model = new BicycleModel({ wheelbase: 2.8 });
    model.place(0, 0, 0);
    const implement = new TowedImplement({ hitch: -1, drawbar: 6 }, { heading: 1 });
    for (let i = 0; i < 400; i++) {
      const { x, y, heading, speed, yawRate } = model.step(0, -1, 0.1);
      implement.update(i / 10, x, y, heading, speed, yawRate, true);
    }
    expect(implement.state.status).toBe("jackknife");
  });
});
