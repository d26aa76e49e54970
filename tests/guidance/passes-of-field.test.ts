import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { Point, Polygon } from "../../src/geometry/index.js";
import { guidancePattern, headingLine, passesOfField, passLine, straightLine } from "../../src/guidance/index.js";
import { expectCode, expectWithin } from "../helpers/within.js";

const field = (...exterior: Point[]): Polygon => ({ exterior, holes: [] });
const rectangle = (width: number, height: number): Polygon => field([0, 0], [width, 0], [width, height], [0, height]);

describe("the passes of a field", () => {
  // closed forms: the number of passes is the field's width square to them over the swath width, rounded up. The fields are
  // a 200 x 100 m rectangle less two 6 m headland rounds, a right triangle of 300, 400 and 500 m, a field of 400 x 200 m
  test.for([
    ["176 x 76 m, 6 m swaths along the long side", rectangle(176, 76), [0, 0], 90, "left", 6, 13, 4],
    ["176 x 76 m, 6 m swaths across", rectangle(176, 76), [0, 0], 0, "right", 6, 30, 2],
    ["400 x 200 m, 12 m swaths along the long side", rectangle(400, 200), [0, 0], 90, "left", 12, 17, 8],
    ["triangle, 12 m swaths along the 300 m side", field([0, 0], [300, 0], [0, 400]), [0, 0], 90, "left", 12, 34, 4],
    ["triangle, 12 m swaths along the 400 m side", field([0, 0], [300, 0], [0, 400]), [0, 0], 0, "right", 12, 25, 12],
    [
      "triangle, 12 m swaths along the 500 m side",
      field([0, 0], [300, 0], [0, 400]),
      [300, 0],
      "long",
      "left",
      12,
      20,
      12,
    ],
  ] as const)("%s", ([, polygon, a, heading, propagation, swathWidth, count, remaining]) => {
    const line = heading === "long" ? straightLine([300, 0], [0, 400]) : headingLine(a, heading);
    const sign = propagation === "left" ? -1 : 1;
    const pattern = guidancePattern(line, { swathWidth, firstPassOffset: (sign * swathWidth) / 2, propagation });
    const passes = passesOfField(pattern, [polygon]);
    expect(passes.count).toBe(count);
    expect(sign < 0 ? passes.last : passes.first).toBe(0);
    expect(sign < 0 ? passes.first : passes.last).toBe(sign * (count - 1));
    expectWithin(sign < 0 ? passes.firstWidth : passes.lastWidth, remaining, 1e-9, "remaining width of the last pass");
    expect(passes.uncoveredLeft).toBe(0);
    expect(passes.uncoveredRight).toBe(0);
  });

  test("a line in mid-field counts to both sides, and says how narrow both outer passes are", () => {
    const pattern = guidancePattern(straightLine([40, 0], [40, 50]), { swathWidth: 12 });
    expect(passesOfField(pattern, [rectangle(100, 50)])).toEqual({
      first: -3,
      last: 5,
      count: 9,
      firstWidth: 10,
      lastWidth: 6,
      uncoveredLeft: 0,
      uncoveredRight: 0,
    });
  });

  test("a last pass narrower than half a swath has no line in the field", () => {
    const pattern = guidancePattern(straightLine([6, 0], [6, 50]), { swathWidth: 12 });
    const narrow = rectangle(29, 50);
    expect(passesOfField(pattern, [narrow])).toMatchObject({ last: 2, lastWidth: 5 });
    expect(passLine(pattern, 2, { within: [narrow] })).toEqual([]);
  });

  test("limits of the pattern leave ground, and say how much on which side", () => {
    const pattern = guidancePattern(straightLine([40, 0], [40, 50]), {
      swathWidth: 12,
      propagation: "left",
      swathsLeft: 1,
    });
    expect(passesOfField(pattern, [rectangle(100, 50)])).toEqual({
      first: -1,
      last: 0,
      count: 2,
      firstWidth: 12,
      lastWidth: 12,
      uncoveredLeft: 22,
      uncoveredRight: 54,
    });
  });

  test("a field beside all passes takes none", () => {
    const away = straightLine([-100, 0], [-100, 50]);
    const left = passesOfField(guidancePattern(away, { swathWidth: 12, propagation: "left" }), [rectangle(100, 50)]);
    expect(left).toMatchObject({ count: 0, uncoveredLeft: 0, uncoveredRight: 100 });
    expect(left.last).toBeLessThan(left.first);
    const back = passesOfField(
      guidancePattern(straightLine([-100, 50], [-100, 0]), { swathWidth: 12, propagation: "right" }),
      [rectangle(100, 50)],
    );
    expect(back).toMatchObject({ count: 0, uncoveredLeft: 100, uncoveredRight: 0 });
  });

  test("several polygons are taken together", () => {
    const far = field([500, 0], [520, 0], [520, 9], [500, 9]);
    const pattern = guidancePattern(straightLine([5, 0], [5, 50]), { swathWidth: 10 });
    expect(passesOfField(pattern, [rectangle(100, 50), far])).toMatchObject({ first: 0, last: 51, count: 52 });
  });

  test("the swaths cover the field's width once, for any line", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 360, noNaN: true }),
        fc.double({ min: 1, max: 36, noNaN: true }),
        fc.double({ min: -50, max: 50, noNaN: true }),
        fc.integer({ min: -30, max: 30 }),
        (heading, swathWidth, firstPassOffset, firstPass) => {
          const pattern = guidancePattern(headingLine([30, 20], heading), { swathWidth, firstPassOffset, firstPass });
          const polygon = rectangle(130, 70);
          const passes = passesOfField(pattern, [polygon]);
          const s = Math.sin((heading * Math.PI) / 180);
          const c = Math.cos((heading * Math.PI) / 180);
          const width = Math.abs(130 * c) + Math.abs(70 * s);
          const sum =
            passes.count === 1
              ? passes.firstWidth
              : passes.firstWidth + passes.lastWidth + (passes.count - 2) * swathWidth;
          expectWithin(sum, width, 3e-6, "sum of widths");
        },
      ),
    );
  });

  test("bad polygons are refused", () => {
    const pattern = guidancePattern(headingLine([0, 0], 0), { swathWidth: 6 });
    expectCode(() => passesOfField(pattern, []), "too-few-points");
    expectCode(() => passesOfField(pattern, rectangle(1, 1) as never), "too-few-points");
    const error = expectCode(() => passesOfField(pattern, [field([0, 0], [1, Number.NaN], [2, 2])]), "not-finite");
    expect([error.argument, error.index]).toEqual(["polygons[0].exterior", 1]);
  });
});
