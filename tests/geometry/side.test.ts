import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { type Point, side } from "../../src/geometry/index.js";

describe("side", () => {
  it("is positive to the right of the walking direction, whatever the direction", () => {
    expect(side([0, 0], [0, 100], [3, 50])).toBeGreaterThan(0);
    expect(side([0, 100], [0, 0], [3, 50])).toBeLessThan(0);
    expect(side([0, 0], [100, 0], [50, -1])).toBeGreaterThan(0);
    expect(side([0, 0], [100, 0], [50, 1])).toBeLessThan(0);
    expect(side([0, 0], [100, 100], [50, 50])).toBe(0);
  });

  it("is 0 for a line of no length", () => {
    expect(side([5, 5], [5, 5], [7, 9])).toBe(0);
  });

  // exact arithmetic in integers: doubles scaled by a power of two are integers
  it("has the sign of exact integer arithmetic on points one unit in the last place off a line", () => {
    const scale = 2n ** 60n;
    const exact = (v: number): bigint => BigInt(v * 2 ** 30) * (scale / 2n ** 30n);
    const grid = fc.integer({ min: -(2 ** 22), max: 2 ** 22 }).map((i) => i / 2 ** 30 + 12);
    const point = fc.tuple(grid, grid);
    fc.assert(
      fc.property(point, point, point, (a, b, p) => {
        const truth =
          (exact(p[0]) - exact(a[0])) * (exact(b[1]) - exact(a[1])) -
          (exact(p[1]) - exact(a[1])) * (exact(b[0]) - exact(a[0]));
        expect(Math.sign(side(a, b, p))).toBe(truth > 0n ? 1 : truth < 0n ? -1 : 0);
      }),
      { numRuns: 500 },
    );
  });

  it("keeps its sign when the roles of the three points turn round", () => {
    const point = fc.tuple(fc.integer({ min: -9, max: 9 }), fc.integer({ min: -9, max: 9 }));
    fc.assert(
      fc.property(point, point, point, (a: Point, b: Point, p: Point) => {
        const far = (q: Point): Point => [q[0] * 1e-9 + 3.2e7, q[1] * 1e-9 + 6e6];
        const s = Math.sign(side(far(a), far(b), far(p)));
        expect(Math.sign(side(far(b), far(p), far(a)))).toBe(s);
        expect(Math.sign(side(far(b), far(a), far(p))) + s).toBe(0);
      }),
    );
  });
});
