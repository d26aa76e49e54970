import { describe, expect, test } from "vitest";
import {
  type FieldContent,
  fieldFeatures,
  fieldPassLines,
  readFieldFeatures,
} from "../../src/exchange/features/index.js";
import { readGeoJson, writeGeoJson } from "../../src/exchange/index.js";
import { localFrame } from "../../src/frames/index.js";
import { polygonArea } from "../../src/geometry/index.js";
import {
  circleLine,
  closedLine,
  curvedLine,
  guidancePattern,
  headingLine,
  spiralLine,
  straightLine,
} from "../../src/guidance/index.js";
import { headland } from "../../src/headland/index.js";
import { expectCode, expectWithin } from "../helpers/within.js";

const frame = localFrame({ latitude: 47.25, longitude: 20.75, altitude: 88 });
const field = [
  {
    exterior: [
      [0, 0],
      [400, 10],
      [380, 300],
      [-10, 280],
      [0, 0],
    ],
    holes: [
      [
        [150, 120],
        [150, 150],
        [180, 150],
        [180, 120],
        [150, 120],
      ],
    ],
  },
] as const;
const ab = straightLine([20, 0], [30, 300], { id: "L1", name: "Ditch side", note: "RTK" });
const pattern = guidancePattern(ab, {
  swathWidth: 24,
  shift: { east: 0.5, north: -0.25 },
  swathsLeft: 3,
  firstPass: 5,
});
const made = headland(field, { swathWidth: 24, rounds: 2 });
const event = {
  time: 1714550400.25,
  exactTime: 1714550400.215,
  boom: 0,
  section: 3,
  on: true,
  reason: "working",
  pass: 6,
  x: 44.125,
  y: 12.5,
} as const;
const content: FieldContent = {
  name: "Pond Piece",
  field,
  headland: made.headland,
  mainfield: made.mainfield,
  rounds: made.rounds,
  patterns: [pattern],
  lines: [
    curvedLine([
      [0, 0],
      [50, 10],
      [90, 60],
    ]),
    closedLine(made.rounds[0]!.line.slice(0, -1)),
    headingLine([5, 6], 271.5),
    circleLine([200, 150], 80.5, { rotation: "counter-clockwise", start: 10, end: 200 }),
    spiralLine([200, 150], { startRadius: 90, endRadius: 3, pitch: 12 }),
  ],
  passes: fieldPassLines(pattern, field),
  worked: [{ exterior: field[0].exterior, holes: [] }],
  workedTwice: [],
  switchings: [event, { ...event, on: false, reason: "worked-already", section: 0 }],
  report: {
    labels: { field: "Pond Piece", crop: "winter barley" },
    startTime: 1714550400,
    endTime: 1714554000,
    totals: {
      distance: 4000.5,
      distanceWorked: 3600,
      time: 3600,
      timeWorked: 3000,
      workedArea: 86400,
      overlapArea: 120.25,
      workRate: 28.8,
      fixes: 72000,
      switches: 96,
    },
    workedTwiceArea: 100,
    passes: [
      {
        line: { id: "L1" },
        pass: 6,
        length: 290,
        meanError: -0.004,
        error95: 0.021,
        workedArea: 6960,
        overlapArea: 2,
        switches: 14,
      },
    ],
  },
};

/** the same with every number within a tolerance, in whatever it is nested */
function expectClose(actual: unknown, expected: unknown, path = ""): void {
  if (typeof expected === "number") expectWithin(actual as number, expected, 2e-4, path);
  else if (typeof expected === "object" && expected !== null) {
    expect(Object.keys(actual as object).sort(), path).toEqual(Object.keys(expected).sort());
    for (const [name, value] of Object.entries(expected)) {
      expectClose((actual as Record<string, unknown>)[name], value, `${path}.${name}`);
    }
  } else expect(actual, path).toBe(expected);
}

describe("a field with all that belongs to it", () => {
  test("goes out as GeoJSON and comes back: positions to 0.2 mm, everything else as it was", () => {
    const text = writeGeoJson(fieldFeatures(frame, content));
    const { others, ...back } = readFieldFeatures(frame, readGeoJson(text));
    expect(others).toEqual({ fields: [], lines: [], points: [], withoutGeometry: 0 });
    const rounds = content.rounds!.map(
      ({ line, closed, source, index, obstacles, number, distance, drivable, reason }) => ({
        line,
        closed,
        source,
        index,
        obstacles,
        number,
        distance,
        drivable,
        ...(reason === undefined ? {} : { reason }),
      }),
    );
    expectClose(back, { ...content, rounds });
    expect(back.report).toEqual(content.report);
    expect(back.patterns[0]).toMatchObject({ swathWidth: 24, swathsLeft: 3, firstPass: 5, extension: "both" });
    expect(back.patterns[0]).not.toHaveProperty("swathsRight");
    const area = readGeoJson(text).fields[0]!.properties["area"] as number;
    expectWithin(area, polygonArea(field[0]), 1e-9, "m²");
    // a second time nothing moves any more by more than the rounding
    expectClose(readFieldFeatures(frame, readGeoJson(writeGeoJson(fieldFeatures(frame, back)))), { ...back, others });
  });

  test("every feature has a kind, and the count of each fits", () => {
    const data = fieldFeatures(frame, content);
    const kinds: Record<string, number> = {};
    for (const { properties } of [...data.fields, ...data.lines, ...data.points]) {
      kinds[properties["kind"] as string] = (kinds[properties["kind"] as string] ?? 0) + 1;
    }
    expect(kinds).toEqual({
      field: 1,
      headland: 1,
      mainfield: 1,
      worked: 1,
      "reference-line": 6,
      pass: content.passes!.length,
      round: made.rounds.length,
      switching: 2,
      record: 1,
    });
  });

  test("headings are true ones: another frame sees the same lines", () => {
    const far = localFrame({ latitude: 47.27, longitude: 20.79 });
    const [line] = readFieldFeatures(far, fieldFeatures(frame, { lines: [headingLine([5, 6], 271.5)] })).lines;
    const again = readFieldFeatures(frame, fieldFeatures(far, { lines: [line!] })).lines[0]!;
    expectClose(again, headingLine([5, 6], 271.5));
    // 3 km east the meridians differ by 0.03 degrees
    expect(line).not.toMatchObject({ heading: 271.5 });
  });

  test("features of other programs are handed through", () => {
    const foreign = readGeoJson(
      '{"type":"Feature","properties":{"kind":"pond"},"geometry":{"type":"Point","coordinates":[20,47]}}',
    );
    const read = readFieldFeatures(frame, foreign);
    expect(read.others.points).toEqual(foreign.points);
    expect(read.field).toEqual([]);
    expect(read).not.toHaveProperty("name");
  });

  test("numbers and truth values that stand as texts are taken", () => {
    const data = fieldFeatures(frame, {
      switchings: [event],
      rounds: made.rounds.slice(0, 1),
      report: content.report!,
    });
    const texts = <T extends { properties: Readonly<Record<string, unknown>> }>(list: readonly T[]): T[] =>
      list.map((feature) => ({
        ...feature,
        properties: Object.fromEntries(
          Object.entries(feature.properties).map(([name, value]) => [
            name,
            typeof value === "string" ? value : JSON.stringify(value),
          ]),
        ),
      }));
    const read = readFieldFeatures(frame, { ...data, lines: texts(data.lines), points: texts(data.points) });
    expectClose(read.switchings, [event]);
    expect(read.rounds[0]).toMatchObject({ closed: true, obstacles: [], number: 1 });
    expect(read.report).toEqual(content.report);
  });
});

describe("what does not fit is refused with its place", () => {
  const data = fieldFeatures(frame, { patterns: [pattern], switchings: [event], report: content.report! });
  const changed = (list: "lines" | "points", i: number, properties: object): string => {
    const features = data[list].map((f, j) => (i === j ? { ...f, properties: { ...f.properties, ...properties } } : f));
    const error = expectCode(() => readFieldFeatures(frame, { ...data, [list]: features }), expectedCode);
    return error.argument;
  };
  let expectedCode = "bad-format";
  test.for([
    ["lines", 0, { line: 3 }, "bad-format", "lines[0].properties.line"],
    ["lines", 0, { line: "zigzag" }, "out-of-range", "lines[0].line.kind"],
    ["lines", 0, { swathWidth: "wide" }, "bad-format", "lines[0].properties.swathWidth"],
    ["lines", 0, { swathWidth: -1 }, "out-of-range", "lines[0].options.swathWidth"],
    ["lines", 0, { name: {} }, "bad-format", "lines[0].properties.name"],
    ["points", 0, { section: 1.5 }, "bad-format", "points[0].properties.section"],
    ["points", 0, { reason: "constructor" }, "bad-format", "points[0].properties.reason"],
    ["points", 0, { on: "perhaps" }, "bad-format", "points[0].properties.on"],
    ["points", 0, { time: null }, "bad-format", "points[0].properties.time"],
    ["points", 1, { passes: "x" }, "bad-format", "points[1].properties.passes"],
    ["points", 1, { passes: [3] }, "bad-format", "points[1].properties.passes[0]"],
    ["points", 1, { passes: [{ pass: 1 }] }, "bad-format", "points[1].properties.passes[0].length"],
  ] as const)("%s[%d] %j", ([list, i, properties, code, argument]) => {
    expectedCode = code;
    expect(changed(list, i, properties)).toBe(argument);
  });

  test("content that is none", () => {
    expectCode(() => fieldFeatures(frame, null as never), "not-finite");
    expectCode(() => fieldFeatures(null as never, {}), "not-finite");
    expectCode(() => fieldFeatures(frame, { passes: 3 as never }), "too-few-points");
    expectCode(() => fieldFeatures(frame, { passes: [null] as never }), "not-finite");
    expectCode(() => readFieldFeatures(frame, {} as never), "too-few-points");
  });
});
