import { describe, expect, it } from "vitest";
import {
  circleLine,
  curvedLine,
  type GuidancePattern,
  guidancePattern,
  headingLine,
  renumberPattern,
  shiftPattern,
  straightLine,
} from "../../src/guidance/index.js";
import { ERROR, OFFSET, RIGHT } from "../../src/guidance/line-locator.js";
import { PassChoice } from "../../src/guidance/pass-choice.js";

const W = 10;
const numbers = new Float64Array(16);

function at(choice: PassChoice, right: number): PassChoice {
  numbers[RIGHT] = right;
  choice.choose(numbers);
  return choice;
}

function fresh(change: object = {}, hysteresis = 1): PassChoice {
  const choice = new PassChoice();
  choice.usePattern(guidancePattern(straightLine([0, 0], [0, 100]), { swathWidth: W, ...change }), hysteresis);
  return choice;
}

describe("the rule that chooses a pass", () => {
  it("begins with none, and takes the nearest", () => {
    const choice = new PassChoice();
    expect([choice.pass, choice.chosen, choice.held, choice.beyond]).toEqual([0, false, false, false]);
    expect(at(fresh(), 34).pass).toBe(3);
    expect(at(fresh(), -36).pass).toBe(-4);
    expect(numbers[ERROR]).toBe(4);
    expect(numbers[OFFSET]).toBe(-40);
    at(fresh(), -0);
    expect(Object.is(numbers[ERROR], 0)).toBe(true);
  });

  it("changes beyond half a swath and the margin, not on it, to either side", () => {
    for (const side of [1, -1]) {
      const choice = at(fresh(), 0);
      expect(at(choice, side * 6).pass).toBe(0);
      expect(at(choice, side * 6.001).pass).toBe(side);
      expect(at(choice, side * 4).pass).toBe(side);
      expect(at(choice, side * 3.999).pass).toBe(0);
    }
  });

  it("counts from the first pass's own number and place", () => {
    const choice = fresh({ firstPass: 5, firstPassOffset: 2 });
    expect(at(choice, 23).pass).toBe(7);
    expect(numbers[ERROR]).toBeCloseTo(1, 12);
    expect(numbers[OFFSET]).toBe(22);
    expect(choice.beyond).toBe(false);
  });

  it("is beyond only outside the outermost swath, not on its edge", () => {
    const choice = fresh({ firstPass: 5, swathsLeft: 1, swathsRight: 2 });
    expect([at(choice, 25).beyond, choice.pass]).toEqual([false, 7]);
    expect([at(choice, 25.001).beyond, choice.pass]).toEqual([true, 7]);
    expect([at(choice, -15).beyond, at(choice, -15.001).beyond, choice.pass]).toEqual([false, true, 4]);
  });

  it("holds what it is told to, within what there is, until it is let go", () => {
    const choice = fresh({ swathsLeft: 1, swathsRight: 2 });
    choice.hold(9);
    expect([choice.pass, choice.held, choice.chosen]).toEqual([2, true, true]);
    expect(at(choice, -30).pass).toBe(2);
    choice.held = false;
    expect(at(choice, -30).pass).toBe(-1);
    expect(Object.is(fresh().allowed(-0), 0)).toBe(true);
    choice.forget();
    expect([choice.pass, choice.held, choice.chosen]).toEqual([0, false, false]);
  });

  const curve = (points: [number, number][]): GuidancePattern => guidancePattern(curvedLine(points), { swathWidth: W });
  const bent = curve([
    [0, 0],
    [1, 50],
    [0, 100],
  ]);
  it.each<[string, GuidancePattern, GuidancePattern, boolean]>([
    ["a shift", bent, shiftPattern(bent, { east: 3, north: 0 }), true],
    ["another swath width", bent, { ...bent, swathWidth: 12 }, false],
    [
      "a point moved east",
      bent,
      curve([
        [0, 0],
        [2, 50],
        [0, 100],
      ]),
      false,
    ], // prettier-ignore
    [
      "a point moved north",
      bent,
      curve([
        [0, 0],
        [1, 51],
        [0, 100],
      ]),
      false,
    ], // prettier-ignore
    [
      "a point more",
      bent,
      curve([
        [0, 0],
        [1, 50],
        [0, 100],
        [0, 110],
      ]),
      false,
    ], // prettier-ignore
    [
      "a point less",
      curve([
        [0, 0],
        [1, 50],
        [0, 100],
        [0, 110],
      ]),
      bent,
      false,
    ], // prettier-ignore
    [
      "another kind on the same points",
      guidancePattern(straightLine([0, 0], [0, 100]), { swathWidth: W }),
      guidancePattern(
        curvedLine([
          [0, 0],
          [0, 100],
        ]),
        { swathWidth: W },
      ), // prettier-ignore
      false,
    ],
    [
      "another heading",
      guidancePattern(headingLine([0, 0], 10), { swathWidth: W, extension: "both" }),
      guidancePattern(headingLine([0, 0], 11), { swathWidth: W, extension: "both" }),
      false,
    ],
    [
      "another radius",
      guidancePattern(circleLine([0, 0], 400), { swathWidth: W }),
      guidancePattern(circleLine([0, 0], 401), { swathWidth: W }),
      false,
    ],
  ])("keeps the pass over %s only where the line is the same", (_, before, after, same) => {
    const choice = new PassChoice();
    choice.usePattern(before, 1);
    choice.hold(3);
    choice.usePattern(after, 1);
    expect([choice.pass, choice.held]).toEqual(same ? [3, true] : [0, false]);
  });

  it("goes with new numbers of the same passes", () => {
    const pattern = guidancePattern(straightLine([0, 0], [0, 100]), { swathWidth: W, firstPass: 2 });
    const choice = new PassChoice();
    choice.usePattern(pattern, 1);
    expect(at(choice, 30).pass).toBe(5);
    const renumbered = renumberPattern(pattern, [30, 50], 11);
    choice.usePattern(renumbered, 1);
    // the pass under the machine is now the eleventh
    expect(choice.pass).toBe(11);
    expect(at(choice, 30).pass).toBe(11);
  });
});
