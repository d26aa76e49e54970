import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { pointInPolygon, type Point, type Polygon } from "../../src/geometry/index.js";
import { guidancePattern, headingLine, passLine, passOffset, straightLine } from "../../src/guidance/index.js";
import { sortCrossings } from "../../src/guidance/sort-crossings.js";
import { expectCode, expectWithin } from "../helpers/within.js";

const north = straightLine([0, 0], [0, 100]);
const pattern = guidancePattern(north, { swathWidth: 10 });
const square: Polygon = {
  exterior: [
    [-50, -50],
    [50, -50],
    [50, 50],
    [-50, 50],
  ],
  holes: [],
};

describe("a pass as an explicit line", () => {
  test.for([
    ["none", 0, 100],
    ["a", -1000, 100],
    ["b", 0, 1100],
    ["both", -1000, 1100],
  ] as const)("extension %s runs from %d to %d m along", ([extension, first, last]) => {
    const lines = passLine(guidancePattern(north, { swathWidth: 10, extension }), 2);
    expect(lines).toEqual([
      [
        [20, first],
        [20, last],
      ],
    ]);
  });

  test("an A+ line runs from A by the length asked for", () => {
    const ahead = guidancePattern(headingLine([5, 5], 90), { swathWidth: 10, extension: "b" });
    expect(passLine(ahead, 1, { length: 300 })).toEqual([
      [
        [5, -5],
        [305, -5],
      ],
    ]);
  });

  test("a pass that the pattern does not have is no line", () => {
    const left = guidancePattern(north, { swathWidth: 10, propagation: "left", swathsLeft: 2 });
    expect(passLine(left, 1)).toEqual([]);
    expect(passLine(left, -2)).toHaveLength(1);
    expect(passLine(left, -3)).toEqual([]);
  });

  test("shift and first offset move it", () => {
    const moved = guidancePattern(north, {
      swathWidth: 10,
      extension: "none",
      shift: { east: 1, north: 2 },
      firstPassOffset: 5,
    });
    expect(passLine(moved, -1)).toEqual([
      [
        [-4, 2],
        [-4, 102],
      ],
    ]);
  });

  test.for([
    [0.5, {}, "out-of-range", "pass"],
    [Number.NaN, {}, "not-finite", "pass"],
    [0, { length: 0 }, "out-of-range", "options.length"],
    [0, { length: Number.NaN }, "not-finite", "options.length"],
    [0, { within: square }, "too-few-points", "options.within"],
    [
      0,
      {
        within: [
          {
            exterior: [
              [0, 0],
              [1, 0],
              [Number.NaN, 1],
            ],
            holes: [],
          },
        ],
      },
      "not-finite",
      "options.within[0].exterior",
    ],
    [
      0,
      {
        within: [
          {
            exterior: [
              [0, 0],
              [1, 0],
              [2, 0],
            ],
            holes: [],
          },
        ],
      },
      "degenerate",
      "options.within[0].exterior",
    ],
    [
      0,
      {
        within: [
          {
            ...square,
            holes: [
              [
                [0, 0],
                [1, 1],
              ],
            ],
          },
        ],
      },
      "too-few-points",
      "options.within[0].holes[0]",
    ],
  ] as const)("pass %d with %j is refused: %s", ([pass, options, code, argument]) => {
    expect(expectCode(() => passLine(pattern, pass, options as never), code).argument).toBe(argument);
  });
});

describe("a pass clipped to polygons", () => {
  test("runs from edge to edge", () => {
    expect(passLine(pattern, 2, { within: [square] })).toEqual([
      [
        [20, -50],
        [20, 50],
      ],
    ]);
  });

  test("outside them is nothing, along an edge is all of it, on both sides of the field and in both directions", () => {
    for (const line of [north, straightLine([0, 100], [0, 0])]) {
      const p = guidancePattern(line, { swathWidth: 10 });
      for (const pass of [-5, 5]) expect(passLine(p, pass, { within: [square] }).flat().length).toBe(2);
      for (const pass of [-6, 6]) expect(passLine(p, pass, { within: [square] })).toEqual([]);
    }
  });

  test("is cut at holes, and their edge still counts as inside", () => {
    const hole: Point[] = [
      [-10, -5],
      [10, -5],
      [10, 5],
      [-10, 5],
    ];
    for (const ring of [hole, [...hole].reverse()]) {
      const within = [{ ...square, holes: [ring] }];
      expect(passLine(pattern, 0, { within })).toEqual([
        [
          [0, -50],
          [0, -5],
        ],
        [
          [0, 5],
          [0, 50],
        ],
      ]);
      expect(passLine(pattern, 1, { within })).toHaveLength(1);
      expect(passLine(pattern, -1, { within })).toHaveLength(1);
    }
  });

  test("through the tip of a corner that only touches is nothing; through a corner inside is one piece", () => {
    const diamond: Polygon = {
      exterior: [
        [0, 0],
        [20, 20],
        [0, 40],
        [-20, 20],
      ],
      holes: [],
    };
    expect(passLine(pattern, 2, { within: [diamond] })).toEqual([]);
    expect(passLine(pattern, 0, { within: [diamond] })).toEqual([
      [
        [0, 0],
        [0, 40],
      ],
    ]);
  });

  test("a U-shaped field gives two pieces, sorted along the line, either way", () => {
    const u: Polygon = {
      exterior: [
        [0, 0],
        [100, 0],
        [100, 100],
        [70, 100],
        [70, 30],
        [30, 30],
        [30, 100],
        [0, 100],
      ],
      holes: [],
    };
    const east = guidancePattern(headingLine([0, 50], 90), { swathWidth: 10 });
    expect(passLine(east, 0, { within: [u] })).toEqual([
      [
        [0, 50],
        [30, 50],
      ],
      [
        [70, 50],
        [100, 50],
      ],
    ]);
    const west = guidancePattern(headingLine([0, 50], 270), { swathWidth: 10 });
    const pieces = passLine(west, 0, { within: [u] });
    expect(pieces.map((line) => line.map(([x]) => x))).toEqual([
      [100, 70],
      [30, 0],
    ]);
    // along the inner edge of the U
    expect(passLine(east, 2, { within: [u] })).toHaveLength(1);
  });

  test("polygons that share an edge or overlap give one piece", () => {
    const next: Polygon = { exterior: square.exterior.map(([x, y]) => [x, y + 100] as const), holes: [] };
    const over: Polygon = { exterior: square.exterior.map(([x, y]) => [x, y + 60] as const), holes: [] };
    expect(passLine(pattern, 0, { within: [square, next] })).toEqual([
      [
        [0, -50],
        [0, 150],
      ],
    ]);
    expect(passLine(pattern, 0, { within: [over, square] })).toEqual([
      [
        [0, -50],
        [0, 110],
      ],
    ]);
  });

  test("one polygon in the hole of another counts", () => {
    const holed: Polygon = {
      ...square,
      holes: [
        [
          [-30, -30],
          [30, -30],
          [30, 30],
          [-30, 30],
        ],
      ],
    };
    const island: Polygon = { exterior: square.exterior.map(([x, y]) => [x / 5, y / 5] as const), holes: [] };
    expect(passLine(pattern, 0, { within: [holed, island] }).map((l) => l.map(([, y]) => y))).toEqual([
      [-50, -30],
      [-10, 10],
      [30, 50],
    ]);
  });

  test("the pattern's own ends and a length still hold", () => {
    const none = guidancePattern(north, { swathWidth: 10, extension: "none" });
    expect(passLine(none, 0, { within: [square] })[0]).toEqual([
      [0, 0],
      [0, 50],
    ]);
    expect(passLine(pattern, 0, { within: [square], length: 20 })[0]).toEqual([
      [0, -20],
      [0, 50],
    ]);
  });

  test("edges a hair from parallel, and corners a hair from the pass, are cut at the edge", () => {
    for (const hair of [0, 1e-12, -1e-12, 1e-9, -1e-9, 1e-7, -1e-7]) {
      const field: Polygon = {
        exterior: [
          [hair, 0],
          [40, 0],
          [40, 100],
          [-hair, 100],
        ],
        holes: [],
      };
      const lines = passLine(pattern, 0, { within: [field] });
      expect(lines).toHaveLength(1);
      expectWithin(lines[0]![0]![1], 0, 1e-9);
      expectWithin(lines[0]![1]![1], 100, 1e-9);
    }
  });

  test("a comb of 2000 teeth gives 2000 pieces in order", () => {
    const exterior: Point[] = [[-10, 0]];
    for (let i = 0; i < 2000; i++) exterior.push([10, 2 * i], [10, 2 * i + 1], [-5, 2 * i + 1], [-5, 2 * i + 2]);
    exterior.push([-10, 4000]);
    const lines = passLine(pattern, 0, { within: [{ exterior, holes: [] }] });
    expect(lines).toHaveLength(2000);
    lines.forEach((line, i) => {
      expect(line[0]![1]).toBe(2 * i);
      expect(line[1]![1]).toBe(2 * i + 1);
    });
  });

  test("agrees with point in polygon all along, for star-shaped fields with a hole, turned and far from the origin", () => {
    const radii = fc.array(fc.double({ min: 20, max: 120, noNaN: true }), { minLength: 3, maxLength: 24 });
    fc.assert(
      fc.property(
        radii,
        fc.double({ min: 0, max: 360, noNaN: true }),
        fc.integer({ min: -9, max: 9 }),
        fc.constantFrom<Point>([0, 0], [6e6, 5e5]),
        fc.boolean(),
        (r, heading, pass, [east, north_], turned) => {
          const ring = (scale: number): Point[] => {
            const points = r.map((radius, i): Point => {
              const t = (2 * Math.PI * i) / r.length;
              return [east + scale * radius * Math.cos(t), north_ + scale * radius * Math.sin(t)];
            });
            return turned ? points.reverse() : points;
          };
          const polygon: Polygon = { exterior: ring(1), holes: r.length > 4 ? [ring(0.4)] : [] };
          const p = guidancePattern(headingLine([east, north_], heading), { swathWidth: 13 });
          const lines = passLine(p, pass, { within: [polygon] });
          const s = Math.sin((heading * Math.PI) / 180);
          const c = Math.cos((heading * Math.PI) / 180);
          const right = passOffset(p, pass);
          const station = ([x, y]: Point): number => (x - east) * s + (y - north_) * c;
          const pieces = lines.map((line) => [station(line[0]!), station(line[1]!)] as const);
          for (let i = 1; i < pieces.length; i++) expect(pieces[i]![0]).toBeGreaterThan(pieces[i - 1]![1]);
          for (let t = -130; t <= 130; t += 0.73) {
            // a millimetre next to an edge either answer will do
            if (pieces.some(([a, b]) => Math.abs(a - t) < 1e-3 || Math.abs(b - t) < 1e-3)) continue;
            const at: Point = [east + t * s + right * c, north_ + t * c - right * s];
            const inside = pointInPolygon(polygon, at) !== "outside";
            const listed = pieces.some(([a, b]) => a < t && t < b);
            if (inside !== listed) {
              // a passage narrower than the sampling tolerance may be seen by one alone
              const near = [-1e-5, 1e-5].some((d) => {
                const q: Point = [at[0] + d * c, at[1] - d * s];
                return (pointInPolygon(polygon, q) !== "outside") === listed;
              });
              expect(near, `station ${t}: ${inside ? "inside" : "outside"} but ${listed ? "" : "not "}listed`).toBe(
                true,
              );
            }
          }
        },
      ),
    );
  });
});

test("crossings are sorted with their steps, few or many", () => {
  fc.assert(
    fc.property(fc.array(fc.integer({ min: -50, max: 50 }), { maxLength: 120 }), (values) => {
      const station = Float64Array.from(values);
      const step = Int8Array.from(values, (v) => (v % 2 === 0 ? 1 : -1));
      sortCrossings(station, step, values.length);
      expect([...station]).toEqual([...values].sort((a, b) => a - b));
      station.forEach((v, i) => expect(step[i]).toBe(v % 2 === 0 ? 1 : -1));
    }),
  );
});
