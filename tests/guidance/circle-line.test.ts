import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { nearestOnLine, type Point } from "../../src/geometry/index.js";
import {
  circleLine,
  guidancePattern,
  highestPass,
  lineFromPass,
  lowestPass,
  passesOfField,
  passLine,
  PassFollower,
  reverseLine,
  whyNoPass,
} from "../../src/guidance/index.js";
import { expectAngleWithin, expectCode, expectWithin } from "../helpers/within.js";

const at = (bearing: number, radius: number, [x, y]: Point = [0, 0]): Point => {
  const b = (bearing * Math.PI) / 180;
  return [x + radius * Math.sin(b), y + radius * Math.cos(b)];
};
const bearing = fc.double({ min: 0, max: 360, noNaN: true, maxExcluded: true });
const rotation = fc.constantFrom("clockwise" as const, "counter-clockwise" as const);

describe("a circle", () => {
  test("closed forms of error, heading, curvature and stations hold on every pass, both ways round", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 20, max: 800, noNaN: true }),
        rotation,
        bearing,
        bearing,
        fc.integer({ min: -5, max: 5 }),
        fc.double({ min: -2.9, max: 2.9, noNaN: true }),
        (radius, turn, start, b, k, off) => {
          const w = 6;
          const cw = turn === "clockwise" ? 1 : -1;
          const centre: Point = [500, -300];
          const pattern = guidancePattern(circleLine(centre, radius, { rotation: turn, start }), { swathWidth: w });
          const pass = Math.min(highestPass(pattern), Math.max(lowestPass(pattern), k));
          // right is inside when walked clockwise
          const passRadius = radius - cw * pass * w;
          if (passRadius - cw * off < 0.01) return;
          const follower = new PassFollower(pattern, { lookAheadDistance: 4 });
          follower.hold(pass);
          const [x, y] = at(b, passRadius - cw * off, centre);
          const state = follower.update(x, y, b + cw * 90, false);
          expectWithin(state.crossTrackError, off, 1e-9, "cross-track error");
          expectAngleWithin(state.passHeading, b + cw * 90, 1e-6, "heading");
          expectAngleWithin(state.headingError, 0, 1e-6, "heading error");
          expectWithin(state.curvature, cw / passRadius, 1e-9 / passRadius, "curvature");
          const angle = ((((b - start) * cw) % 360) + 360) % 360;
          const lap = 2 * Math.PI * passRadius;
          const along = (angle / 360) * lap;
          const difference = Math.abs(state.distanceAlong - along);
          expectWithin(Math.min(difference, lap - difference), 0, 1e-6, "distance along");
          expect(state.distanceToEnd).toBe(Number.POSITIVE_INFINITY);
          expect(state.onPass).toBe(true);
          const ahead = at(b + (cw * 4 * 180) / Math.PI / passRadius, passRadius, centre);
          expectWithin(Math.hypot(state.aheadX - ahead[0], state.aheadY - ahead[1]), 0, 1e-8, "look-ahead point");
        },
      ),
    );
  });

  test("has no pass at or beyond its centre, and says why", () => {
    const pattern = guidancePattern(circleLine([0, 0], 100), { swathWidth: 20 });
    expect(highestPass(pattern)).toBe(4);
    expect(lowestPass(pattern)).toBe(Number.NEGATIVE_INFINITY);
    expect(passLine(pattern, 4)).toHaveLength(1);
    expect(passLine(pattern, 5)).toEqual([]);
    expect(whyNoPass(pattern, 5)).toBe("vanished");
    expect(whyNoPass(pattern, 4)).toBe(null);
    expect(whyNoPass({ ...pattern, propagation: "right" }, -1)).toBe("propagation");
    const follower = new PassFollower(pattern);
    const centre = follower.update(0, 0, 0);
    expect(centre.pass).toBe(4);
    expectWithin(centre.crossTrackError, 20, 1e-9);
    expect(centre.beyondPattern).toBe(true);
    // as near to it as numbers go
    const near = follower.update(0, 1.5717277847026288e-162, 0);
    expectWithin(Math.hypot(near.footX, near.footY), 20, 1e-9, "foot");
    // counter-clockwise the inside is to the left
    const other = guidancePattern(circleLine([0, 0], 100, { rotation: "counter-clockwise" }), { swathWidth: 20 });
    expect(lowestPass(other)).toBe(-4);
    expectCode(() => guidancePattern(circleLine([0, 0], 100), { swathWidth: 20, firstPassOffset: 100 }), "degenerate");
  });

  test("its explicit passes lie on the circle, chords within 0.1 mm, and close", () => {
    const pattern = guidancePattern(circleLine([7, 8], 90, { start: 45 }), {
      swathWidth: 12,
      shift: { east: 1, north: 2 },
    });
    for (const pass of [-9, 0, 7]) {
      const [line] = passLine(pattern, pass);
      const radius = 90 - 12 * pass;
      expect(line![line!.length - 1]).toEqual(line![0]);
      const first = at(45, radius, [8, 10]);
      expectWithin(Math.hypot(line![0]![0] - first[0], line![0]![1] - first[1]), 0, 1e-9);
      for (let i = 1; i < line!.length; i++) {
        const [ax, ay] = line![i - 1]!;
        const [bx, by] = line![i]!;
        expectWithin(Math.hypot(bx - 8, by - 10), radius, 1e-9, "vertex");
        expectWithin(Math.hypot((ax + bx) / 2 - 8, (ay + by) / 2 - 10), radius, 1e-4, "chord");
      }
    }
  });

  test("a pass made a new line, or walked the other way, is the circle that it was", () => {
    const pattern = guidancePattern(circleLine([7, 8], 90), { swathWidth: 12, shift: { east: 1, north: 2 } });
    expect(lineFromPass(pattern, 2, { name: "inner" })).toEqual({
      kind: "pivot",
      points: [[8, 10]],
      radius: 66,
      rotation: "clockwise",
      start: 0,
      name: "inner",
    });
    const back = reverseLine(pattern.line);
    expect(back).toMatchObject({ kind: "pivot", radius: 90, rotation: "counter-clockwise" });
    expect(expectCode(() => lineFromPass(pattern, 8), "degenerate").argument).toBe("pass");
  });

  test("its passes over a field inside and out are counted by distance from the ring, not by the field's corners", () => {
    // a square about the whole circle: nearest inside is the centre, farthest outside a corner
    const square: Point[] = [
      [-150, -150],
      [150, -150],
      [150, 150],
      [-150, 150],
    ];
    const fields = passesOfField(guidancePattern(circleLine([0, 0], 100), { swathWidth: 10 }), [
      { exterior: square, holes: [] },
    ]);
    // inside to the last pass with a radius: 9; outside to 212.13 - 100 = 112.13
    expect(fields.last).toBe(9);
    expect(fields.first).toBe(-11);
    expectWithin(fields.lastWidth, 10, 1e-9);
    expectWithin(fields.uncoveredRight, 5, 2e-3, "the innermost 5 m have no pass");
    expectWithin(fields.firstWidth, 150 * Math.SQRT2 - 100 - 105, 2e-3);
  });

  test("in a field the distance to the end is that along the arc to the edge, either way", () => {
    const half: Point[] = [
      [-500, -500],
      [0, -500],
      [0, 500],
      [-500, 500],
    ];
    const pattern = guidancePattern(circleLine([0, 0], 100), { swathWidth: 10 });
    const follower = new PassFollower(pattern, { field: [{ exterior: half, holes: [] }] });
    follower.hold(1);
    // clockwise in the west: northwards
    const inside = follower.update(-90, 0, 0);
    expect(inside.onPass).toBe(true);
    expectWithin(inside.distanceToEnd, (90 * Math.PI) / 2, 1e-2, "to the north end");
    expectWithin(follower.update(...at(225, 90), 315).distanceToEnd, (90 * Math.PI * 3) / 4, 1e-2);
    const outside = follower.update(90, 0, 180);
    expect(outside.onPass).toBe(false);
    expectWithin(outside.distanceToStart, (90 * Math.PI) / 2, 1e-2, "to the south");
    expectWithin(outside.distanceToEnd, 90 * Math.PI * 1.5, 1e-2);
    // facing the other way it begins in the north
    expectWithin(follower.update(90, 0, 0).distanceToStart, (90 * Math.PI) / 2, 1e-2);
    expect(passLine(pattern, 1, { within: [{ exterior: half, holes: [] }] })).toHaveLength(1);
    const [line] = passLine(pattern, 1, { within: [{ exterior: half, holes: [] }] });
    // south to north, over the circle's own start nowhere
    expectWithin(line![0]![1], -90, 1e-3);
    expectWithin(line![line!.length - 1]![1], 90, 1e-3);
  });
});

describe("an arc", () => {
  const arc = circleLine([0, 0], 100, { start: 270, end: 0 });

  test("goes on straight along its tangents where it is extended", () => {
    const follower = new PassFollower(guidancePattern(arc, { swathWidth: 10 }));
    follower.hold(0);
    // before the start, due south of it; past the end, due east
    const before = follower.update(-98, -50, 0);
    expectWithin(before.crossTrackError, 2, 1e-9);
    expectWithin(before.distanceAlong, -50, 1e-9);
    expectWithin(before.passHeading, 0, 1e-9);
    expect(before.curvature).toBe(0);
    const past = follower.update(70, 97, 90);
    expectWithin(past.crossTrackError, 3, 1e-9);
    expectWithin(past.distanceAlong, 50 * Math.PI + 70, 1e-9);
    expect(past.distanceToEnd).toBe(Number.POSITIVE_INFINITY);
    const on = follower.update(...at(315, 99), 45);
    expectWithin(on.crossTrackError, 1, 1e-9);
    expectWithin(on.curvature, 0.01, 1e-12);
    // look ahead over the end
    const near = follower.update(...at(359, 100), 90);
    expectWithin(near.aheadX, 5 - (100 * Math.PI) / 180, 1e-9);
    expectWithin(near.aheadY, 100, 1e-9);
  });

  test("ends where it is not extended", () => {
    const follower = new PassFollower(guidancePattern(arc, { swathWidth: 10, extension: "none" }));
    follower.hold(1);
    const on = follower.update(...at(315, 90), 45);
    expectWithin(on.distanceToEnd, (90 * Math.PI) / 4, 1e-9);
    const past = follower.update(20, 92, 90);
    expectWithin(past.crossTrackError, -2, 1e-9);
    expectWithin(past.distanceToEnd, -20, 1e-9);
    expect(past.onPass).toBe(false);
  });

  test("is, distance and side, what brute force finds on its points and tangents", () => {
    const points: Point[] = [[-100, -5000]];
    for (let i = 0; i <= 9000; i++) points.push(at(270 + i / 100, 100));
    points.push([5000, 100]);
    fc.assert(
      fc.property(
        fc.double({ min: -300, max: 300, noNaN: true }),
        fc.double({ min: -300, max: 300, noNaN: true }),
        (x, y) => {
          const follower = new PassFollower(guidancePattern(arc, { swathWidth: 10 }));
          follower.hold(0);
          const { crossTrackError, footX, footY } = follower.update(x, y, 0);
          expectWithin(crossTrackError, nearestOnLine(points, [x, y]).signedDistance, 1e-5);
          expectWithin(Math.hypot(x - footX, y - footY), Math.abs(crossTrackError), 1e-9);
        },
      ),
    );
  });

  test("explicit passes are the arc and its tangents", () => {
    const pattern = guidancePattern(arc, { swathWidth: 10 });
    const [line] = passLine(pattern, 2, { length: 30 });
    const follower = new PassFollower(pattern);
    follower.hold(2);
    for (const [x, y] of line!) expectWithin(follower.update(x, y, 0).crossTrackError, 0, 1.01e-4);
    expectWithin(line![0]![0], -80, 1e-4);
    expectWithin(line![0]![1], -30, 1e-3);
    expectWithin(line![line!.length - 1]![0], 30, 1e-3);
  });

  test.for([
    [[0, 0], 0, {}, "out-of-range"],
    [[0, 0], Number.NaN, {}, "not-finite"],
    [[Number.NaN, 0], 5, {}, "not-finite"],
    [[0, 0], 5, { start: 10, end: 370 }, "degenerate"],
    [[0, 0], 5, { rotation: "left" }, "out-of-range"],
    [[0, 0], 5, { end: Number.POSITIVE_INFINITY }, "not-finite"],
  ] as const)("a circle about %j of %d m with %j is refused: %s", ([centre, radius, options, code]) => {
    expectCode(() => circleLine(centre, radius, options as never), code);
  });
});
