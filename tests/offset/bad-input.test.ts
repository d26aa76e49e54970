import { describe, expect, test } from "vitest";
import type { Line, Point, Polygon } from "../../src/geometry/types.js";
import {
  drivableLine,
  explainEmptyOffset,
  offsetFamily,
  offsetLine,
  offsetLineFamily,
  offsetPolygon,
  offsetPolygonFamily,
} from "../../src/offset/index.js";
import { expectCode } from "../helpers/within.js";
import { LONG } from "./engine.js";

/** What a caller can do wrong, and what a field can be too small for. */

const line: Line = [
  [0, 0],
  [100, 0],
  [100, 100],
];
const square = (size: number, x = 0, y = 0): Point[] => [
  [x, y],
  [x + size, y],
  [x + size, y + size],
  [x, y + size],
  [x, y],
];
const field: Polygon = { exterior: square(100), holes: [] };

describe("lines", () => {
  test.for<[string, () => unknown, string]>([
    ["no point", () => offsetLine([], 3), "too-few-points"],
    ["one point", () => offsetLine([[1, 2]], 3), "too-few-points"],
    [
      "the same point twice",
      () =>
        offsetLine(
          [
            [1, 2],
            [1, 2],
          ],
          3,
        ),
      "degenerate",
    ],
    [
      "a loop of two points",
      () =>
        offsetLine(
          [
            [0, 0],
            [9, 0],
          ],
          3,
          { closed: true },
        ),
      "too-few-points",
    ],
    [
      "NaN in a point",
      () =>
        offsetLine(
          [
            [0, 0],
            [Number.NaN, 1],
            [2, 2],
          ],
          3,
        ),
      "not-finite",
    ],
    [
      "infinite point",
      () =>
        offsetLine(
          [
            [0, 0],
            [Number.POSITIVE_INFINITY, 1],
          ],
          3,
        ),
      "not-finite",
    ],
    ["distance NaN", () => offsetLine(line, Number.NaN), "not-finite"],
    ["distance infinite", () => offsetLine(line, Number.POSITIVE_INFINITY), "not-finite"],
    ["tolerance 0", () => offsetLine(line, 3, { tolerance: 0 }), "out-of-range"],
    ["tolerance negative", () => offsetLine(line, 3, { tolerance: -1 }), "out-of-range"],
    ["tolerance NaN", () => offsetLine(line, 3, { tolerance: Number.NaN }), "not-finite"],
    ["mitre limit below 1", () => offsetLine(line, 3, { join: "mitre", mitreLimit: 0.5 }), "out-of-range"],
    ["unknown join", () => offsetLine(line, 3, { join: "bevel" as "mitre" }), "out-of-range"],
    ["negative least length", () => offsetLine(line, 3, { minimumLength: -1 }), "out-of-range"],
    ["more points than the cap", () => offsetLine(line, 3, { maximumPoints: 2 }), "too-large"],
    [
      "arcs of more points than the cap",
      () => offsetLine(line, 3, { tolerance: 1e-12, maximumPoints: 1000 }),
      "too-large",
    ],
    ["a distance of the family", () => offsetLineFamily(line, [3, Number.NaN]), "not-finite"],
    ["a distance of the common verb", () => offsetFamily(line, [3, Number.NaN]), "not-finite"],
  ])("%s", ([, call, code]) => {
    const error = expectCode(call, code);
    expect(error.argument).not.toBe("");
    expect(error.message.length).toBeGreaterThan(10);
  });

  test("the index of the bad point is told", () => {
    const error = expectCode(
      () =>
        offsetLine(
          [
            [0, 0],
            [1, 1],
            [2, Number.NaN],
          ],
          3,
        ),
      "not-finite",
    );
    expect(error.index).toBe(2);
  });

  test("a line that stands near itself everywhere gives an empty list", () => {
    const loop = Array.from({ length: 60 }, (_, i): Point => [10 * Math.cos(i / 9.55), 10 * Math.sin(i / 9.55)]);
    expect(offsetLine(loop, -24, { closed: true })).toEqual([]);
  });

  test("the argument is left as it was", () => {
    const points = Object.freeze(line.map((p) => Object.freeze([...p]) as unknown as Point));
    const before = JSON.stringify(points);
    offsetLine(points, 7);
    offsetLine(points, -7, { closed: true });
    expect(JSON.stringify(points)).toBe(before);
  });
});

describe("polygons", () => {
  test.for<[string, () => unknown, string]>([
    [
      "two points",
      () =>
        offsetPolygon(
          {
            exterior: [
              [0, 0],
              [1, 1],
            ],
            holes: [],
          },
          -1,
        ),
      "too-few-points",
    ],
    [
      "NaN in a hole",
      () =>
        offsetPolygon(
          {
            exterior: square(9),
            holes: [
              [
                [1, 1],
                [2, Number.NaN],
                [2, 1],
              ],
            ],
          },
          -1,
        ),
      "not-finite",
    ],
    [
      "no area",
      () =>
        offsetPolygon(
          {
            exterior: [
              [0, 0],
              [9, 0],
              [5, 0],
              [0, 0],
            ],
            holes: [],
          },
          -1,
        ),
      "degenerate",
    ],
    [
      "a bow-tie",
      () =>
        offsetPolygon(
          {
            exterior: [
              [0, 0],
              [9, 9],
              [9, 0],
              [0, 8],
              [0, 0],
            ],
            holes: [],
          },
          -1,
        ),
      "self-crossing",
    ],
    ["a hole outside", () => offsetPolygon({ exterior: square(9), holes: [square(2, 20, 20)] }, -1), "hole-outside"],
    ["distance NaN", () => offsetPolygon(field, Number.NaN), "not-finite"],
    ["tolerance 0", () => offsetPolygon(field, -1, { tolerance: 0 }), "out-of-range"],
    ["more points than the cap", () => offsetPolygon(field, -1, { maximumPoints: 3 }), "too-large"],
    [
      "arcs of more points than the cap",
      () => offsetPolygon(field, 9, { tolerance: 1e-12, maximumPoints: 1000 }),
      "too-large",
    ],
    ["a distance of the family", () => offsetPolygonFamily(field, [3, Number.POSITIVE_INFINITY]), "not-finite"],
  ])("%s", ([, call, code]) => {
    const error = expectCode(call, code);
    expect(error.argument).not.toBe("");
  });

  test("no polygon at all gives none", () => {
    expect(offsetPolygon([], -3)).toEqual([]);
    expect(offsetPolygon([], 3)).toEqual([]);
  });

  test.for([50, 50.0001, 51, 1e4, 1e9])("%f m inward leaves nothing of a square of 100 m", (distance) => {
    expect(offsetPolygon(field, -distance)).toEqual([]);
  });

  test("the argument is left as it was", () => {
    const before = JSON.stringify(field);
    offsetPolygon(field, -7);
    offsetPolygon(field, 7);
    expect(JSON.stringify(field)).toBe(before);
  });
});

describe("what is no object, or a list with gaps", () => {
  // a list of the third of such values; its other places are gaps
  const gaps = <T>(value: T): T[] => {
    const list: T[] = [];
    list[2] = value;
    return list;
  };
  const corner: Line = [
    [0, 0],
    [0, 100],
    [100, 100],
  ];
  const given = (value: unknown) => value as never;

  test("options", () => {
    for (const none of [null, 6, Number.NaN, "tolerance"]) {
      expectCode(() => offsetLine(line, 3, given(none)), "not-finite");
      expectCode(() => offsetLineFamily(line, [3], given(none)), "not-finite");
      expectCode(() => offsetPolygon(field, 3, given(none)), "not-finite");
      expectCode(() => offsetPolygonFamily(field, [3], given(none)), "not-finite");
      expectCode(() => offsetFamily(field, [3], given(none)), "not-finite");
      expectCode(() => explainEmptyOffset(field, 3, given(none)), "not-finite");
    }
    for (const none of [undefined, null, 6, Number.NaN]) {
      expectCode(() => drivableLine(corner, given(none)), "not-finite");
    }
    for (const none of [null, 6, "length"]) {
      expectCode(() => drivableLine(corner, { minimumRadius: 6, clothoid: given(none) }), "not-finite");
    }
  });

  test("sources", () => {
    for (const none of [undefined, null, 6, Number.NaN, "line", {}]) {
      expectCode(() => offsetLine(given(none), 3), "too-few-points");
      expectCode(() => offsetPolygon(given(none), 3), "too-few-points");
      expectCode(() => offsetFamily(given(none), [3]), "too-few-points");
      expectCode(() => explainEmptyOffset(given(none), 3), "too-few-points");
      expectCode(() => drivableLine(given(none), { minimumRadius: 6 }), "too-few-points");
    }
  });

  test("lists with gaps", () => {
    expectCode(() => offsetLine(gaps<Point>([1, 2]), 3), "not-finite");
    expectCode(() => drivableLine(gaps<Point>([1, 2]), { minimumRadius: 6 }), "not-finite");
    expectCode(() => offsetLineFamily(line, gaps(3)), "not-finite");
    expectCode(() => offsetPolygonFamily(field, gaps(3)), "not-finite");
    expectCode(() => offsetPolygon(gaps(field), 3), "too-few-points");
    expectCode(() => offsetPolygon({ exterior: field.exterior, holes: gaps(square(1, 5, 5)) }, 3), "too-few-points");
  });
});

describe("hard polygons", () => {
  const spike: Polygon = {
    exterior: [
      [0, 0],
      [50, 0],
      [50, 1e-12],
      [90, 0.5e-12],
      [50, 0],
      [100, 0],
      [100, 100],
      [0, 100],
    ],
    holes: [],
  };
  const needle: Polygon = {
    exterior: [
      [0, 0],
      [100, 0],
      [100, 50],
      [180, 50 + 1e-12],
      [100, 50 + 2e-12],
      [100, 100],
      [0, 100],
      [0, 0],
    ],
    holes: [],
  };
  const touching: Polygon = {
    exterior: square(100),
    holes: [
      [
        [0, 50],
        [20, 60],
        [20, 40],
        [0, 50],
      ],
    ],
  };
  const nested: Polygon = {
    exterior: square(1000),
    holes: Array.from({ length: 49 }, (_, i) => square(60, 40 + 135 * (i % 7), 40 + 135 * Math.floor(i / 7))),
  };
  // whatever is done with them, nothing may throw but our own error, hang, or give a number that is none
  test.for<[string, Polygon]>([
    ["a spike along an edge", spike],
    ["a needle of 1e-12 m", needle],
    ["a hole touching the exterior at a vertex", touching],
    ["hole = exterior", { exterior: square(100), holes: [square(100).reverse()] }],
    ["50 holes", nested],
    [
      "an edge moved by one ulp",
      {
        exterior: [
          [0, 0],
          [100, 0],
          [100, 100],
          [50, 100 - 2 ** -46],
          [0, 100],
        ],
        holes: [],
      },
    ],
    [
      "coordinates of 1e7 with steps of 1e-9",
      { exterior: square(100, 1e7, 1e7).map(([x, y], i): Point => [x + i * 2e-9, y]), holes: [] },
    ],
    [
      "mixed windings, unclosed",
      { exterior: square(100).slice(0, 4).reverse(), holes: [square(10, 40, 40), square(10, 70, 70).reverse()] },
    ],
  ])("%s", ([, polygon]) => {
    for (const distance of [-60, -12, -1e-3, 1e-3, 12]) {
      let result: Polygon[];
      try {
        result = offsetPolygon(polygon, distance);
      } catch (error) {
        expect((error as { code?: string }).code).toMatch(/degenerate|self-crossing|hole-outside/);
        continue;
      }
      for (const part of result) {
        for (const ring of [part.exterior, ...part.holes]) {
          expect(ring.length).toBeGreaterThan(3);
          for (const [x, y] of ring) expect(Number.isFinite(x) && Number.isFinite(y)).toBe(true);
        }
      }
    }
  });

  test("a comb of ten thousand teeth", () => {
    const exterior: Point[] = [];
    for (let i = 0; i < 10_000; i++) exterior.push([i, 10], [i + 0.4, 10], [i + 0.4, 100], [i + 0.9, 100]);
    exterior.push([10_000, 10], [10_000, 0], [0, 0]);
    // teeth 0.5 m wide vanish at 0.3 m, the slots between them are 0.5 m too
    const inward = offsetPolygon({ exterior, holes: [] }, -0.3);
    expect(inward.length).toBe(1);
    expect(inward[0]!.exterior.length).toBeGreaterThan(4);
  });

  // half a minute: in the long run only
  test.skipIf(!LONG)("a million vertices, a line and a ring", () => {
    const n = 1_000_000;
    const track = Array.from({ length: n }, (_, i): Point => [i, 40 * Math.sin(i / 60) + 0.02 * Math.sin(i * 1.7)]);
    const pieces = offsetLine(track, 12, { tolerance: 0.01 });
    expect(pieces.reduce((sum, piece) => sum + piece.points.length, 0)).toBeGreaterThan(n / 4);
    const radius = 100_000;
    const ring = Array.from({ length: n }, (_, i): Point => {
      const a = (2 * Math.PI * i) / n;
      return [radius * Math.cos(a), radius * Math.sin(a)];
    });
    const [inner] = offsetPolygon({ exterior: ring, holes: [] }, -12, { tolerance: 0.01 });
    expect(inner!.exterior.length).toBeGreaterThan(n / 2);
  });
});
