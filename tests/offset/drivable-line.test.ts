import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { Line, Point } from "../../src/geometry/index.js";
import { curvedLine, guidancePattern, passLine } from "../../src/guidance/index.js";
import { type DrivableLineOptions, drivableLine, offsetLine } from "../../src/offset/index.js";
import { expectCode, expectWithin, MM } from "../helpers/within.js";
import { curvatures, farthest, farthestAlong, swathEdges, wave } from "./drivable-line-oracle.js";

const RADIUS = 6;
/** tolerance of the drawing in tests that measure curvature, metres: a window of 0.5 m then reads it to 1e-4 1/m */
const FINE = 1e-6;

function corner(inner: number, leg = 100): Point[] {
  const turn = Math.PI - (inner * Math.PI) / 180;
  return [
    [0, 0],
    [leg, 0],
    [leg + leg * Math.cos(turn), leg * Math.sin(turn)],
  ];
}

/** Hold a line to its promise: curvature, ends, headings, and the departure that it reports. */
function judge(line: Line, options: DrivableLineOptions, lineClosed = false): ReturnType<typeof drivableLine> {
  const made = drivableLine(line, { ...options, tolerance: FINE });
  const given = lineClosed ? [...line, line[0]!] : line;
  const r = options.minimumRadius;
  expect(made.drivable).toBe(true);
  expect(made.report.maximumCurvature).toBeLessThanOrEqual((1 + 1e-3) / r);
  const looped = lineClosed ? [...made.points, ...made.points.slice(1, 40)] : made.points;
  const measured = curvatures(looped, 0.5, 0.1);
  expect(Math.max(...measured.map(Math.abs))).toBeLessThanOrEqual((1 + 1e-3) / r + 8 * (FINE / 0.25));
  if (!lineClosed) {
    const ends = [made.points[0]!, made.points[made.points.length - 1]!];
    expectWithin(Math.hypot(ends[0]![0] - given[0]![0], ends[0]![1] - given[0]![1]), 0, 1e-9, "start");
    const last = given[given.length - 1]!;
    expectWithin(Math.hypot(ends[1]![0] - last[0], ends[1]![1] - last[1]), 0, 1e-9, "end");
  }
  const gap = farthestAlong(given, made.points);
  const overlap = farthestAlong(made.points, given);
  expectWithin(made.report.largestGap, gap, MM, "gap against brute force");
  expectWithin(made.report.largestOverlap, overlap, MM, "overlap against brute force");
  return made;
}

describe("corners", () => {
  // r (1 / sin(a / 2) - 1), by hand
  test.for([
    [90, 6, 2.4853],
    [150, 6, 0.2117],
    [60, 6, 6],
    [120, 8, 1.2376],
    [170, 12, 0.0458],
  ] as const)("an inner angle of %d° and %d m departs by %d m", ([inner, radius, expected]) => {
    for (const line of [corner(inner), corner(inner).map(([x, y]): Point => [x, 0 - y])]) {
      const made = judge(line, { minimumRadius: radius });
      expectWithin(made.report.largestGap, expected, 5e-5, "gap");
      expect(made.report.places).toHaveLength(1);
      const place = made.report.places[0]!;
      expect(place.at).toEqual(line[1]);
      expectWithin(place.station, 100, 1e-9, "station");
      expectWithin(place.angle, inner, 1e-9, "inner angle");
      expectWithin(place.overlap, radius * (1 - Math.sin((inner * Math.PI) / 360)), 1e-9, "overlap");
    }
  });

  test("a swath leaves the same gap, and overlaps the less the wider it is", () => {
    const line = corner(90, 12);
    for (const width of [3, 8, 16]) {
      for (const clothoid of [undefined, { length: 4 }]) {
        const options = { minimumRadius: RADIUS, swathWidth: width, ...(clothoid === undefined ? {} : { clothoid }) };
        const made = drivableLine(line, { ...options, tolerance: 1e-5 });
        // the ends of a swath are no part of the question: edges stop where the legs do
        const gap = farthest(swathEdges(line, width, 0.0025), made.points) - width / 2;
        const overlap = Math.max(0, farthest(swathEdges(made.points, width, 0.0025), line) - width / 2);
        expectWithin(made.report.largestGap, gap, MM, `gap at ${width} m`);
        expectWithin(made.report.largestOverlap, overlap, MM, `overlap at ${width} m`);
      }
    }
  });

  test("edges lost under the disc go, as on a chain of corners to one side", () => {
    const line: Point[] = [
      [0, 0],
      [40, 0],
      [42, 1],
      [43, 3],
      [43, 50],
    ];
    const made = judge(line, { minimumRadius: RADIUS });
    // the disc touches the two long legs: they meet at (43, 0)
    expectWithin(farthest([[37, 0]], made.points), 0, 1e-5, "leaves the first leg");
    expectWithin(farthest([[43, 6]], made.points), 0, 1e-5, "joins the last leg");
  });

  test("a line that is drivable already stays", () => {
    const circle = Array.from({ length: 200 }, (_, i): Point => [20 * Math.cos(i / 40), 20 * Math.sin(i / 40)]);
    expect(judge(circle, { minimumRadius: RADIUS }).report.largestGap).toBeLessThan(MM);
    const straight = drivableLine(
      [
        [0, 0],
        [100, 0],
      ],
      { minimumRadius: RADIUS },
    );
    expect(straight.points).toEqual([
      [0, 0],
      [100, 0],
    ]);
    expect(straight.report.maximumCurvature).toBe(0);
    expect(drivableLine(corner(90), { minimumRadius: 0 }).points).toEqual(corner(90));
  });

  test("a lane shift too short for two arcs on its own edge gets two on a longer one", () => {
    const made = judge(
      [
        [0, 0],
        [50, 0],
        [51, 1],
        [100, 1],
      ],
      { minimumRadius: RADIUS },
    );
    expect(made.report.places).toHaveLength(1);
    expect(made.report.largestGap).toBeLessThan(0.5);
  });

  test("turns of a spiral nearer than the radius do not disturb each other", () => {
    const spiral = Array.from({ length: 450 }, (_, i): Point => {
      const angle = i / 30;
      return [
        (12 + (3 * angle) / (2 * Math.PI)) * Math.cos(angle),
        (12 + (3 * angle) / (2 * Math.PI)) * Math.sin(angle),
      ];
    });
    const made = judge(spiral, { minimumRadius: 10 });
    expect(made.report.largestGap).toBeLessThan(5 * MM);
  });

  test("a closed line has no ends: every corner is rounded", () => {
    const ring: Point[] = [
      [0, 0],
      [60, 0],
      [60, 40],
      [0, 40],
    ];
    const made = judge(ring, { minimumRadius: RADIUS, closed: true }, true);
    expect(made.closed).toBe(true);
    expect(made.points[0]).toEqual(made.points[made.points.length - 1]);
    expect(made.report.places.map((p) => p.station)).toEqual([0, 60, 100, 160]);
    // known to be closed by its repeated first point
    const again = drivableLine([...ring, ring[0]!], { minimumRadius: RADIUS, tolerance: FINE });
    expect(again).toEqual(made);
  });
});

describe("what is not possible is said", () => {
  test("a hairpin narrower than twice the radius", () => {
    const made = drivableLine(
      [
        [0, 0],
        [50, 0],
        [50, 4],
        [0, 4],
      ],
      { minimumRadius: RADIUS },
    );
    expect(made.drivable).toBe(false);
    expect(made.report.tight).toEqual([{ at: [50, 0], station: 50, radius: 2, reason: "hairpin" }]);
    expectWithin(made.report.maximumCurvature, 0.5, 1e-12);
    expect(
      farthest(made.points, [
        [0, 0],
        [50, 0],
        [50, 4],
        [0, 4],
      ]),
    ).toBeLessThan(1);
  });

  test("an exact reversal keeps its point", () => {
    const made = drivableLine(
      [
        [0, 0],
        [50, 0],
        [10, 0],
      ],
      { minimumRadius: RADIUS },
    );
    expect(made.points).toEqual([
      [0, 0],
      [50, 0],
      [10, 0],
    ]);
    expect(made.report.tight).toEqual([{ at: [50, 0], station: 50, radius: 0, reason: "hairpin" }]);
    expect(made.report.maximumCurvature).toBe(Number.POSITIVE_INFINITY);
    expect(made.report.largestGap).toBe(0);
  });

  test("a bend too near an end, which keeps its place and heading", () => {
    const made = drivableLine(
      [
        [0, 0],
        [3, 0],
        [3, 50],
      ],
      { minimumRadius: RADIUS },
    );
    expect(made.report.tight).toEqual([{ at: [3, 0], station: 3, radius: 3, reason: "end" }]);
    expect(made.points[0]).toEqual([0, 0]);
  });

  test("a zigzag of more than half the radius", () => {
    const line = Array.from({ length: 20 }, (_, i): Point => [2 * i, i % 2 === 0 ? -8 : 8]);
    const made = drivableLine(line, { minimumRadius: RADIUS });
    expect(made.drivable).toBe(false);
    expect(made.report.tight[0]!.reason).toBe("zigzag");
    expectWithin(1 / made.report.maximumCurvature, made.report.tight[0]!.radius, 1e-12);
  });

  test("a small circle is driven as it is", () => {
    const circle = Array.from(
      { length: 100 },
      (_, i): Point => [4 * Math.cos((i * Math.PI) / 50), 4 * Math.sin((i * Math.PI) / 50)],
    );
    const made = drivableLine(circle, { minimumRadius: RADIUS, closed: true });
    expect(made.report.tight).toHaveLength(1);
    expectWithin(made.report.tight[0]!.radius, 4, 5 * MM);
    expect(made.report.largestGap).toBeLessThan(5 * MM);
  });

  test("the numbers of the report are those of the line, whatever the line", () => {
    const point = fc.tuple(fc.integer({ min: 0, max: 60 }), fc.integer({ min: 0, max: 60 }));
    fc.assert(
      fc.property(
        fc.array(point, { minLength: 3, maxLength: 9 }),
        fc.boolean(),
        fc.option(fc.constant({ length: 3 }), { nil: undefined }),
        (line, closed, clothoid) => {
          const distinct = new Set(line.map(String)).size;
          fc.pre(distinct >= (closed ? 3 : 2));
          const options = { minimumRadius: 5, closed, ...(clothoid === undefined ? {} : { clothoid }) };
          const made = drivableLine(line, options);
          for (const [x, y] of made.points) expect(Number.isFinite(x) && Number.isFinite(y)).toBe(true);
          // a local match can only be farther than the nearest part of the whole line
          const whole = closed ? [...line, line[0]!] : line;
          const gap = farthestAlong(whole, made.points, 0.25);
          expect(made.report.largestGap).toBeGreaterThanOrEqual(gap - 2 * MM);
          const overlap = farthestAlong(made.points, whole, 0.25);
          expect(made.report.largestOverlap).toBeGreaterThanOrEqual(overlap - 2 * MM);
          if (clothoid === undefined) expect(made.drivable).toBe(made.report.tight.length === 0);
          if (made.drivable) expect(made.report.maximumCurvature).toBeLessThanOrEqual(1.001 / 5);
          if (!made.drivable) expect(made.report.tight.length + made.report.shortened.length).toBeGreaterThan(0);
        },
      ),
      { numRuns: 60 },
    );
  });
});

describe("passes", () => {
  const boundary: Point[] = [
    [-60, 0],
    [0, 0],
    [34, 42],
    [90, 42],
  ];

  test("trimmed corners of offset passes are made drivable", () => {
    for (const distance of [-36, -18, 9, 18]) {
      for (const piece of offsetLine(boundary, distance, { tolerance: 1e-5 })) {
        const made = judge(piece.points, { minimumRadius: 8 });
        expect(made.report.largestGap).toBeLessThan(2);
      }
    }
  });

  test("a recorded curve with 2 cm of noise, smoothed, and its passes", () => {
    const recorded = wave(0.5, 8, 0.02, 120);
    const line = curvedLine(recorded, { smoothing: 0.05 });
    const pattern = guidancePattern(line, { swathWidth: 6, extension: "none" });
    for (const pass of [0, 1, -2, 4]) {
      for (const piece of passLine(pattern, pass)) {
        if (piece.length < 3) continue;
        const made = judge(piece, { minimumRadius: RADIUS });
        if (pass === 0) expect(made.report.largestGap).toBeLessThan(0.02);
      }
    }
  });

  test("raw noise is cut off rather than steered after", () => {
    for (const step of [1, 0.5, 0.2]) {
      const made = drivableLine(wave(step, 10, 0.02), { minimumRadius: RADIUS });
      expect(made.drivable).toBe(true);
      expect(made.report.largestGap).toBeLessThan(0.05);
    }
  });

  test("neither place, direction nor side changes the numbers", () => {
    const line: Point[] = [
      [0, 0],
      [40, 0],
      [41, 3],
      [60, 20],
      [61, 60],
      [30, 62],
      [28, 90],
    ];
    const here = drivableLine(line, { minimumRadius: RADIUS });
    const moved = line.map(([x, y]): Point => [0.8 * x - 0.6 * y + 5e5, 0.6 * x + 0.8 * y + 6e6]);
    const mirrored = line.map(([x, y]): Point => [-x, y]);
    for (const other of [moved, mirrored, [...line].reverse()]) {
      const there = drivableLine(other, { minimumRadius: RADIUS });
      expectWithin(there.report.largestGap, here.report.largestGap, 1e-6, "gap");
      expectWithin(there.report.largestOverlap, here.report.largestOverlap, 1e-6, "overlap");
      expect(there.report.places).toHaveLength(here.report.places.length);
    }
  });
});

describe("bad input", () => {
  const line = corner(90);
  test("is refused with a typed error", () => {
    expectCode(() => drivableLine(line, { minimumRadius: -1 }), "out-of-range");
    expectCode(() => drivableLine(line, { minimumRadius: Number.NaN }), "not-finite");
    expectCode(() => drivableLine(line, { minimumRadius: 6, tolerance: 0 }), "out-of-range");
    expectCode(() => drivableLine(line, { minimumRadius: 6, swathWidth: -1 }), "out-of-range");
    expectCode(() => drivableLine(line, { minimumRadius: 0, clothoid: { length: 3 } }), "out-of-range");
    expectCode(() => drivableLine(line, { minimumRadius: 6, clothoid: { length: 9.1 } }), "out-of-range");
    expectCode(() => drivableLine(line, { minimumRadius: 6, clothoid: { curvatureRate: 0 } }), "out-of-range");
    expectCode(() => drivableLine([[0, 0]], { minimumRadius: 6 }), "too-few-points");
    expectCode(
      () =>
        drivableLine(
          [
            [0, 0],
            [1, 0],
          ],
          { minimumRadius: 6, closed: true },
        ),
      "too-few-points",
    );
    expectCode(
      () =>
        drivableLine(
          [
            [0, 0],
            [0, 0],
          ],
          { minimumRadius: 6 },
        ),
      "degenerate",
    );
    const error = expectCode(
      () =>
        drivableLine(
          [
            [0, 0],
            [Number.NaN, 0],
            [2, 0],
          ],
          { minimumRadius: 6 },
        ),
      "not-finite",
    );
    expect(error.index).toBe(1);
  });
});
