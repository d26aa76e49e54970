import fc from "fast-check";
import { describe, expect, expectTypeOf, test } from "vitest";
import { nearestOnLine, pathLength, type Point } from "../../src/geometry/index.js";
import {
  type CurvedLine,
  closedLine,
  curvedLine,
  guidancePattern,
  lineFromPass,
  linesFromPass,
  passLine,
  type ReferenceLine,
  reverseLine,
  spiralLine,
  circleLine,
} from "../../src/guidance/index.js";
import { expectCode, expectWithin } from "../helpers/within.js";
import { random, winding } from "./curves.js";

const circle = (radius: number, count: number, draw: () => number, noise = 0): Point[] =>
  Array.from({ length: count }, (_, i): Point => {
    const a = (i / count) * 1.5 * Math.PI;
    return [radius * Math.sin(a) + (draw() - 0.5) * noise, radius * Math.cos(a) + (draw() - 0.5) * noise];
  });

describe("a recorded curve", () => {
  test("is a plain object with its labels, survives JSON, and comes back from a pattern point by point", () => {
    const points = winding(200, 0.2);
    const line = curvedLine(points, { name: "along the brook", id: "7" });
    expect(line.points).toEqual(points);
    expect(line).toMatchObject({ kind: "curve", departure: 0, name: "along the brook", id: "7" });
    const read = JSON.parse(JSON.stringify(line)) as CurvedLine;
    expect(guidancePattern(read, { swathWidth: 6 }).line).toEqual(line);
    expectTypeOf(line).toExtend<ReferenceLine>();
  });

  test("a smoothed one is not smoothed again when it is loaded, and keeps its departure", () => {
    const line = curvedLine(circle(50, 300, random(3), 0.05), { smoothing: 0.05 });
    expect(line.departure).toBeGreaterThan(0);
    expect(guidancePattern(JSON.parse(JSON.stringify(line)) as CurvedLine, { swathWidth: 6 }).line).toEqual(line);
  });

  test("a clean dense recording is not changed, however slow the machine went", () => {
    const points = winding(3000, 0.01);
    expect(curvedLine(points).points).toEqual(points);
  });

  test("a standstill in it, with 2 cm of wander over ten minutes, becomes one point, and the ends stay", () => {
    const draw = random(11);
    const points: Point[] = [];
    const stand = (x: number): void => {
      for (let i = 0; i < 6000; i++) points.push([x + (draw() - 0.5) * 0.04, (draw() - 0.5) * 0.04]);
    };
    for (let x = 0; x < 50; x += 0.2) points.push([x, 0]);
    stand(50);
    for (let x = 50.2; x <= 100; x += 0.2) points.push([x, 0]);
    stand(100);
    const { points: line } = curvedLine(points);
    expect(line.length).toBeLessThan(505);
    expect(pathLength(line)).toBeLessThan(100.5);
    expect(line[0]).toEqual([0, 0]);
    expect(line[line.length - 1]).toEqual(points[points.length - 1]);
    for (const p of line) expectWithin(p[1], 0, 0.02);
    expect(curvedLine(points, { standstill: 0 }).points.length).toBeGreaterThan(10_000);
  });

  test("duplicate points and spikes are dropped; a stretch there and back stays where it is asked for", () => {
    const spiked: Point[] = [
      [0, 0],
      [0, 10],
      [0, 10],
      [0, 30],
      [0, 20],
      [0, 40],
    ];
    expect(curvedLine(spiked).points).toEqual([
      [0, 0],
      [0, 10],
      [0, 20],
      [0, 40],
    ]);
    expect(curvedLine(spiked, { spikes: false }).points).toHaveLength(5);
  });

  test.for([0.01, 0.03, 0.1])("smoothing moves no place of it by more than %d m, and keeps the ends", (smoothing) => {
    fc.assert(
      fc.property(fc.integer(), fc.double({ min: 0.02, max: 0.3, noNaN: true }), (seed, noise) => {
        const points = circle(40, 400, random(seed), noise);
        const line = curvedLine(points, { smoothing });
        expect(line.points[0]).toEqual(points[0]);
        expect(line.points[line.points.length - 1]).toEqual(points[points.length - 1]);
        for (let i = 0; i < points.length; i += 7) {
          expect(nearestOnLine(line.points, points[i]!).distance).toBeLessThanOrEqual(line.departure + 1e-12);
        }
        for (const p of line.points) expect(nearestOnLine(points, p).distance).toBeLessThanOrEqual(smoothing);
        expect(line.departure).toBeLessThanOrEqual(smoothing);
      }),
      { numRuns: 20 },
    );
  });

  test("smoothing takes the noise out of a bend and does not draw it tight", () => {
    const noisy = circle(30, 700, random(4), 0.06);
    const line = curvedLine(noisy, { smoothing: 0.1 });
    const spread = (points: readonly Point[]): number => {
      const inner = points.slice(30, -30);
      const off = inner.map(([x, y]) => Math.hypot(x, y) - 30);
      return Math.sqrt(off.reduce((sum, d) => sum + d * d, 0) / off.length);
    };
    expect(spread(line.points)).toBeLessThan(spread(noisy) / 2.5);
    const clean = curvedLine(circle(30, 700, random(4)), { smoothing: 0.1 });
    expect(clean.departure).toBeLessThan(1e-3);
  });

  test.for([
    [[[0, 0]], {}, "too-few-points"],
    [
      [
        [1, 1],
        [1, 1],
      ],
      {},
      "degenerate",
    ],
    [
      [
        [0, 0],
        [0, Number.NaN],
      ],
      {},
      "not-finite",
    ],
    [
      [
        [0, 0],
        [0, 1e12],
      ],
      {},
      "out-of-range",
    ],
    [
      [
        [0, 0],
        [0, 10],
      ],
      { smoothing: -1 },
      "out-of-range",
    ],
    ["line", {}, "too-few-points"],
  ] as const)("a curve of %j with %j is refused: %s", ([points, options, code]) => {
    expectCode(() => curvedLine(points as never, options), code);
  });
});

describe("a closed line", () => {
  const ring: Point[] = [
    [0, 0],
    [200, 0],
    [200, 100],
    [0, 100],
  ];

  test("is walked as given or as asked, from its first point, and knows how deep it is", () => {
    const given = closedLine(ring);
    expect(given.points).toEqual(ring);
    expectWithin(given.inradius, 50, 1e-6);
    expect(given.inradius).toBeLessThanOrEqual(50);
    const turned = closedLine([...ring, ring[0]!], { rotation: "clockwise" });
    expect(turned.points).toEqual([ring[0], ring[3], ring[2], ring[1]]);
    expect(reverseLine(given)).toEqual({ ...turned });
    expect(guidancePattern(JSON.parse(JSON.stringify(turned)) as ReferenceLine, { swathWidth: 6 }).line).toEqual(
      turned,
    );
  });

  test.for([
    [
      [
        [0, 0],
        [30, 0],
        [0, 40],
      ],
      10,
    ],
    [
      [
        [0, 0],
        [100, 0],
        [100, 100],
        [0, 100],
      ],
      50,
    ],
    [
      [
        [0, 0],
        [300, 0],
        [300, 1],
        [0, 1],
      ],
      0.5,
    ],
  ] as const)("the largest circle within %j has radius %d m", ([points, radius]) => {
    // triangle 3-4-5: inradius (3 + 4 - 5) / 2
    expectWithin(closedLine(points).inradius, radius, 2e-6);
  });

  test.for([
    [
      [
        [0, 0],
        [1, 0],
      ],
      "too-few-points",
    ],
    [
      [
        [0, 0],
        [10, 10],
        [10, 0],
        [0, 10],
      ],
      "self-crossing",
    ],
    [
      [
        [0, 0],
        [10, 0],
        [5, 0],
      ],
      "degenerate",
    ],
    [
      [
        [0, 0],
        [10, 0],
        [5, Number.NaN],
      ],
      "not-finite",
    ],
  ] as const)("a ring of %j is refused: %s", ([points, code]) => {
    expectCode(() => closedLine(points), code);
  });
});

describe("a line from a pass", () => {
  test("of a curve is a curve on it, shift included, without the extension", () => {
    const pattern = guidancePattern(curvedLine(winding(200)), { swathWidth: 6, shift: { east: 2, north: 1 } });
    const line = lineFromPass(pattern, 2, { name: "second" }) as CurvedLine;
    expect(line).toMatchObject({ kind: "curve", name: "second" });
    const source = winding(200, 1, 2, 1);
    for (const p of line.points) expectWithin(nearestOnLine(source, p).signedDistance, 12, 1e-6);
  });

  test("in pieces gives the longest, or all, the longest first", () => {
    const points: Point[] = [
      [0, 0],
      [0, 100],
      [30, 100],
      [30, 30],
      [60, 30],
      [60, 100],
    ];
    const pattern = guidancePattern(curvedLine(points), { swathWidth: 14 });
    const all = linesFromPass(pattern, 1) as CurvedLine[];
    const lengths = all.map((line) => pathLength(line.points));
    expect([...lengths].sort((a, b) => b - a)).toEqual(lengths);
    expect(lineFromPass(pattern, 1)).toEqual(all[0]);
  });

  test("of a closed line is a closed line where the pass is one loop; nothing where it has vanished", () => {
    const pattern = guidancePattern(
      closedLine(
        [
          [0, 0],
          [200, 0],
          [200, 100],
          [0, 100],
        ],
        { rotation: "clockwise" },
      ),
      { swathWidth: 10 },
    );
    const inner = lineFromPass(pattern, 2);
    expect(inner.kind).toBe("closed");
    expectWithin((inner as { inradius: number }).inradius, 30, 1e-5);
    expect(linesFromPass(pattern, 6)).toEqual([]);
    expectCode(() => lineFromPass(pattern, 6), "degenerate");
  });
});

describe("a spiral", () => {
  const spiral = spiralLine([10, 20], { startRadius: 100, endRadius: 20, pitch: 8, start: 30 });

  test("is one pass by default, its turns a pitch apart, within 0.1 mm of the true one", () => {
    const pattern = guidancePattern(spiral, { swathWidth: 8 });
    expect(pattern.propagation).toBe("none");
    const [line] = passLine(pattern, 0, { length: 1e-3 });
    expect(line!.length).toBeGreaterThan(100);
    for (let i = 2; i < line!.length - 1; i++) {
      const [ax, ay] = line![i - 1]!;
      const [bx, by] = line![i]!;
      const x = (ax + bx) / 2 - 10;
      const y = (ay + by) / 2 - 20;
      const bearing = (Math.atan2(x, y) * 180) / Math.PI;
      // r = start radius - pitch turns
      const turns = (100 - Math.hypot(x, y)) / 8;
      const off = ((((turns * 360 + 30 - bearing) % 360) + 540) % 360) - 180;
      expectWithin((off / 360) * 8, 0, 1.1e-4, "radius at its bearing");
    }
  });

  test("comes back the other way round when it is reversed twice", () => {
    const twice = reverseLine(reverseLine(spiral)) as typeof spiral;
    expect(twice).toMatchObject({ startRadius: 100, endRadius: 20, rotation: "clockwise" });
    expectWithin(twice.start, 30, 1e-9);
  });

  test("is refused when it goes nowhere or turns too often", () => {
    expectCode(() => spiralLine([0, 0], { startRadius: 5, endRadius: 5, pitch: 1 }), "degenerate");
    expectCode(() => spiralLine([0, 0], { startRadius: 0, endRadius: 5000, pitch: 0.01 }), "too-large");
    expectCode(() => spiralLine([0, 0], { startRadius: 0, endRadius: 50, pitch: 0 }), "out-of-range");
  });
});

describe("a line that comes from a file", () => {
  test.for([
    [{ kind: "curve", points: [[0, 0]] }, "too-few-points", "line.points"],
    [
      {
        kind: "curve",
        points: [
          [0, 0],
          [0, "1"],
        ],
      },
      "not-finite",
      "line.points",
    ],
    [
      {
        kind: "curve",
        points: [
          [0, 0],
          [0, 9],
        ],
        departure: -1,
      },
      "out-of-range",
      "line.departure",
    ],
    [
      {
        kind: "closed",
        points: [
          [0, 0],
          [0, 9],
        ],
      },
      "too-few-points",
      "line.points",
    ],
    [{ kind: "pivot", points: [[0, 0]], radius: "8", rotation: "clockwise", start: 0 }, "not-finite", "line.radius"],
    [{ kind: "pivot", points: [[0, 0]], radius: 8, rotation: "cw", start: 0 }, "out-of-range", "line.options.rotation"],
    [{ kind: "spiral", points: [[0, 0]] }, "not-finite", "line.options.startRadius"],
    [{ kind: "arc", points: [[0, 0]] }, "out-of-range", "line.kind"],
  ] as const)("is refused where it is damaged: %j", ([line, code, argument]) => {
    expect(expectCode(() => guidancePattern(line as never, { swathWidth: 6 }), code).argument).toBe(argument);
  });

  test("a circle comes back as it was", () => {
    const line = circleLine([1, 2], 30, { start: 10, end: 80, rotation: "counter-clockwise", name: "pivot" });
    expect(guidancePattern(JSON.parse(JSON.stringify(line)) as ReferenceLine, { swathWidth: 6 }).line).toEqual(line);
  });
});
