import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { type Point, segmentCrossing, side } from "../../src/geometry/index.js";

const small = fc.tuple(fc.integer({ min: -4, max: 4 }), fc.integer({ min: -4, max: 4 }));

describe("segmentCrossing", () => {
  it("gives the point of a crossing and its place on both", () => {
    expect(segmentCrossing([0, 0], [4, 4], [0, 4], [4, 0])).toEqual({ kind: "point", point: [2, 2], t: 0.5, u: 0.5 });
  });

  it("gives an end point itself where one touches the other", () => {
    expect(segmentCrossing([0, 0], [4, 0], [1, 0], [1, 5])).toEqual({ kind: "point", point: [1, 0], t: 0.25, u: 0 });
    expect(segmentCrossing([0, 0], [4, 0], [4, 0], [9, 9])).toEqual({ kind: "point", point: [4, 0], t: 1, u: 0 });
  });

  it("gives the shared stretch of collinear ones in the first one's direction", () => {
    expect(segmentCrossing([0, 0], [4, 0], [6, 0], [1, 0])).toEqual({ kind: "overlap", from: [1, 0], to: [4, 0] });
    expect(segmentCrossing([4, 0], [0, 0], [6, 0], [1, 0])).toEqual({ kind: "overlap", from: [4, 0], to: [1, 0] });
    expect(segmentCrossing([0, 0], [4, 0], [4, 0], [9, 0])).toEqual({ kind: "point", point: [4, 0], t: 1, u: 0 });
    expect(segmentCrossing([0, 0], [4, 0], [5, 0], [9, 0])).toEqual({ kind: "none" });
  });

  it("takes a segment of no length as its point", () => {
    expect(segmentCrossing([1, 1], [1, 1], [0, 0], [2, 2])).toMatchObject({ kind: "point", point: [1, 1] });
    expect(segmentCrossing([1, 1], [1, 1], [0, 0], [2, 3])).toEqual({ kind: "none" });
    expect(segmentCrossing([1, 1], [1, 1], [1, 1], [1, 1])).toMatchObject({ kind: "point" });
    expect(segmentCrossing([1, 1], [1, 1], [2, 2], [2, 2])).toEqual({ kind: "none" });
  });

  it("tells a touch from a gap of one unit in the last place", () => {
    // 0.1 + 0.2 is one unit above 0.3
    expect(segmentCrossing([0, 0.3], [1, 0.3], [0.5, 0.3], [0.5, 1]).kind).toBe("point");
    expect(segmentCrossing([0, 0.3], [1, 0.3], [0.5, 0.1 + 0.2], [0.5, 1]).kind).toBe("none");
  });

  it("agrees with rational arithmetic on a small grid, and does not depend on the order of anything", () => {
    fc.assert(
      fc.property(small, small, small, small, (a, b, c, d) => {
        const result = segmentCrossing(a, b, c, d);
        expect(result.kind).toBe(plainKind(a, b, c, d));
        for (const other of [segmentCrossing(b, a, c, d), segmentCrossing(a, b, d, c), segmentCrossing(c, d, a, b)]) {
          expect(other.kind).toBe(result.kind);
          if (result.kind === "point" && other.kind === "point") {
            expect(Math.hypot(result.point[0] - other.point[0], result.point[1] - other.point[1])).toBeLessThan(1e-14);
          }
        }
      }),
      { numRuns: 3000 },
    );
  });

  it("keeps the point of nearly parallel segments in the boxes of both", () => {
    const c = fc.double({ min: -1e-6, max: 1e-6, noNaN: true });
    fc.assert(
      fc.property(c, c, c, c, fc.constantFrom(0, 6e6, 3.2e7), (e1, e2, e3, e4, far) => {
        const a: Point = [far, e1];
        const b: Point = [far + 1000, e2];
        const p: Point = [far + 100, e3];
        const q: Point = [far + 900, e4];
        const result = segmentCrossing(a, b, p, q);
        if (result.kind !== "point") return;
        expect(result.point[0]).toBeGreaterThanOrEqual(far + 100);
        expect(result.point[0]).toBeLessThanOrEqual(far + 900);
        expect(result.t).toBeGreaterThanOrEqual(0);
        expect(result.t).toBeLessThanOrEqual(1);
      }),
    );
  });
});

// small integers: every product is exact
function plainKind(a: Point, b: Point, c: Point, d: Point): string {
  const s = [side(a, b, c), side(a, b, d), side(c, d, a), side(c, d, b)].map(Math.sign);
  if (s.every((v) => v === 0)) {
    const axis = a[0] !== b[0] || c[0] !== d[0] || a[0] !== c[0] ? 0 : 1;
    const low = Math.max(Math.min(a[axis], b[axis]), Math.min(c[axis], d[axis]));
    const high = Math.min(Math.max(a[axis], b[axis]), Math.max(c[axis], d[axis]));
    return low > high ? "none" : low === high ? "point" : "overlap";
  }
  return s[0]! * s[1]! <= 0 && s[2]! * s[3]! <= 0 ? "point" : "none";
}
