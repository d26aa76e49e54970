import { expect, test } from "vitest";
import { guidancePattern, PassFollower, spiralLine } from "../../src/guidance/index.js";

// r = r0 + b angle, walked clockwise from north: its derivative is the tangent
test.for<[number, number, number]>([
  [200, 20, 12],
  [20, 200, 12],
  [0, 60, 6],
  [400, 399, 24],
])("a spiral from %d to %d m, pitch %d, runs on along its own tangents", ([startRadius, endRadius, pitch]) => {
  const spiral = spiralLine([0, 0], { startRadius, endRadius, pitch });
  const b = (Math.sign(endRadius - startRadius) * pitch) / (2 * Math.PI);
  const whole = (endRadius - startRadius) / b;
  const ends = [
    [startRadius, 0, -1],
    [endRadius, whole, 1],
  ] as const;
  for (const [radius, angle, way] of ends) {
    const s = Math.sin(angle);
    const c = Math.cos(angle);
    const size = Math.hypot(radius, b);
    const ux = (b * s + radius * c) / size;
    const uy = (b * c - radius * s) / size;
    const at = way * 1000;
    const follower = new PassFollower(guidancePattern(spiral, { swathWidth: 6 }));
    const state = follower.update(radius * s + at * ux + 2 * uy, radius * c + at * uy - 2 * ux, 0);
    expect(Math.abs(state.crossTrackError - 2)).toBeLessThan(1e-3);
  }
});
