import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { fromPatternData, toPatternData, toShiftData } from "../../../src/exchange/task-content/index.js";
import {
  type GuidancePatternData,
  readTaskData,
  type TaskPoint,
  writeTaskData,
} from "../../../src/exchange/task-data/index.js";
import { localFrame } from "../../../src/frames/index.js";
import {
  circleLine,
  closedLine,
  curvedLine,
  type GuidancePattern,
  guidancePattern,
  headingLine,
  passLine,
  spiralLine,
  straightLine,
} from "../../../src/guidance/index.js";
import { runs } from "../../helpers/light.js";
import { expectAngleWithin, expectCode, expectWithin } from "../../helpers/within.js";

const frame = localFrame({ latitude: 47.25, longitude: 20.75, altitude: 88 });
/** 9 decimals of a degree, and what comes of frames, metres */
const PLACE = 1e-4;

/** through the text of a document, as another machine gets it */
function throughText(data: GuidancePatternData): GuidancePatternData {
  const text = writeTaskData({
    origin: "management",
    partfields: [
      {
        designator: "x",
        area: 1,
        polygons: [],
        lineStrings: [],
        points: [],
        guidanceGroups: [{ id: "GGP1", patterns: [data], boundaries: [] }],
      },
    ],
  });
  const read = readTaskData(text);
  expect(read.problems).toEqual([]);
  return read.partfields[0]!.guidanceGroups[0]!.patterns[0]!;
}

function expectSamePattern(actual: GuidancePattern, expected: GuidancePattern): void {
  const { line: a, ...restA } = actual;
  const { line: b, ...restB } = expected;
  expect({ ...restA, shift: null, swathWidth: 0, firstPassOffset: 0 }).toEqual({
    ...restB,
    shift: null,
    swathWidth: 0,
    firstPassOffset: 0,
    firstPass: 0,
  });
  expectWithin(actual.swathWidth, expected.swathWidth, 5.1e-4, "swath width");
  expectWithin(actual.shift.east, expected.shift.east, 1.1e-3, "east");
  expectWithin(actual.shift.north, expected.shift.north, 1.1e-3, "north");
  expectWithin(actual.firstPassOffset, expected.firstPassOffset, 5.1e-4, "first pass");
  expect(a.kind).toBe(b.kind);
  expect(a.name).toBe(b.name);
  expect(a.points).toHaveLength(b.points.length);
  a.points.forEach(([x, y], i) => {
    expectWithin(x, b.points[i]![0], PLACE, `x of point ${i}`);
    expectWithin(y, b.points[i]![1], PLACE, `y of point ${i}`);
  });
  if (a.kind === "a-plus" && b.kind === "a-plus") expectAngleWithin(a.heading, b.heading, 2e-9);
  if (a.kind === "closed" && b.kind === "closed") expectWithin(a.inradius, b.inradius, PLACE);
  if (a.kind === "pivot" && b.kind === "pivot") {
    expect(a.rotation).toBe(b.rotation);
    expectWithin(a.radius, b.radius, 5.1e-4);
    // 0.1 mm on the circle
    expectAngleWithin(a.start, b.start, ((2 * PLACE) / b.radius) * 57.3);
    expect(a.end === undefined).toBe(b.end === undefined);
    if (b.end !== undefined) expectAngleWithin(a.end!, b.end, ((2 * PLACE) / b.radius) * 57.3);
  }
  if (a.kind === "spiral" && b.kind === "spiral") {
    expect(a.rotation).toBe(b.rotation);
    expectWithin(a.startRadius, b.startRadius, 2 * PLACE);
    expectWithin(a.endRadius, b.endRadius, 2 * PLACE);
    // one turn more or less would be a pitch; by the ends it is good to their places over the turns
    expectWithin(a.pitch, b.pitch, 1e-3);
    expectAngleWithin(a.start, b.start, ((2 * PLACE) / b.startRadius) * 57.3);
  }
}

const roundTrip = (pattern: GuidancePattern): GuidancePattern => {
  const shift = toShiftData(frame, pattern, { pattern: "GPN1", group: "GGP1" });
  return fromPatternData(frame, throughText(toPatternData(frame, pattern)), shift === undefined ? {} : { shift });
};

const lines = {
  ab: straightLine([20, 0], [30, 300], { name: "Ditch side" }),
  "a-plus": headingLine([5, 5], 0, { name: "north" }),
  curve: curvedLine([
    [0, 0],
    [40, 100],
    [30, 200],
    [35, 310],
  ]),
  closed: closedLine([
    [0, 0],
    [200, 0],
    [210, 100],
    [0, 120],
  ]),
  circle: circleLine([100, 100], 150, { start: 30 }),
  "circle the other way": circleLine([100, 100], 150, { rotation: "counter-clockwise", start: 200 }),
  arc: circleLine([100, 100], 150, { rotation: "counter-clockwise", start: 80, end: 10 }),
  "arc clockwise": circleLine([100, 100], 150, { start: 350, end: 10 }),
  spiral: spiralLine([0, 0], { startRadius: 200, endRadius: 30, pitch: 24, start: 77 }),
  "spiral outwards": spiralLine([10, -4], { startRadius: 6, endRadius: 100, pitch: 6, rotation: "counter-clockwise" }),
};

describe("a pattern goes out and comes back", () => {
  test.each(Object.entries(lines))("%s", (_, line) => {
    expectSamePattern(roundTrip(guidancePattern(line, { swathWidth: 24 })), guidancePattern(line, { swathWidth: 24 }));
    const options = { swathWidth: 6.001, propagation: "right", swathsLeft: 3, swathsRight: 11 } as const;
    const moved = guidancePattern(line, { ...options, shift: { east: -0.12, north: 0.3 }, firstPassOffset: 3 });
    expectSamePattern(roundTrip(moved), moved);
  });

  test("whatever the numbers, far from the frame's origin as well", () => {
    const metres = fc.double({ min: -20_000, max: 20_000, noNaN: true });
    const rule = fc.record(
      {
        propagation: fc.constantFrom("both", "left", "right", "none"),
        extension: fc.constantFrom("both", "a", "b"),
        swathsLeft: fc.nat(50),
        shift: fc.record({ east: fc.double({ min: -5, max: 5, noNaN: true }), north: fc.constant(1) }),
      },
      { requiredKeys: [] },
    );
    fc.assert(
      fc.property(
        metres,
        metres,
        fc.double({ min: 0, max: 359.999, noNaN: true }),
        rule,
        fc.nat(3),
        (x, y, heading, more, kind) => {
          const other: [number, number] = [x + 100, y + 50 + heading];
          const line = [
            () => straightLine([x, y], other),
            () => headingLine([x, y], heading),
            () => circleLine([x, y], 10 + heading, { start: heading, end: (heading + 90) % 360 }),
            () => curvedLine([[x, y], [x + 3, y + 80], other]),
          ][kind]!();
          const pattern = guidancePattern(line, { swathWidth: 12, ...more });
          expectSamePattern(roundTrip(pattern), pattern);
        },
      ),
      { numRuns: runs(200) },
    );
  });

  test("a pass of it lies where it lay, moved by what the task tells", () => {
    const pattern = guidancePattern(lines.ab, {
      swathWidth: 24,
      shift: { east: 0.5, north: 0.25 },
      firstPassOffset: 12,
    });
    const a = passLine(pattern, 3);
    const b = passLine(roundTrip(pattern), 3);
    const points = (made: unknown): [number, number][] => JSON.parse(JSON.stringify(made)) as [number, number][];
    points(a)
      .flat(3)
      .forEach((value, i) => expectWithin(value, points(b).flat(3)[i]!, 2e-3));
  });
});

const point = (type: TaskPoint["type"], x: number, y: number): TaskPoint => {
  const { latitude, longitude } = frame.toGeodetic([x, y]);
  return { type, latitude, longitude };
};
const data = (more: Partial<GuidancePatternData>, points: readonly TaskPoint[]): GuidancePatternData => ({
  kind: "ab",
  boundaries: [],
  ...more,
  line: { type: "guidance-pattern", width: 24, points },
});

describe("patterns of others", () => {
  test("absent propagation and extension mean both", () => {
    const pattern = fromPatternData(frame, data({}, [point("other", 0, 0), point("other", 0, 9)]));
    expect(pattern).toMatchObject({ propagation: "both", extension: "both", line: { kind: "ab" } });
  });

  test("points are found by what they are, else by their order", () => {
    const points = [point("guidance-reference-b", 0, 90), point("guidance-reference-a", 0, 0)];
    const pattern = fromPatternData(frame, data({}, points));
    expectWithin(pattern.line.points[0][1], 0, PLACE);
  });

  test("a pivot of one point and a radius, and one of a centre and A", () => {
    const one = fromPatternData(frame, data({ kind: "pivot", radius: 150 }, [point("other", 10, 20)])).line;
    expect(one).toMatchObject({ kind: "pivot", radius: 150, rotation: "clockwise" });
    const points = [point("guidance-reference-centre", 10, 20), point("guidance-reference-a", 10, 70)];
    const two = fromPatternData(frame, data({ kind: "pivot", options: "counter-clockwise" }, points)).line;
    expect(two).toMatchObject({ kind: "pivot", rotation: "counter-clockwise" });
    expect((two as { end?: number }).end).toBeUndefined();
    expectWithin((two as { radius: number }).radius, 50, PLACE);
  });

  test("a curve that crosses itself and ends where it began stays a curve", () => {
    const eight = [
      [0, 0],
      [50, 50],
      [100, 0],
      [100, 50],
      [50, 0],
      [0, 50],
      [0, 0],
    ].map(([x, y]) => point("guidance-point", x!, y!));
    expect(fromPatternData(frame, data({ kind: "curve" }, eight)).line.kind).toBe("curve");
  });

  test("a spiral that is none of Archimedes, or has no centre, is the curve through its points", () => {
    const log = Array.from({ length: 60 }, (_, i) => {
      const r = 10 * Math.exp(0.03 * i);
      return point("guidance-point", r * Math.sin(i / 5), r * Math.cos(i / 5));
    });
    const made = fromPatternData(frame, data({ kind: "spiral" }, [point("guidance-reference-centre", 0, 0), ...log]));
    expect(made.line.kind).toBe("curve");
    expect(made.line.points).toHaveLength(60);
    expect(fromPatternData(frame, data({ kind: "spiral" }, log)).line.kind).toBe("curve");
  });

  test("a swath width that is missing is asked for", () => {
    const bare = {
      ...data({}, []),
      line: { type: "guidance-pattern" as const, points: [point("other", 0, 0), point("other", 0, 9)] },
    };
    expect(expectCode(() => fromPatternData(frame, bare), "bad-format").argument).toBe("data.line.width");
    expect(fromPatternData(frame, bare, { swathWidth: 18 }).swathWidth).toBe(18);
  });

  test.each<[string, Partial<GuidancePatternData>, number, string]>([
    ["an unknown kind", { kind: 9 }, 2, "data.kind"],
    ["a propagation without a meaning", { propagation: 7 }, 2, "data.propagation"],
    ["an AB line of one point", {}, 1, "data.line.points"],
    ["no point", { kind: "curve" }, 0, "data.line.points"],
    ["an A+ line without heading", { kind: "a-plus" }, 1, "data.heading"],
    ["a pivot without a radius", { kind: "pivot" }, 1, "data.radius"],
  ])("%s is refused", (_, more, count, argument) => {
    const points = Array.from({ length: count }, (__, i) => point("other", 0, 10 * i));
    expect(expectCode(() => fromPatternData(frame, data(more, points)), "bad-format").argument).toBe(argument);
  });

  test("what the line's maker refuses names the line", () => {
    const twice = [point("other", 0, 0), point("other", 0, 0)];
    expectCode(() => fromPatternData(frame, data({}, twice)), "degenerate");
    expectCode(
      () => fromPatternData(frame, data({ kind: "a-plus", heading: 5, extension: "none" }, twice)),
      "degenerate",
    );
    expectCode(() => fromPatternData(null as never, data({}, twice)), "not-finite");
    expectCode(() => fromPatternData(frame, null as never), "not-finite");
    expectCode(() => toPatternData(frame, null as never), "not-finite");
    expectCode(
      () =>
        toShiftData(
          frame,
          { ...guidancePattern(lines.ab, { swathWidth: 24 }), swathWidth: 0 },
          { pattern: "GPN1", group: "GGP1" },
        ),
      "out-of-range",
    );
  });
});

describe("what is written", () => {
  test("ids: that which is given, else the line's where it is one", () => {
    const pattern = guidancePattern(straightLine([0, 0], [0, 9], { id: "GPN-4" }), { swathWidth: 3 });
    expect(toPatternData(frame, pattern).id).toBe("GPN-4");
    expect(toPatternData(frame, pattern, "GPN7").id).toBe("GPN7");
    const own = guidancePattern(straightLine([0, 0], [0, 9], { id: "north" }), { swathWidth: 3 });
    expect(toPatternData(frame, own).id).toBeUndefined();
  });

  test("headings are true ones: 3 km east of the origin the frame's north is another", () => {
    // meridian convergence, longitude difference times sine of latitude (Snyder 1987, eq. 8-17, tangent plane to first order)
    const line = headingLine([3000, 0], 0);
    const { heading } = toPatternData(frame, guidancePattern(line, { swathWidth: 24 }));
    const { longitude, latitude } = frame.toGeodetic([3000, 0]);
    expectAngleWithin(heading!, (longitude - 20.75) * Math.sin((latitude * Math.PI) / 180), 1e-4);
  });

  test("no shift where it was not moved", () => {
    const ids = { pattern: "GPN1", group: "GGP1" };
    expect(toShiftData(frame, guidancePattern(lines.ab, { swathWidth: 3 }), ids)).toBeUndefined();
  });

  test("a spiral's chords depart from it by 1 cm at the most", () => {
    const spiral = lines.spiral;
    const { points } = toPatternData(frame, guidancePattern(spiral, { swathWidth: 24 })).line;
    const local = points.slice(1).map((p) => frame.toLocal(p));
    const perDegree = -24 / 360;
    for (let i = 0; i + 1 < local.length; i++) {
      const middle = [(local[i]![0] + local[i + 1]![0]) / 2, (local[i]![1] + local[i + 1]![1]) / 2];
      const bearing = (Math.atan2(middle[0]!, middle[1]!) * 180) / Math.PI;
      const turns = (((bearing - 77) % 360) + 360) % 360;
      const radius = Math.hypot(middle[0]!, middle[1]!);
      const off = [0, 1, 2, 3, 4, 5, 6, 7].map((k) => Math.abs(200 + perDegree * (turns + 360 * k) - radius));
      expect(Math.min(...off)).toBeLessThan(0.011);
    }
  });
});
