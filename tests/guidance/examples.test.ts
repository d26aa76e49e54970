// what the examples of the doc comments and of docs/guidance.md say comes out
import { expect, test } from "vitest";
import {
  circleLine,
  closedLine,
  curvedLine,
  guidancePattern,
  headingLine,
  LineMarker,
  nearestPass,
  PassFollower,
  passesOfField,
  passLine,
  renumberPattern,
  shiftPattern,
  spiralLine,
  straightLine,
} from "../../src/guidance/index.js";
import { expectWithin } from "../helpers/within.js";
import { winding } from "./curves.js";

const line = straightLine([0, 0], [0, 400], { name: "along the lane" });
const pattern = guidancePattern(line, { swathWidth: 24 });

test("a follower on an AB line", () => {
  const follower = new PassFollower(pattern);
  const state = follower.update(24.3, 100, 1.5, false);
  expect(`${state.pass} ${state.crossTrackError.toFixed(2)} ${state.steer}`).toBe("1 0.30 left");
});

test("lines, shift, numbers, marker", () => {
  expect(headingLine([0, 0], 90, { name: "across" }).heading).toBe(90);
  expect(shiftPattern(pattern, { east: 0.12, north: -0.05 }).shift).toEqual({ east: 0.12, north: -0.05 });
  expect(nearestPass(renumberPattern(pattern, [60, 10], 12), [60, 10])).toBe(12);
  const marker = new LineMarker();
  marker.markA([0, 0]);
  expect(marker.markB([0, 1]).outcome).toBe("too-near");
  expect(marker.markB([0, 80]).line).toEqual(straightLine([0, 0], [0, 80]));
});

test("a field", () => {
  const field = {
    exterior: [
      [0, 0],
      [100, 0],
      [100, 400],
      [0, 400],
    ] as const,
    holes: [],
  };
  expect(passLine(pattern, 3, { within: [field] })).toEqual([
    [
      [72, 0],
      [72, 400],
    ],
  ]);
  expect(passesOfField(pattern, [field])).toMatchObject({ first: 0, last: 4, firstWidth: 12, lastWidth: 16 });
});

test("figures of the page: 2 cm at B of a 5 m line", () => {
  const degrees = (Math.atan(0.02 / 5) / Math.PI) * 180;
  expectWithin(degrees, 0.23, 0.005, "degrees");
  const follower = new PassFollower(guidancePattern(straightLine([0, 0], [0.02, 5]), { swathWidth: 6 }));
  follower.hold(0);
  expectWithin(follower.update(0, 400, 0).steerDistance, 1.6, 0.01, "metres to the side after 400 m");
});

test("lines of other shapes", () => {
  const recorded = winding(200, 0.5);
  const curve = curvedLine(recorded, { smoothing: 0.05, name: "along the brook" });
  expect(curve.departure).toBeLessThanOrEqual(0.05);
  const follower = new PassFollower(guidancePattern(curve, { swathWidth: 12 }));
  expect(follower.update(20, 60, 0).status).toBe("ok");
  const round = closedLine(
    [
      [0, 0],
      [200, 0],
      [200, 100],
      [0, 100],
    ],
    { rotation: "clockwise" },
  );
  expectWithin(round.inradius, 50, 1e-6);
  expect(circleLine([0, 0], 400, { rotation: "counter-clockwise" })).toMatchObject({ kind: "pivot", radius: 400 });
  expect(spiralLine([0, 0], { startRadius: 400, endRadius: 12, pitch: 24 }).rotation).toBe("clockwise");
});
