import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { guidancePattern, PassFollower, straightLine } from "../../src/guidance/index.js";

const north = straightLine([0, 0], [0, 100]);

describe("which pass am I on", () => {
  test("the first position takes the nearest pass, at the start of the field or in its middle", () => {
    for (const [x, pass] of [
      [0, 0],
      [11.9, 0],
      [12.1, 1],
      [-12.1, -1],
      [24 * 17 + 3, 17],
      [-24 * 40 - 11.9, -40],
    ] as const) {
      const follower = new PassFollower(guidancePattern(north, { swathWidth: 24 }));
      expect(follower.update(x, 50, 0).pass).toBe(pass);
    }
  });

  test("another pass is taken only beyond half a swath and the margin, in both directions", () => {
    const follower = new PassFollower(guidancePattern(north, { swathWidth: 10 }), { passHysteresis: 0.5 });
    expect(follower.update(0, 0, 0).pass).toBe(0);
    expect(follower.update(5.4, 0, 0).pass).toBe(0);
    expect(follower.update(5.5, 0, 0).pass).toBe(0);
    expect(follower.update(5.6, 0, 0).pass).toBe(1);
    expect(follower.update(4.6, 0, 0).pass).toBe(1);
    expect(follower.update(4.4, 0, 0).pass).toBe(0);
    expect(follower.update(-5.6, 0, 0).pass).toBe(-1);
  });

  test("a jump over many passes takes the nearest one there", () => {
    const follower = new PassFollower(guidancePattern(north, { swathWidth: 10 }));
    follower.update(0, 0, 0);
    expect(follower.update(1234.9, 0, 0).pass).toBe(123);
    expect(follower.update(-3e7, 0, 0).pass).toBe(-3e6);
    expect(follower.state.crossTrackError).toBe(0);
  });

  test("a huge pass number keeps its error", () => {
    const follower = new PassFollower(guidancePattern(north, { swathWidth: 0.001 }));
    const state = follower.update(9e7 + 0.0002, 0, 0);
    expect(state.pass).toBe(9e10);
    // what is left of 9e7 + 0.0002 in a double
    expect(Math.abs(state.crossTrackError - 0.0002)).toBeLessThan(2e-8);
  });

  test("without a margin it is simply the nearest", () => {
    const follower = new PassFollower(guidancePattern(north, { swathWidth: 10 }), { passHysteresis: 0 });
    expect(follower.update(4.99, 0, 0).pass).toBe(0);
    expect(follower.update(5.01, 0, 0).pass).toBe(1);
    expect(follower.update(4.99, 0, 0).pass).toBe(0);
  });

  test("noise smaller than the margin never makes it chatter at the half-width", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.05, max: 3, noNaN: true }),
        fc.array(fc.double({ min: -1, max: 1, noNaN: true }), { minLength: 50, maxLength: 200 }),
        (margin, noise) => {
          const follower = new PassFollower(guidancePattern(north, { swathWidth: 12 }), { passHysteresis: margin });
          let changes = 0;
          let before = follower.update(6, 0, 0).pass;
          for (const n of noise) {
            const { pass } = follower.update(6 + 0.999 * margin * n, 0, 0);
            if (pass !== before) changes++;
            before = pass;
          }
          expect(changes).toBe(0);
        },
      ),
    );
  });

  test("a slow drift across the field under noise changes each pass once", () => {
    fc.assert(
      fc.property(fc.infiniteStream(fc.double({ min: -0.45, max: 0.45, noNaN: true })), (noise) => {
        const follower = new PassFollower(guidancePattern(north, { swathWidth: 6 }), { passHysteresis: 0.5 });
        const seen: number[] = [follower.update(0, 0, 0).pass];
        for (let x = 0; x < 60; x += 0.05) {
          const { pass } = follower.update(x + noise.next().value, 0, 0);
          if (pass !== seen.at(-1)) seen.push(pass);
        }
        expect(seen).toEqual([...Array(seen.length).keys()]);
      }),
      { numRuns: 30 },
    );
  });

  test("agrees with the plain rule for any drive, hold, skip and release", () => {
    type Step =
      | { readonly do: "drive"; readonly x: number }
      | { readonly do: "hold"; readonly pass: number }
      | { readonly do: "skip"; readonly count: number }
      | { readonly do: "hold here" | "release" };
    const step: fc.Arbitrary<Step> = fc.oneof(
      {
        weight: 6,
        arbitrary: fc.record({ do: fc.constant("drive" as const), x: fc.double({ min: -60, max: 60, noNaN: true }) }),
      },
      fc.record({ do: fc.constant("hold" as const), pass: fc.integer({ min: -9, max: 9 }) }),
      fc.record({ do: fc.constant("skip" as const), count: fc.integer({ min: -3, max: 3 }) }),
      fc.record({ do: fc.constantFrom("hold here" as const, "release" as const) }),
    );
    const settings = fc.record({
      width: fc.integer({ min: 3, max: 36 }),
      margin: fc.integer({ min: 0, max: 20 }).map((n) => n / 10),
      left: fc.option(fc.nat(4), { nil: undefined }),
      right: fc.option(fc.nat(4), { nil: undefined }),
      propagation: fc.constantFrom("both" as const, "left" as const, "right" as const, "none" as const),
      offset: fc.constantFrom(0, 1.5, -4),
      firstPass: fc.integer({ min: -20, max: 20 }),
    });
    fc.assert(
      fc.property(settings, fc.array(step, { maxLength: 40 }), (s, steps) => {
        const pattern = guidancePattern(north, {
          swathWidth: s.width,
          propagation: s.propagation,
          firstPassOffset: s.offset,
          firstPass: s.firstPass,
          ...(s.left === undefined ? {} : { swathsLeft: s.left }),
          ...(s.right === undefined ? {} : { swathsRight: s.right }),
        });
        const follower = new PassFollower(pattern, { passHysteresis: s.margin });
        // the rule, spelled out over a list of all passes there could be
        const lefts = s.propagation === "right" || s.propagation === "none" ? 0 : (s.left ?? 100);
        const rights = s.propagation === "left" || s.propagation === "none" ? 0 : (s.right ?? 100);
        const passes: { readonly number: number; readonly x: number }[] = [];
        for (let i = -lefts; i <= rights; i++) passes.push({ number: s.firstPass + i, x: s.offset + i * s.width });
        let x: number | undefined;
        let current: (typeof passes)[number] | undefined;
        let held = false;
        const distance = (pass: { readonly x: number }): number => Math.abs(x! - pass.x);
        const choose = (): void => {
          if (x === undefined || (held && current !== undefined)) return;
          const nearest = passes.reduce((a, b) => (distance(b) < distance(a) ? b : a));
          if (current === undefined || distance(current) > s.width / 2 + s.margin) current = nearest;
        };
        const clamp = (n: number) => passes.reduce((a, b) => (Math.abs(b.number - n) < Math.abs(a.number - n) ? b : a));
        for (const action of steps) {
          if (action.do === "drive") {
            x = action.x;
            // rounding may decide either way on the very margin
            const edge = passes.some((p) => Math.abs(Math.abs(x! - p.x) - s.width / 2 - s.margin) < 1e-9);
            const middle = passes.some((p) => Math.abs(Math.abs(x! - p.x) - s.width / 2) < 1e-9);
            fc.pre(!edge && !middle);
            follower.update(x, 0, 0);
            choose();
          } else if (action.do === "hold") {
            current = clamp(action.pass);
            held = true;
            follower.hold(action.pass);
          } else if (action.do === "skip") {
            if (current !== undefined) {
              current = clamp(current.number + action.count);
              held = true;
            }
            follower.skip(action.count);
          } else if (action.do === "release") {
            held = false;
            follower.release();
            if (current !== undefined || x !== undefined) choose();
          } else {
            held = true;
            follower.hold();
            choose();
          }
          if (x === undefined || current === undefined) continue;
          expect(follower.state.pass).toBe(current.number);
          expect(follower.state.passHeld).toBe(held);
          expect(follower.state.crossTrackError).toBeCloseTo(x - current.x, 9);
          const beyond = x > passes.at(-1)!.x + s.width / 2 || x < passes[0]!.x - s.width / 2;
          expect(follower.state.beyondPattern).toBe(beyond);
        }
      }),
      { numRuns: 400 },
    );
  });
});

describe("limits of the pattern", () => {
  test("a pattern to the left alone keeps to pass 0 on the right, and says so", () => {
    const follower = new PassFollower(guidancePattern(north, { swathWidth: 10, propagation: "left" }));
    expect(follower.update(-21, 0, 0)).toMatchObject({ pass: -2, beyondPattern: false });
    expect(follower.update(4, 0, 0)).toMatchObject({ pass: 0, beyondPattern: false });
    const beyond = follower.update(37, 0, 0);
    expect(beyond).toMatchObject({ pass: 0, beyondPattern: true, crossTrackError: 37, steer: "left" });
  });

  test("a pattern to the right alone keeps to pass 0 on the left", () => {
    const follower = new PassFollower(guidancePattern(north, { swathWidth: 10, propagation: "right" }));
    expect(follower.update(-37, 0, 0)).toMatchObject({ pass: 0, beyondPattern: true, crossTrackError: -37 });
    expect(follower.update(37, 0, 0)).toMatchObject({ pass: 4, beyondPattern: false });
  });

  test("without propagation there is pass 0 alone", () => {
    const follower = new PassFollower(guidancePattern(north, { swathWidth: 10, propagation: "none", swathsRight: 3 }));
    expect(follower.update(37, 0, 0)).toMatchObject({ pass: 0, beyondPattern: true });
  });

  test("numbers of swaths to the left and right are respected", () => {
    const follower = new PassFollower(guidancePattern(north, { swathWidth: 10, swathsLeft: 2, swathsRight: 3 }));
    expect(follower.update(-500, 0, 0)).toMatchObject({ pass: -2, beyondPattern: true });
    expect(follower.update(500, 0, 0)).toMatchObject({ pass: 3, beyondPattern: true });
    expect(follower.hold(7).pass).toBe(3);
    expect(follower.skip(-100).pass).toBe(-2);
  });

  test("left is the left of somebody who stands at A and looks at B, whichever way the machine drives", () => {
    const south = straightLine([0, 100], [0, 0]);
    const follower = new PassFollower(guidancePattern(south, { swathWidth: 10, propagation: "left" }));
    expect(follower.update(20, 50, 0)).toMatchObject({ pass: -2, beyondPattern: false, sameDirection: false });
    expect(follower.update(-20, 50, 180)).toMatchObject({ pass: 0, beyondPattern: true, sameDirection: true });
  });
});
