import fc from "fast-check";
import { describe, expect, expectTypeOf, test } from "vitest";
import {
  guidancePattern,
  headingLine,
  lineFromPass,
  type ReferenceLine,
  reverseLine,
  type StraightLine,
  straightLine,
} from "../../src/guidance/index.js";
import { expectCode, expectWithin } from "../helpers/within.js";

describe("reference lines", () => {
  test("an AB line is a plain object with its labels, and survives JSON", () => {
    const line = straightLine([1, 2], [3, 40], { name: "along the lane", id: "GPN-3", note: "base of 2024" });
    expect(line).toEqual({
      kind: "ab",
      points: [
        [1, 2],
        [3, 40],
      ],
      name: "along the lane",
      id: "GPN-3",
      note: "base of 2024",
    });
    expect(JSON.parse(JSON.stringify(line))).toEqual(line);
    expectTypeOf(line).toEqualTypeOf<StraightLine>();
    expectTypeOf(line).toExtend<ReferenceLine>();
  });

  test("an A+ line keeps its heading in 0 to 360", () => {
    expect(headingLine([1, 2], -90)).toEqual({ kind: "a-plus", points: [[1, 2]], heading: 270 });
    expect(headingLine([1, 2], 720).heading).toBe(0);
  });

  test("the points are copied, and -0 is 0", () => {
    const a: [number, number] = [-0, 2];
    const line = straightLine(a, [3, 40]);
    a[1] = 7;
    expect(line.points[0]).toEqual([0, 2]);
    expect(Object.is(line.points[0][0], 0)).toBe(true);
  });

  test.for([
    [[0, 0], [0, 0], "degenerate", "b"],
    [[5, 5], [5, 5.0009], "degenerate", "b"],
    [[Number.NaN, 0], [0, 1], "not-finite", "a"],
    [[0, 0], [0, Number.POSITIVE_INFINITY], "not-finite", "b"],
    [[0, 0], [1e300, 0], "out-of-range", "b"],
    [[0, 0], [0], "not-finite", "b"],
    [{ latitude: 1, longitude: 2 }, [0, 1], "not-finite", "a"],
  ] as const)("a line from %j to %j is refused: %s", ([a, b, code, argument]) => {
    expect(expectCode(() => straightLine(a as never, b as never), code).argument).toBe(argument);
  });

  test("a heading that is no number is refused", () => {
    expect(expectCode(() => headingLine([0, 0], Number.NaN), "not-finite").argument).toBe("heading");
    expect(expectCode(() => headingLine([0, Number.NaN], 3), "not-finite").argument).toBe("a");
  });

  test("reversed, A and B change places, a heading turns round, labels stay", () => {
    expect(reverseLine(straightLine([0, 0], [0, 9], { name: "n" }))).toEqual(
      straightLine([0, 9], [0, 0], { name: "n" }),
    );
    expect(reverseLine(headingLine([4, 5], 200))).toEqual(headingLine([4, 5], 20));
  });
});

describe("a new line from a pass", () => {
  test("lies where the pass lies, shift included, and is pass 0 of its own", () => {
    const line = straightLine([0, 0], [0, 100], { name: "old" });
    const pattern = guidancePattern(line, { swathWidth: 10, shift: { east: 0.5, north: 2 }, firstPassOffset: 5 });
    expect(lineFromPass(pattern, 3, { name: "new" })).toEqual(straightLine([35.5, 2], [35.5, 102], { name: "new" }));
    expect(lineFromPass(guidancePattern(headingLine([0, 0], 90), { swathWidth: 10 }), 2)).toEqual(
      headingLine([0, -20], 90),
    );
  });

  test("keeps length and direction for any line", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 360, noNaN: true }),
        fc.double({ min: 1, max: 900, noNaN: true }),
        fc.integer({ min: -300, max: 300 }),
        (h, length, pass) => {
          const b = [length * Math.sin((h * Math.PI) / 180), length * Math.cos((h * Math.PI) / 180)] as const;
          const made = lineFromPass(guidancePattern(straightLine([0, 0], b), { swathWidth: 4 }), pass) as StraightLine;
          const [p, q] = made.points;
          expectWithin(q[0] - p[0], b[0], 1e-11);
          expectWithin(q[1] - p[1], b[1], 1e-11);
          expectWithin(Math.hypot(p[0], p[1]), 4 * Math.abs(pass), 1e-11);
        },
      ),
    );
  });
});
