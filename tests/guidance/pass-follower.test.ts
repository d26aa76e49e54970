import { describe, expect, test } from "vitest";
import type { Point } from "../../src/geometry/index.js";
import {
  guidancePattern,
  type GuidanceState,
  headingLine,
  PassFollower,
  renumberPattern,
  shiftPattern,
  straightLine,
} from "../../src/guidance/index.js";
import { expectCode, expectWithin } from "../helpers/within.js";

const north = straightLine([0, 0], [0, 100]);
const pattern = guidancePattern(north, { swathWidth: 10 });
const rectangle = (x0: number, y0: number, x1: number, y1: number): Point[] => [
  [x0, y0],
  [x1, y0],
  [x1, y1],
  [x0, y1],
];

describe("the steering cue, from the driver's seat", () => {
  test.for([
    // x, heading, reversing, steer: the line runs north at x = 0
    [1, 0, false, "left"],
    [-1, 0, false, "right"],
    [1, 180, false, "right"],
    [-1, 180, false, "left"],
    // in reverse the driver still looks where the nose points, and the wheel turned left brings the machine to the left
    [1, 0, true, "left"],
    [-1, 0, true, "right"],
    [1, 180, true, "right"],
    [-1, 180, true, "left"],
    [0.04, 0, false, "straight"],
    [-0.04, 180, true, "straight"],
  ] as const)("%d m east of the line, nose to %d, reversing %s: steer %s", ([x, heading, reversing, steer]) => {
    const state = new PassFollower(pattern).update(x, 50, heading, reversing);
    expect(state.steer).toBe(steer);
    expect(state.steerDistance).toBe(Math.abs(x));
    expect(state.onLine).toBe(steer === "straight");
    expect(state.crossTrackError).toBe(x);
  });

  test("a wheel turned as the cue says brings a machine to the line, forwards and in reverse, along the line and against it", () => {
    // kinematic bicycle: yaw rate = speed times curvature, right turn positive (ISO 11783-7's sense)
    for (const start of [1.5, -1.5]) {
      for (const nose of [0, 180]) {
        for (const speed of [1, -1]) {
          const follower = new PassFollower(pattern);
          let x = start;
          let y = 50;
          let heading = nose;
          let nearest = Number.POSITIVE_INFINITY;
          for (let i = 0; i < 80; i++) {
            const state = follower.update(x, y, heading, speed < 0);
            nearest = Math.min(nearest, state.steerDistance);
            const curvature = state.steer === "left" ? -0.1 : state.steer === "right" ? 0.1 : 0;
            heading += ((speed * curvature * 0.1) / Math.PI) * 180;
            x += speed * 0.1 * Math.sin((heading / 180) * Math.PI);
            y += speed * 0.1 * Math.cos((heading / 180) * Math.PI);
          }
          expect(nearest, `from ${start}, nose ${nose}, speed ${speed}`).toBeLessThan(0.1);
        }
      }
    }
  });

  test("is none before any heading is known, and says so by the status", () => {
    const follower = new PassFollower(pattern);
    expect(follower.update(1, 50, Number.NaN)).toMatchObject({ status: "no-heading", steer: "none", kept: false });
    expect(follower.update(1, 50, 0)).toMatchObject({ status: "ok", steer: "left" });
    expect(follower.update(2, 50, Number.NaN)).toMatchObject({
      status: "no-heading",
      steer: "left",
      kept: true,
      crossTrackError: 2,
    });
  });

  test("counts as on the line up to the tolerance, that itself included", () => {
    const follower = new PassFollower(pattern, { onLineTolerance: 0.25 });
    expect(follower.update(0.25, 0, 0).onLine).toBe(true);
    expect(follower.update(0.26, 0, 0).onLine).toBe(false);
  });
});

describe("driving from A to B and from B to A", () => {
  test("cross-track error keeps the line's own right; heading errors tell line and driving apart", () => {
    const follower = new PassFollower(pattern);
    expect(follower.update(10.2, 20, 5)).toMatchObject({
      pass: 1,
      sameDirection: true,
      headingError: 5,
      drivingHeadingError: 5,
    });
    expectWithin(follower.state.crossTrackError, 0.2, 1e-12);
    expect(follower.update(10.2, 20, 185)).toMatchObject({
      pass: 1,
      sameDirection: false,
      headingError: -175,
      drivingHeadingError: 5,
    });
    expectWithin(follower.state.crossTrackError, 0.2, 1e-12);
  });

  test("the direction turns over only well past square to the line", () => {
    const follower = new PassFollower(pattern);
    expect(follower.update(0, 0, 45).sameDirection).toBe(true);
    expect(follower.update(0, 0, 91).sameDirection).toBe(true);
    expect(follower.update(0, 0, 99).sameDirection).toBe(true);
    expect(follower.update(0, 0, 101).sameDirection).toBe(false);
    expect(follower.update(0, 0, 89).sameDirection).toBe(false);
    expect(follower.update(0, 0, 81).sameDirection).toBe(false);
    expect(follower.update(0, 0, 79).sameDirection).toBe(true);
    expect(follower.update(0, 0, 360 - 99).sameDirection).toBe(true);
    expect(follower.update(0, 0, 360 - 101).sameDirection).toBe(false);
  });

  test("noise about square to the line does not make the cue flicker", () => {
    const follower = new PassFollower(pattern);
    follower.update(1, 0, 88);
    for (let i = 0; i < 100; i++) expect(follower.update(1, 0, 90 + (i % 2 === 0 ? 4 : -4)).steer).toBe("left");
  });
});

describe("reversing", () => {
  test("leaves the way the machine faces, and turns round the way it travels", () => {
    const follower = new PassFollower(pattern, { field: [{ exterior: rectangle(-50, 0, 50, 100), holes: [] }] });
    const forwards: GuidanceState = { ...follower.update(0.5, 30, 0, false) };
    const backwards: GuidanceState = { ...follower.update(0.5, 30, 0, true) };
    expect(forwards).toMatchObject({ sameDirection: true, travelSameDirection: true, distanceToEnd: 70, aheadY: 35 });
    expect(backwards).toMatchObject({ sameDirection: true, travelSameDirection: false, distanceToEnd: 30, aheadY: 25 });
    expect(backwards.headingError).toBe(forwards.headingError);
    expect(backwards.steer).toBe(forwards.steer);
  });
});

describe("distances along the pass", () => {
  test("the station counts from A's foot in the line's own direction, also before A", () => {
    const follower = new PassFollower(pattern);
    expect(follower.update(20, 30, 0).distanceAlong).toBe(30);
    expect(follower.update(20, -30, 180).distanceAlong).toBe(-30);
  });

  test("a pass that runs on has no end", () => {
    const state = new PassFollower(pattern).update(0, 30, 0);
    expect(state).toMatchObject({ onPass: true, distanceToStart: 0, distanceToEnd: Number.POSITIVE_INFINITY });
  });

  test.for([
    // extension, heading, y, to start, to end, on the pass
    ["none", 0, 30, 0, 70, true],
    ["none", 180, 30, 0, 30, true],
    ["none", 0, -20, 20, 120, false],
    ["none", 180, -20, Number.POSITIVE_INFINITY, -20, false],
    ["none", 0, 130, Number.POSITIVE_INFINITY, -30, false],
    ["none", 180, 130, 30, 130, false],
    ["none", 0, 100, 0, 0, true],
    ["a", 0, -20, 0, 120, true],
    ["a", 180, -20, 0, Number.POSITIVE_INFINITY, true],
    ["b", 0, 130, 0, Number.POSITIVE_INFINITY, true],
    ["b", 180, 130, 0, 130, true],
    ["b", 180, -20, Number.POSITIVE_INFINITY, -20, false],
  ] as const)(
    "extension %s, heading %d, %d m along: starts in %d m, ends in %d m",
    ([extension, heading, y, toStart, toEnd, onPass]) => {
      const follower = new PassFollower(guidancePattern(north, { swathWidth: 10, extension }));
      const state = follower.update(0, y, heading);
      expect(state).toMatchObject({ distanceToStart: toStart, distanceToEnd: toEnd, onPass });
    },
  );

  test("an A+ line extended ahead begins at A, extended behind ends there", () => {
    const ahead = new PassFollower(guidancePattern(headingLine([0, 0], 0), { swathWidth: 10, extension: "b" }));
    expect(ahead.update(0, -5, 0)).toMatchObject({ onPass: false, distanceToStart: 5 });
    expect(ahead.update(0, 5, 180)).toMatchObject({ onPass: true, distanceToEnd: 5 });
    const behind = new PassFollower(guidancePattern(headingLine([0, 0], 0), { swathWidth: 10, extension: "a" }));
    expect(behind.update(0, -5, 0)).toMatchObject({ onPass: true, distanceToEnd: 5 });
  });

  test("in a field the pass ends at its edge, and goes on behind an obstacle", () => {
    const field = [{ exterior: rectangle(-50, -10, 50, 200), holes: [rectangle(-5, 80, 5, 90)] }];
    const follower = new PassFollower(pattern, { field });
    expect(follower.update(0, 50, 0)).toMatchObject({ onPass: true, distanceToStart: 0, distanceToEnd: 30 });
    expect(follower.update(0, 85, 0)).toMatchObject({ onPass: false, distanceToStart: 5, distanceToEnd: 115 });
    expect(follower.update(0, 85, 180)).toMatchObject({ onPass: false, distanceToStart: 5, distanceToEnd: 95 });
    expect(follower.update(0, 120, 0)).toMatchObject({ onPass: true, distanceToEnd: 80 });
    expect(follower.update(0, 210, 0)).toMatchObject({ onPass: false, distanceToEnd: -10 });
    expect(follower.update(10, 50, 0)).toMatchObject({ pass: 1, onPass: true, distanceToEnd: 150 });
    const outside = follower.update(100, 50, 0);
    expect(outside).toMatchObject({ pass: 10, onPass: false, distanceToEnd: 0 });
    expect(outside.distanceToStart).toBe(Number.POSITIVE_INFINITY);
  });

  test("in a field the pattern's own ends still hold", () => {
    const field = [{ exterior: rectangle(-50, -500, 50, 500), holes: [] }];
    const follower = new PassFollower(guidancePattern(north, { swathWidth: 10, extension: "a" }), { field });
    expect(follower.update(0, 50, 0).distanceToEnd).toBe(50);
    expect(follower.update(0, 50, 180).distanceToEnd).toBe(550);
  });

  test("the look-ahead point lies on the pass, ahead in direction of travel", () => {
    const follower = new PassFollower(pattern, { lookAheadDistance: 8 });
    expect(follower.update(11, 20, 10)).toMatchObject({ footX: 10, footY: 20, aheadX: 10, aheadY: 28 });
    expect(follower.update(11, 20, 190)).toMatchObject({ aheadX: 10, aheadY: 12 });
    const out = new Float64Array(3);
    expect(follower.pointAhead(15, out, 1)).toBe(true);
    expect([...out]).toEqual([0, 10, 5]);
    expect(follower.pointAhead(Number.NaN, out)).toBe(false);
    expect(new PassFollower(pattern).pointAhead(5, out)).toBe(false);
  });
});

describe("bad input in the loop", () => {
  test("keeps the last valid values, and says so", () => {
    const follower = new PassFollower(pattern);
    const good = { ...follower.update(21, 30, 3, false) };
    for (const [x, y] of [
      [Number.NaN, 30],
      [21, Number.POSITIVE_INFINITY],
      [1e9, 0],
      [undefined as unknown as number, 3],
    ] as const) {
      expect({ ...follower.update(x, y, 90, true) }).toEqual({ ...good, status: "invalid", kept: true });
    }
    expect(follower.update(21, 30, 3)).toEqual(good);
  });

  test("before any good position everything is 0 and nothing is kept", () => {
    const state = new PassFollower(pattern).update(Number.NaN, 0, 0);
    expect(state).toMatchObject({ status: "invalid", kept: false, pass: 0, crossTrackError: 0, steer: "none" });
  });

  test("what is no whole number holds no pass", () => {
    const follower = new PassFollower(pattern);
    follower.update(1, 0, 0);
    for (const bad of [Number.NaN, 1.5, Number.POSITIVE_INFINITY, "2" as unknown as number]) {
      expect(follower.hold(bad)).toMatchObject({ pass: 0, passHeld: false });
    }
  });
});

describe("holding, skipping, releasing", () => {
  test("a held pass stays, however far the machine goes", () => {
    const follower = new PassFollower(pattern);
    follower.update(1, 0, 0);
    expect(follower.hold()).toMatchObject({ pass: 0, passHeld: true });
    expect(follower.update(31, 0, 0)).toMatchObject({ pass: 0, crossTrackError: 31, steer: "left" });
    expect(follower.release()).toMatchObject({ pass: 3, passHeld: false, crossTrackError: 1 });
  });

  test("a skipped pass is aimed at straight away, without a new position", () => {
    const follower = new PassFollower(pattern);
    follower.update(1, 0, 0);
    expect(follower.skip(2)).toMatchObject({ pass: 2, passHeld: true, crossTrackError: -19, steer: "right" });
    expect(follower.skip(-1)).toMatchObject({ pass: 1, crossTrackError: -9 });
    expect(follower.skip()).toMatchObject({ pass: 2 });
  });

  test("work is resumed at a number before the first position comes", () => {
    const follower = new PassFollower(pattern);
    expect(follower.hold(12)).toMatchObject({ pass: 12, passHeld: true, status: "invalid", kept: false });
    expect(follower.update(118, 0, 0)).toMatchObject({ pass: 12, crossTrackError: -2, steer: "right" });
  });

  test("held before the first position without a number, the first pass found is held", () => {
    const follower = new PassFollower(pattern);
    follower.hold();
    expect(follower.update(52, 0, 0)).toMatchObject({ pass: 5, passHeld: true });
    expect(follower.update(0, 0, 0)).toMatchObject({ pass: 5, passHeld: true });
  });
});

describe("a pattern changed on the move", () => {
  test("a shift moves the error at once, keeps pass and hold, and leaves the line alone", () => {
    const follower = new PassFollower(pattern);
    follower.update(14.9, 0, 0);
    follower.hold();
    const state = follower.usePattern(shiftPattern(pattern, { east: 0.3, north: 7 }));
    expect(state).toMatchObject({ pass: 1, passHeld: true, distanceAlong: -7 });
    expectWithin(state.crossTrackError, 4.6, 1e-12);
    expect(follower.pattern!.line).toEqual(north);
    expectWithin(follower.usePattern(shiftPattern(pattern, { east: 0, north: 0 })).crossTrackError, 4.9, 1e-12);
  });

  test("renumbering keeps the pass under the machine and calls it by its new number", () => {
    const follower = new PassFollower(pattern);
    follower.update(31, 0, 0);
    follower.hold();
    const state = follower.usePattern(renumberPattern(pattern, [31, 0], 12));
    expect(state).toMatchObject({ pass: 12, passHeld: true, crossTrackError: 1 });
  });

  test("another line is begun anew: nearest pass, nothing held", () => {
    const follower = new PassFollower(pattern);
    follower.update(31, 4, 0);
    follower.hold(0);
    const across = guidancePattern(straightLine([0, 0], [100, 0]), { swathWidth: 10 });
    expect(follower.usePattern(across)).toMatchObject({ pass: 0, passHeld: false, crossTrackError: -4 });
  });

  test("an A+ line is the same one while point and heading are the same", () => {
    const eastward = guidancePattern(headingLine([0, 0], 90), { swathWidth: 10 });
    const follower = new PassFollower(eastward);
    follower.update(5, -31, 90);
    follower.hold(0);
    expect(follower.usePattern(shiftPattern(eastward, { east: 0, north: -1 }))).toMatchObject({
      pass: 0,
      passHeld: true,
      crossTrackError: 30,
    });
    const turned = guidancePattern(headingLine([0, 0], 91), { swathWidth: 10 });
    expect(follower.usePattern(turned)).toMatchObject({ pass: 3, passHeld: false });
  });

  test("another swath width is begun anew", () => {
    const follower = new PassFollower(pattern);
    follower.update(31, 4, 0);
    follower.hold(0);
    expect(follower.usePattern({ ...pattern, swathWidth: 6 })).toMatchObject({ pass: 5, passHeld: false });
  });

  test("without a pattern the state says so, until there is one", () => {
    const follower = new PassFollower(null);
    expect(follower.update(14, 0, 0)).toMatchObject({ status: "no-line", pass: 0 });
    expect(follower.usePattern(pattern)).toMatchObject({ pass: 1, crossTrackError: 4, steer: "left" });
    expect(follower.update(14, 0, 0).status).toBe("ok");
    expect(follower.usePattern(null)).toMatchObject({ status: "no-line", crossTrackError: 0 });
    expect(follower.update(14, 0, 0).status).toBe("no-line");
  });

  test("a damaged pattern is refused and the old one kept", () => {
    const follower = new PassFollower(pattern);
    follower.update(14, 0, 0);
    expectCode(() => follower.usePattern({ ...pattern, swathWidth: -1 }), "out-of-range");
    expect(follower.update(14, 0, 0)).toMatchObject({ status: "ok", pass: 1 });
  });
});

describe("setting up", () => {
  test.for([
    [{ passHysteresis: -1 }, "out-of-range", "options.passHysteresis"],
    [{ passHysteresis: Number.NaN }, "not-finite", "options.passHysteresis"],
    [{ directionHysteresis: 90 }, "out-of-range", "options.directionHysteresis"],
    [{ onLineTolerance: -0.1 }, "out-of-range", "options.onLineTolerance"],
    [{ lookAheadDistance: Number.POSITIVE_INFINITY }, "not-finite", "options.lookAheadDistance"],
  ] as const)("%j is refused", ([options, code, argument]) => {
    expect(expectCode(() => new PassFollower(pattern, options), code).argument).toBe(argument);
  });

  test("a field that is none is refused", () => {
    const line = [{ exterior: [[0, 0] as const, [1, 1] as const, [2, 2] as const], holes: [] }];
    expectCode(() => new PassFollower(pattern, { field: line }), "degenerate");
    expectCode(() => new PassFollower(pattern, { field: [{ exterior: [[0, 0]], holes: [] }] }), "too-few-points");
  });

  test.for([
    null,
    {},
    { version: 2 },
    { version: 1, status: "fine" },
    { ...new PassFollower(pattern).snapshot(), pass: 1.5 },
    { ...new PassFollower(pattern).snapshot(), position: [1, null] },
  ])("a damaged snapshot %j is refused", (snapshot) => {
    expectCode(() => PassFollower.restore(snapshot as never, pattern), "bad-snapshot");
  });

  test("the state is one object, owned by the follower", () => {
    const follower = new PassFollower(pattern);
    const first = follower.update(1, 2, 3);
    expect(follower.update(4, 5, 6)).toBe(first);
    expect(follower.state).toBe(first);
  });
});
