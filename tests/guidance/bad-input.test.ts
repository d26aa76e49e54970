import { describe, expect, test } from "vitest";
import type { FeeringError } from "../../src/errors/index.js";
import {
  circleLine,
  closedLine,
  curvedLine,
  guidancePattern,
  headingLine,
  highestPass,
  lineFromPass,
  LineMarker,
  linesFromPass,
  lowestPass,
  nearestPass,
  nudgePattern,
  passesOfField,
  PassFollower,
  passLine,
  passOffset,
  renumberPattern,
  reverseLine,
  shiftPattern,
  shiftPatternTo,
  spiralLine,
  straightLine,
  whyNoPass,
} from "../../src/guidance/index.js";

// any value may come from a file or from code without types
type Call = (...given: never[]) => unknown;

const square = [
  [0, 0],
  [200, 0],
  [200, 100],
  [0, 100],
] as const;
const field = { exterior: square, holes: [] };
const curve = curvedLine([
  [0, 0],
  [10, 1],
  [20, 4],
]);
const patterns = [
  curve,
  straightLine([0, 0], [0, 100]),
  closedLine(square),
  circleLine([0, 0], 50),
  spiralLine([0, 0], { startRadius: 50, endRadius: 5, pitch: 6 }),
].map((line) => guidancePattern(line, { swathWidth: 6 }));

const JUNK: unknown[] = [undefined, null, Number.NaN, Number.POSITIVE_INFINITY, -1, "x", [], {}, [null], true, 5n];

function refuses(name: string, call: () => unknown): void {
  try {
    call();
  } catch (error) {
    expect((error as Error).name, `${name}: ${String((error as Error).stack)}`).toBe("FeeringError");
    expect(typeof (error as FeeringError).code).toBe("string");
    expect((error as FeeringError).argument).not.toBe("");
  }
}

// each value of an object in turn, its points and their numbers too, put in place by junk
function* damaged(value: unknown): Generator<unknown> {
  yield* JUNK;
  if (Array.isArray(value)) {
    const list: unknown[] = value;
    for (const part of damaged(list[0])) yield [part, ...list.slice(1)];
  } else if (typeof value === "object" && value !== null) {
    for (const [key, inside] of Object.entries(value)) {
      for (const part of damaged(inside)) yield { ...value, [key]: part };
    }
  }
}

describe("bad input at set-up gives a FeeringError and nothing else", () => {
  const onPattern: Record<string, (pattern: never) => unknown> = {
    passLine: (pattern) => passLine(pattern, 1, { length: 50 }),
    "passLine within": (pattern) => passLine(pattern, 1, { within: [field] }),
    lineFromPass: (pattern) => lineFromPass(pattern, 1),
    linesFromPass: (pattern) => linesFromPass(pattern, 1),
    highestPass,
    lowestPass,
    passOffset: (pattern) => passOffset(pattern, 1),
    nearestPass: (pattern) => nearestPass(pattern, [1, 2]),
    whyNoPass: (pattern) => whyNoPass(pattern, 1),
    renumberPattern: (pattern) => renumberPattern(pattern, [1, 2], 3),
    nudgePattern: (pattern) => nudgePattern(pattern, 0.1),
    shiftPattern: (pattern) => shiftPattern(pattern, { east: 1, north: 0 }),
    shiftPatternTo: (pattern) => shiftPatternTo(pattern, [1, 2]),
    PassFollower: (pattern) => new PassFollower(pattern).update(1, 2, 3),
  };
  test.for(Object.entries(onPattern))("%s of a damaged pattern", ([name, call]) => {
    for (const pattern of patterns) {
      for (const bad of damaged(pattern)) refuses(name, () => call(bad as never));
    }
  });

  test("lines and what passes are cut at", () => {
    for (const { line } of patterns) {
      for (const bad of damaged(line)) {
        refuses("reverseLine", () => reverseLine(bad as never));
        refuses("guidancePattern", () => guidancePattern(bad as never, { swathWidth: 6 }));
      }
    }
    for (const bad of damaged([field])) {
      refuses("passesOfField", () => passesOfField(patterns[0]!, bad as never));
      refuses("passLine", () => passLine(patterns[1]!, 1, { within: bad as never }));
      refuses("PassFollower", () => new PassFollower(patterns[0]!, { field: bad as never }));
    }
  });

  test.for<[string, Call, unknown[]]>([
    ["circleLine", circleLine, [[0, 0], 50]],
    ["closedLine", closedLine, [square]],
    ["curvedLine", curvedLine, [square]],
    [
      "straightLine",
      straightLine,
      [
        [0, 0],
        [1, 1],
      ],
    ],
    ["linesFromPass", linesFromPass, [patterns[2], 1]],
    ["passLine", passLine, [patterns[0], 1]],
    ["nudgePattern", nudgePattern, [patterns[0], 1]],
    ["shiftPatternTo", shiftPatternTo, [patterns[0], [1, 2]]],
    ["LineMarker", (options: never) => new LineMarker(options), []],
    ["PassFollower", (pattern: never, options: never) => new PassFollower(pattern, options), [patterns[0]]],
    ["followLine", (options: never) => new PassFollower(patterns[0]!).followLine(square, options), []],
  ])("options of %s that are no object", ([name, call, before]) => {
    for (const bad of [null, 5, "x"]) {
      let thrown: unknown;
      try {
        call(...([...before, bad] as never[]));
      } catch (error) {
        thrown = error;
      }
      expect((thrown as Error | undefined)?.name, name).toBe("FeeringError");
    }
  });

  test("a nudge into a loop past where its first pass has vanished", () => {
    const round = guidancePattern(closedLine(square, { rotation: "clockwise" }), { swathWidth: 6 });
    expect(nudgePattern(round, 49).firstPassOffset).toBe(49);
    expect(() => nudgePattern(round, 50)).toThrow(/vanished/);
    expect(() => nudgePattern(patterns[0]!, 2e6)).toThrow(/distance is 2000000, needs at most/);
  });
});

test("what is farther away than twice round the Earth is no place, for any line or field", () => {
  // a circle of such a centre, or in such a field, was walked round in 1e150 steps
  const far = [1e300, 0] as const;
  expect(() => circleLine(far, 50)).toThrow(/centre is 1e\+300, needs at most 100000000/);
  expect(() => closedLine([[0, 0], [9, 9], far])).toThrow(
    expect.objectContaining({ code: "out-of-range", argument: "ring", index: 2 }) as Error,
  );
  for (const make of [
    () => straightLine(far, [1e300, 5]),
    () => headingLine(far, 3),
    () => spiralLine(far, { startRadius: 50, endRadius: 5, pitch: 6 }),
    () => nearestPass(patterns[0]!, far),
    () => passesOfField(patterns[0]!, [{ exterior: [...square, far], holes: [] }]),
    () => new PassFollower(patterns[3]!, { field: [{ exterior: [...square, far], holes: [] }] }),
  ]) {
    expect(make).toThrow(expect.objectContaining({ code: "out-of-range" }) as Error);
  }
});

test("live calls take anything: nothing throws, no number becomes NaN", () => {
  for (const pattern of patterns) {
    const follower = new PassFollower(pattern);
    const marker = new LineMarker();
    for (const bad of [...JUNK, Symbol("none"), Object.create(null)] as never[]) {
      follower.update(1, 2, 3);
      expect(follower.update(bad, 2, 3, bad).status).toBe(bad === -1 ? "ok" : "invalid");
      expect(follower.update(1, 2, bad, bad).status).toBe(bad === -1 ? "ok" : "no-heading");
      follower.hold(bad);
      follower.skip(bad);
      follower.pointAhead(bad, new Float64Array(2));
      expect(follower.pointAhead(1, bad)).toBe(false);
      follower.release();
      for (const value of Object.values(follower.state)) expect(value).not.toBeNaN();
      expect(() => PassFollower.restore(follower.snapshot(), pattern)).not.toThrow();
      marker.markA(bad);
      marker.markA([0, 0]);
      marker.update(bad, bad);
      marker.markB(bad, bad);
      expect(marker.markB([0, 50], bad).outcome).toBe("marked");
      marker.markHeading(bad, bad);
      expect(marker.markHeading(3, bad).outcome).toBe("marked");
    }
  }
});
