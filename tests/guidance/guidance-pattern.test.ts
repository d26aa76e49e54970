import { describe, expect, test } from "vitest";
import {
  guidancePattern,
  headingLine,
  highestPass,
  lowestPass,
  nearestPass,
  nudgePattern,
  passOffset,
  PassFollower,
  renumberPattern,
  shiftPattern,
  shiftPatternTo,
  straightLine,
} from "../../src/guidance/index.js";
import { expectCode, expectWithin } from "../helpers/within.js";

const north = straightLine([0, 0], [0, 100], { name: "n" });

describe("a pattern", () => {
  test("has every default filled in, and survives JSON", () => {
    const pattern = guidancePattern(north, { swathWidth: 24 });
    expect(pattern).toEqual({
      line: north,
      swathWidth: 24,
      propagation: "both",
      extension: "both",
      shift: { east: 0, north: 0 },
      firstPassOffset: 0,
      firstPass: 0,
    });
    const read = JSON.parse(JSON.stringify(pattern));
    expect(guidancePattern(read.line, read)).toEqual(pattern);
  });

  test.for([
    [{ swathWidth: 0 }, "out-of-range", "options.swathWidth"],
    [{ swathWidth: -24 }, "out-of-range", "options.swathWidth"],
    [{ swathWidth: Number.NaN }, "not-finite", "options.swathWidth"],
    [{ swathWidth: "24" }, "not-finite", "options.swathWidth"],
    [{}, "not-finite", "options.swathWidth"],
    [{ swathWidth: 6, propagation: "up" }, "out-of-range", "options.propagation"],
    [{ swathWidth: 6, extension: "c" }, "out-of-range", "options.extension"],
    [{ swathWidth: 6, swathsLeft: -1 }, "out-of-range", "options.swathsLeft"],
    [{ swathWidth: 6, swathsRight: 1.5 }, "out-of-range", "options.swathsRight"],
    [{ swathWidth: 6, shift: { east: 1 } }, "not-finite", "options.shift.north"],
    [{ swathWidth: 6, shift: { east: 1e7, north: 0 } }, "out-of-range", "options.shift.east"],
    [{ swathWidth: 6, firstPassOffset: Number.NaN }, "not-finite", "options.firstPassOffset"],
    [{ swathWidth: 6, firstPass: 0.5 }, "out-of-range", "options.firstPass"],
  ] as const)("with %j is refused: %s", ([options, code, argument]) => {
    expect(expectCode(() => guidancePattern(north, options as never), code).argument).toBe(argument);
  });

  test.for([
    [null, "out-of-range"],
    [{ kind: "ab" }, "out-of-range"],
    [{ kind: "ab", points: [[0, 0]] }, "too-few-points"],
    [{ kind: "a-plus", points: [], heading: 3 }, "too-few-points"],
    [
      {
        kind: "ab",
        points: [
          [0, 0],
          [0, null],
        ],
      },
      "not-finite",
    ],
    [{ kind: "a-plus", points: [[0, 0]] }, "not-finite"],
    [
      {
        kind: "wavy",
        points: [
          [0, 0],
          [1, 1],
        ],
      },
      "out-of-range",
    ],
  ] as const)("over a damaged line %j is refused: %s", ([line, code]) => {
    expect(expectCode(() => guidancePattern(line as never, { swathWidth: 6 }), code).argument).toMatch(/^line/);
  });

  test("an A+ line without an extension would have no length, and is refused", () => {
    expectCode(() => guidancePattern(headingLine([0, 0], 0), { swathWidth: 6, extension: "none" }), "degenerate");
  });

  test("limits follow propagation and counts of swaths, and move with the numbering", () => {
    const options = { swathWidth: 6, swathsLeft: 4, swathsRight: 7, firstPass: 10 };
    const both = guidancePattern(north, options);
    expect([lowestPass(both), highestPass(both)]).toEqual([6, 17]);
    const left = guidancePattern(north, { ...options, propagation: "left" });
    expect([lowestPass(left), highestPass(left)]).toEqual([6, 10]);
    const right = guidancePattern(north, { ...options, propagation: "right" });
    expect([lowestPass(right), highestPass(right)]).toEqual([10, 17]);
    const open = guidancePattern(north, { swathWidth: 6 });
    expect([lowestPass(open), highestPass(open)]).toEqual([Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY]);
  });

  test("begun half a swath off, the first pass lies half a swath right of the line driven along the edge", () => {
    const pattern = guidancePattern(north, { swathWidth: 6, firstPassOffset: 3, propagation: "right" });
    expect([passOffset(pattern, 0), passOffset(pattern, 4)]).toEqual([3, 27]);
    expect(new PassFollower(pattern).update(3.2, 10, 0).pass).toBe(0);
    expect(nearestPass(pattern, [-4, 0])).toBe(0);
    expect(nearestPass(pattern, [10, 0])).toBe(1);
  });
});

describe("a shift against drift", () => {
  const pattern = guidancePattern(north, { swathWidth: 10 });

  test("is kept apart from the line, takes the place of the one before, and is taken back with 0, 0", () => {
    const shifted = shiftPattern(pattern, { east: 0.4, north: -0.2 });
    expect(shifted.line).toBe(pattern.line);
    expect(shifted.shift).toEqual({ east: 0.4, north: -0.2 });
    expect(shiftPattern(shifted, { east: 0.1, north: 0 }).shift).toEqual({ east: 0.1, north: 0 });
    expect(shiftPattern(shifted, { east: 0, north: 0 })).toEqual(pattern);
    expect(pattern.shift).toEqual({ east: 0, north: 0 });
  });

  test("moves every pass by the same, and passes keep their distance", () => {
    const shifted = new PassFollower(shiftPattern(pattern, { east: 0.4, north: -0.2 }));
    const plain = new PassFollower(pattern);
    for (const x of [-31, 0, 2, 48]) {
      const before = plain.update(x, 7, 0).crossTrackError;
      expectWithin(shifted.update(x + 0.4, 6.8, 0).crossTrackError, before, 1e-12);
    }
  });

  test.for([
    [{ east: Number.NaN, north: 0 }, "not-finite", "shift.east"],
    [{ east: 0 }, "not-finite", "shift.north"],
    [{ east: 0, north: 2e6 }, "out-of-range", "shift.north"],
    [null, "not-finite", "shift.east"],
  ] as const)("%j is refused", ([shift, code, argument]) => {
    expect(expectCode(() => shiftPattern(pattern, shift as never), code).argument).toBe(argument);
  });

  test("a nudge is square to the line and adds up, right of the line or right of the driver", () => {
    const east = guidancePattern(headingLine([0, 0], 90), { swathWidth: 10 });
    expect(nudgePattern(east, 0.05).shift).toEqual({ east: 0, north: -0.05 });
    const twice = nudgePattern(nudgePattern(pattern, 0.05), 0.05).shift;
    expect(twice).toEqual({ east: 0.1, north: 0 });
    expect(nudgePattern(pattern, 0.05, { sameDirection: false }).shift).toEqual({ east: -0.05, north: 0 });
    expectCode(() => nudgePattern(pattern, Number.NaN), "not-finite");
  });

  test("brings the nearest pass, or a given one, under the machine", () => {
    const slanted = guidancePattern(straightLine([3, 4], [60, 90]), { swathWidth: 10, firstPassOffset: 2 });
    for (const options of [{}, { pass: 4 }]) {
      const moved = shiftPatternTo(slanted, [17, 11], options);
      const follower = new PassFollower(moved);
      const state = follower.update(17, 11, 0);
      expectWithin(state.crossTrackError, 0, 1e-12);
      expect(state.pass).toBe("pass" in options ? 4 : nearestPass(slanted, [17, 11]));
      expect(moved.line).toBe(slanted.line);
    }
    expectCode(() => shiftPatternTo(slanted, [0, Number.NaN]), "not-finite");
    expectCode(() => shiftPatternTo(slanted, [0, 0], { pass: 0.5 }), "out-of-range");
  });
});

describe("numbering", () => {
  const pattern = guidancePattern(north, { swathWidth: 10, swathsLeft: 3 });

  test("goes on from a number at the machine, and no pass moves", () => {
    const resumed = renumberPattern(pattern, [41, 5], 12);
    expect(nearestPass(resumed, [41, 5])).toBe(12);
    expect(nearestPass(resumed, [52, 5])).toBe(13);
    expect(nearestPass(resumed, [0, 5])).toBe(8);
    for (let k = -3; k < 9; k++) expect(passOffset(resumed, k + 8)).toBe(passOffset(pattern, k));
    expect(lowestPass(resumed)).toBe(5);
    expect(pattern.firstPass).toBe(0);
  });

  test("can be done again and again", () => {
    expect(renumberPattern(renumberPattern(pattern, [41, 5], 12), [0, 0], 0)).toEqual(pattern);
  });

  test("refuses a number that is not whole and a point that is none", () => {
    expectCode(() => renumberPattern(pattern, [0, 0], 1.5), "out-of-range");
    expectCode(() => renumberPattern(pattern, [0, 0], Number.NaN), "not-finite");
    expectCode(() => renumberPattern(pattern, [Number.NaN, 0], 1), "not-finite");
  });
});
