import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { steadyTurn, towed, towedPose } from "../../src/machine/index.js";
import { drawbarSwing } from "../../src/machine/drawbar-swing.js";
import { expectCode, expectWithin } from "../helpers/within.js";

const DEGREES = 180 / Math.PI;

describe("steadyTurn", () => {
  // steady state of the kinematic equation: R_implement = sqrt(R² + c² - L²), computed by a second way
  test.for([
    [10, 0, 6, 8, 2],
    [10, 1, 6, 8.06225775, 1.93774225],
    [8, 0.8, 5, 6.2960305, 1.7039695],
    [20, 0, 8, 18.33030278, 1.66969722],
  ] as const)("R %d, hitch %d behind, drawbar %d runs on %d", ([radius, c, drawbar, own, off]) => {
    const turn = steadyTurn({ radius, hitch: -c, drawbar });
    if (turn.status !== "ok") expect.fail("no steady turn");
    expectWithin(turn.radius, own, 1e-6);
    expectWithin(turn.offTracking, off, 1e-6);
    const folded = (Math.atan2(c, radius) + Math.atan2(drawbar, turn.radius)) * DEGREES;
    expectWithin(turn.articulation, -folded, 1e-12);
  });

  test("folds by 36.87 degrees, to the left in a right turn and the other way round", () => {
    expect(steadyTurn({ radius: 10, hitch: 0, drawbar: 6 })).toMatchObject({ articulation: -36.86989764584402 });
    expect(steadyTurn({ radius: -10, hitch: 0, drawbar: 6 })).toEqual({
      status: "ok",
      radius: -8,
      offTracking: 2,
      articulation: 36.86989764584402,
    });
  });

  test("says jackknife where there is no steady turn, and from which radius on there is one", () => {
    expect(steadyTurn({ radius: 5, hitch: 0, drawbar: 6 })).toEqual({ status: "jackknife", minimumRadius: 6 });
    expect(steadyTurn({ radius: -5, hitch: -3, drawbar: 5.8309518948453 })).toMatchObject({ status: "ok" });
    fc.assert(
      fc.property(
        fc.double({ min: 0.1, max: 50, noNaN: true }),
        fc.double({ min: -10, max: 10, noNaN: true }),
        fc.double({ min: 0.1, max: 20, noNaN: true }),
        fc.double({ min: -2, max: 2, noNaN: true }),
        fc.boolean(),
        (length, hitch, drawbar, hitchY, left) => {
          const radius = left ? -length : length;
          const turn = steadyTurn({ radius, hitch, drawbar, hitchY });
          if (turn.status === "ok") {
            expect([turn.radius, turn.offTracking, turn.articulation].every(Number.isFinite)).toBe(true);
            // the mirrored machine on the mirrored turn
            const mirror = steadyTurn({ radius: -radius, hitch, drawbar, hitchY: -hitchY });
            expect(mirror).toMatchObject({ radius: -turn.radius || 0, articulation: -turn.articulation || 0 });
          } else {
            const side = left ? -1 : 1;
            const more = steadyTurn({ radius: side * (turn.minimumRadius + 1e-6), hitch, drawbar, hitchY });
            expect(more.status).toBe("ok");
            expect(turn.minimumRadius).toBeGreaterThan(length);
          }
        },
      ),
    );
  });

  test("refuses a circle of no radius and what is no implement", () => {
    expectCode(() => steadyTurn({ radius: 0, hitch: 0, drawbar: 6 }), "out-of-range");
    expectCode(() => steadyTurn({ radius: Number.NaN, hitch: 0, drawbar: 6 }), "not-finite");
    expect(expectCode(() => towed({ hitch: -1, drawbar: 0 }), "out-of-range").argument).toBe("definition.drawbar");
    expect(expectCode(() => towed({ hitch: -1100, drawbar: 6 }), "out-of-range").argument).toBe("definition.hitch");
    expectCode(() => towed({ hitch: -1, drawbar: 6, hitchY: Number.NaN }), "not-finite");
    expectCode(() => towed(null as never), "not-finite");
  });
});

describe("towedPose", () => {
  test("hangs the axle behind the hitch", () => {
    expect(towedPose({ x: 0, y: 0, heading: 0 }, { hitch: -1, drawbar: 6 }, 90)).toEqual({ x: -6, y: -1, heading: 90 });
    expect(towedPose({ x: 5, y: 7, heading: 90 }, { hitch: -1, drawbar: 6, hitchY: 0.5 }, -270)).toEqual({
      x: -2,
      y: 6.5,
      heading: 90,
    });
  });

  test("refuses bad numbers", () => {
    expect(
      expectCode(() => towedPose({ x: 0, y: Number.NaN, heading: 0 }, { hitch: 0, drawbar: 1 }, 0), "not-finite")
        .argument,
    ).toBe("machine.y");
    expectCode(() => towedPose({ x: 0, y: 0, heading: 0 }, { hitch: 0, drawbar: 1 }, Number.NaN), "not-finite");
  });
});

describe("drawbarSwing", () => {
  test("solves da/ds = k - sin(a)/L: small steps put together make the large one", () => {
    fc.assert(
      fc.property(
        fc.double({ min: -3, max: 3, noNaN: true }),
        fc.double({ min: -2, max: 2, noNaN: true }),
        fc.double({ min: -3, max: 3, noNaN: true }),
        (angle, way, turn) => {
          let a = angle;
          for (let i = 0; i < 16; i++) a += drawbarSwing(a, way / 16, turn / 16);
          const whole = angle + drawbarSwing(angle, way, turn);
          // the same end, and no multiple of a turn matters
          expectWithin(Math.sin((a - whole) / 2), 0, 1e-13);
          const h = 1e-4;
          const slope = (drawbarSwing(angle, way * h, turn * h) - drawbarSwing(angle, -way * h, -turn * h)) / (2 * h);
          expectWithin(slope, turn - way * Math.sin(angle), 1e-6);
        },
      ),
    );
  });

  test("turns with the hitch that stands still, and stays finite over any way", () => {
    expectWithin(drawbarSwing(0.3, 0, 0.2), 0.2, 1e-15);
    for (const way of [1e3, 1e9, -1e3, 1e300, 5e-324]) {
      for (const angle of [0, 1, Math.PI]) {
        expect(Number.isFinite(drawbarSwing(angle, way, 0.1))).toBe(true);
        expect(Number.isFinite(drawbarSwing(angle, way, 0))).toBe(true);
      }
    }
  });
});
