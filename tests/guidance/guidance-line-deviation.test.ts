import { expect, test } from "vitest";
import {
  fromGuidanceLineDeviation,
  guidancePattern,
  PassFollower,
  straightLine,
  toGuidanceLineDeviation,
} from "../../src/guidance/index.js";

// ISO 11783-11 data dictionary, DDI 513 Guidance Line Deviation: millimetres, positive when the line is to the right of the
// device reference point, seen in driving direction
test.for([
  [0.25, true, -250],
  [-0.25, true, 250],
  [0.25, false, 250],
  [-0.25, false, -250],
  [0, true, 0],
  [0.0004, true, 0],
  [0.0126, false, 13],
  [-0.0126, false, -13],
  [1e9, false, 2147483647],
  [1e9, true, -2147483648],
] as const)(
  "cross-track error %d, driving along the line %s, is a deviation of %d mm",
  ([crossTrackError, same, mm]) => {
    const deviation = toGuidanceLineDeviation({ crossTrackError, sameDirection: same });
    expect(deviation).toBe(mm);
    expect(Object.is(deviation, -0)).toBe(false);
  },
);

test("a machine that has the line to its right gives a positive deviation, whichever way it drives", () => {
  const follower = new PassFollower(guidancePattern(straightLine([0, 0], [0, 100]), { swathWidth: 10 }));
  expect(toGuidanceLineDeviation(follower.update(-0.3, 50, 0))).toBe(300);
  expect(follower.state.steer).toBe("right");
  expect(toGuidanceLineDeviation(follower.update(0.3, 50, 180))).toBe(300);
  expect(follower.state.steer).toBe("right");
});

test("there and back is the same in whole millimetres", () => {
  for (const sameDirection of [true, false]) {
    for (const mm of [-1500, -1, 0, 1, 999]) {
      const crossTrackError = fromGuidanceLineDeviation(mm, { sameDirection });
      expect(toGuidanceLineDeviation({ crossTrackError, sameDirection })).toBe(mm);
    }
  }
});
