import { describe, expect, test } from "vitest";
import type { Point, Polygon } from "../../src/geometry/types.js";
import { expectWithin } from "../helpers/within.js";
import { floodCount } from "./flood.js";
import type { Chain } from "./judgement.js";
import { judgeLine, judgePolygons } from "./oracle.js";

/** Answers known from plane geometry, and wrong answers that a judge must not let pass. */

const TOLERANCE = 1e-4;

/** Arc about a centre, both ends included, flattened with points on it at the tolerance; degrees from east. */
function arc(cx: number, cy: number, r: number, from: number, to: number): Point[] {
  const sweep = ((to - from) * Math.PI) / 180;
  const steps = Math.max(1, Math.ceil(Math.abs(sweep) / (2 * Math.acos(1 - TOLERANCE / r))));
  return Array.from({ length: steps + 1 }, (_, k): Point => {
    const a = (from * Math.PI) / 180 + (sweep * k) / steps;
    return [cx + r * Math.cos(a), cy + r * Math.sin(a)];
  });
}

const close = (points: readonly Point[]): Point[] => [...points, points[0]!];
const part = (exterior: readonly Point[], ...holes: Point[][]): Polygon => ({
  exterior: close(exterior),
  holes: holes.map(close),
});
const rectangle = (x0: number, y0: number, x1: number, y1: number): Point[] => [
  [x0, y0],
  [x1, y0],
  [x1, y1],
  [x0, y1],
];
const shift = (polygon: Polygon, dx: number, dy: number): Polygon => ({
  exterior: polygon.exterior.map(([x, y]): Point => [x + dx, y + dy]),
  holes: polygon.holes.map((hole) => hole.map(([x, y]): Point => [x + dx, y + dy])),
});

const field = part(rectangle(0, 0, 200, 100));
const fieldWithHole: Polygon = { ...field, holes: [close(rectangle(80, 40, 120, 60)).reverse()] };
/** L: 100 x 100 without the north-east 50 x 50; its re-entrant corner is at (50, 50). */
const ell = part([
  [0, 0],
  [100, 0],
  [100, 50],
  [50, 50],
  [50, 100],
  [0, 100],
]);
const ellInward = part([[9, 9], [91, 9], [91, 41], ...arc(50, 50, 9, 270, 180), [41, 91], [9, 91]]);
const rectangleOutward = part([
  ...arc(200, 0, 12, -90, 0),
  ...arc(200, 100, 12, 0, 90),
  ...arc(0, 100, 12, 90, 180),
  ...arc(0, 0, 12, 180, 270),
]);
const aroundHole: Point[] = [
  ...arc(120, 40, 6, -90, 0),
  ...arc(120, 60, 6, 0, 90),
  ...arc(80, 60, 6, 90, 180),
  ...arc(80, 40, 6, 180, 270),
].reverse();
const withHoleInward = part(rectangle(6, 6, 194, 94), aroundHole);

describe("right answers pass", () => {
  test.for<[string, Polygon, number, Polygon[]]>([
    ["rectangle inward", field, -12, [part(rectangle(12, 12, 188, 88))]],
    ["rectangle outward", field, 12, [rectangleOutward]],
    ["rectangle with a hole inward", fieldWithHole, -6, [withHoleInward]],
    ["L inward with the arc at its re-entrant corner", ell, -9, [ellInward]],
    ["rectangle that vanishes", field, -60, []],
    [
      "rectangle split by its hole",
      { ...field, holes: [close(rectangle(80, 2, 120, 98)).reverse()] },
      -6,
      [part(rectangle(6, 6, 80 - 6, 94)), part(rectangle(126, 6, 194, 94))],
    ],
  ])("%s", ([, polygon, distance, result]) => {
    const judgement = judgePolygons([polygon], distance, result);
    expect(judgement.defects).toEqual([]);
    expectWithin(judgement.length, judgement.expectedLength, 2e-3 + 1e-5 * judgement.length, "length");
  });

  test("regular polygon of 256 corners, inward and outward", () => {
    const corner = (r: number, i: number): Point => [
      r * Math.cos((Math.PI * i) / 128),
      r * Math.sin((Math.PI * i) / 128),
    ];
    const circle = Array.from({ length: 256 }, (_, i) => corner(50, i));
    const inner = 50 - 20 / Math.cos(Math.PI / 256);
    const inward = Array.from({ length: 256 }, (_, i) => corner(inner, i));
    expect(judgePolygons([part(circle)], -20, [part(inward)]).defects).toEqual([]);
    const outward = circle.flatMap((p, i) => arc(p[0], p[1], 20, (i - 0.5) * (360 / 256), (i + 0.5) * (360 / 256)));
    expect(judgePolygons([part(circle)], 20, [part(outward)]).defects).toEqual([]);
  });

  test("line with a left and a right corner, both sides, with stations", () => {
    const line: Point[] = [
      [0, 0],
      [100, 0],
      [100, 100],
    ];
    // right of a left turn: an arc
    const bend = arc(100, 0, 10, -90, 0);
    const right: Chain = {
      points: [[0, -10], ...bend, [110, 100]],
      stations: [0, ...bend.map(() => 100), 200],
      closed: false,
    };
    expect(judgeLine(line, 10, false, [right]).defects).toEqual([]);
    const left: Chain = {
      points: [
        [0, 10],
        [90, 10],
        [90, 100],
      ],
      stations: [0, 90, 200],
      closed: false,
    };
    expect(judgeLine(line, -10, false, [left]).defects).toEqual([]);
    // the point of the trimmed corner has two feet, at 90 and at 110: either is right
    expect(judgeLine(line, -10, false, [{ ...left, stations: [0, 110, 200] }]).defects).toEqual([]);
  });

  test("what is nearer to an open end than the distance is not there", () => {
    // a hook whose end stands 5 m right of the first segment
    const hook: Point[] = [
      [0, 0],
      [100, 0],
      [100, -40],
      [50, -40],
      [50, -5],
    ];
    // the last segment stands upright at x = 50: its strip ends at 42 and 58, and so does the disc about its end there
    const outer: Chain = {
      points: [
        [0, -8],
        [42, -8],
      ],
      closed: false,
    };
    // the ring inside the hook left out
    const { defects } = judgeLine(hook, 8, false, [outer]);
    expect(defects.some((what) => what.startsWith("missing"))).toBe(true);
    const all = judgeLine(hook, 8, false, [
      outer,
      {
        points: close([
          [58, -8],
          [92, -8],
          [92, -32],
          [58, -32],
        ]),
        closed: true,
      },
    ]);
    expect(all.defects).toEqual([]);
  });
});

describe("wrong answers are caught", () => {
  const inward = part(rectangle(12, 12, 188, 88));
  const found = (result: readonly Polygon[], what: string, polygon = field, distance = -12): void => {
    const { defects } = judgePolygons([polygon], distance, result);
    expect(
      defects.some((defect) => defect.startsWith(what)),
      `${what} expected among ${defects.slice(0, 5).join("; ")}`,
    ).toBe(true);
  };

  test("shifted by a millimetre", () => {
    found([shift(inward, 1e-3, 0)], "vertex nearer");
    found([shift(inward, 1e-3, 0)], "interior off by 0.00099");
  });
  test("shifted by ten nanometres towards the source", () => found([shift(inward, 1e-8, 0)], "vertex nearer"));
  test("a part left out", () => found([], "missing"));
  test("a corner cut", () => {
    found(
      [
        part([
          [12, 12],
          [188, 12],
          [188, 87],
          [187, 88],
          [12, 88],
        ]),
      ],
      "interior off",
    );
    found(
      [
        part([
          [12, 12],
          [188, 12],
          [188, 87],
          [187, 88],
          [12, 88],
        ]),
      ],
      "missing",
    );
  });
  test("an extra ring", () => {
    found([inward, part(rectangle(90, 40, 110, 60))], "vertex farther");
    found([inward, inward], "overlap");
    found([inward, inward], "longer than alive");
  });
  test("the unwanted side", () => found([rectangleOutward], "vertex on no element"));
  test("a hole lost, a hole as a part, a hole turned", () => {
    found([part(rectangle(6, 6, 194, 94))], "missing", fieldWithHole, -6);
    found(
      [part(rectangle(6, 6, 194, 94)), part([...aroundHole].reverse())],
      "part 1 lies in part 0",
      fieldWithHole,
      -6,
    );
    found(
      [part(rectangle(6, 6, 194, 94), [...aroundHole].reverse())],
      "part 0 hole 0 has signed area",
      fieldWithHole,
      -6,
    );
  });
  test("a coarser arc than stated", () => {
    const coarse = part([
      [9, 9],
      [91, 9],
      [91, 41],
      [50, 41],
      [50 - 9 * Math.SQRT1_2, 50 - 9 * Math.SQRT1_2],
      [41, 50],
      [41, 91],
      [9, 91],
    ]);
    found([coarse], "interior off", ell, -9);
  });
  test("the corner of an L left sharp, where it must be round", () => {
    found(
      [
        part([
          [9, 9],
          [91, 9],
          [91, 41],
          [41, 41],
          [41, 91],
          [9, 91],
        ]),
      ],
      "vertex farther",
      ell,
      -9,
    );
  });
  test("a repeated vertex, a spike, a crossing", () => {
    found(
      [
        part([
          [12, 12],
          [188, 12],
          [188, 12],
          [188, 88],
          [12, 88],
        ]),
      ],
      "repeat",
    );
    found(
      [
        part([
          [12, 12],
          [188, 12],
          [188, 88],
          [60, 88],
          [80, 88],
          [12, 88],
        ]),
      ],
      "overlap",
    );
    found(
      [
        part([
          [12, 12],
          [188, 12],
          [12, 88],
          [188, 88],
        ]),
      ],
      "crossing",
    );
  });
  test("a line cut in two, its end left out, its stations wrong or missing", () => {
    const line: Point[] = [
      [0, 0],
      [100, 0],
    ];
    const judged = (chains: Chain[]): string => judgeLine(line, 5, false, chains).defects.join("\n");
    const points: Point[] = [
      [0, -5],
      [100, -5],
    ];
    expect(judged([{ points, stations: [0, 100], closed: false }])).toBe("");
    expect(
      judged([
        {
          points: [
            [0, -5],
            [40, -5],
          ],
          closed: false,
        },
        {
          points: [
            [40, -5],
            [100, -5],
          ],
          closed: false,
        },
      ]),
    ).toMatch(/ends where/);
    expect(
      judged([
        {
          points: [
            [0, -5],
            [99, -5],
          ],
          closed: false,
        },
      ]),
    ).toMatch(/missing/);
    expect(
      judged([
        {
          points: [
            [0, -5],
            [101, -5],
          ],
          closed: false,
        },
      ]),
    ).toMatch(/vertex/);
    expect(judged([{ points, stations: [0, 99], closed: false }])).toMatch(/its foot is off/);
    expect(judged([{ points: [...points].reverse(), stations: [100, 0], closed: false }])).toMatch(/stations fall/);
    expect(judged([{ points, stations: [0], closed: false }])).toMatch(/1 stations/);
    expect(
      judged([
        {
          points: [
            [0, 5],
            [100, 5],
          ],
          closed: false,
        },
      ]),
    ).toMatch(/on no element/);
  });
});

describe("flooding counts parts and holes", () => {
  test.for<[string, Polygon, number, number, number]>([
    ["rectangle", field, -12, 1, 0],
    ["rectangle with a hole", fieldWithHole, -6, 1, 1],
    ["the hole filled outward", fieldWithHole, 11, 1, 0],
    ["rectangle split by its hole", { ...field, holes: [close(rectangle(80, 2, 120, 98)).reverse()] }, -6, 2, 0],
    ["vanished", field, -51, 0, 0],
  ])("%s", ([, polygon, distance, parts, holes]) => {
    const count = floodCount([polygon], distance, 256);
    expect(count.parts).toEqual([parts, parts]);
    expect(count.holes).toEqual([holes, holes]);
  });

  test("a neck of nearly twice the distance is left open at a coarse size and settled at a fine one", () => {
    const neck = part([
      [0, 0],
      [60, 0],
      [60, 21],
      [100, 21],
      [100, 0],
      [160, 0],
      [160, 60],
      [100, 60],
      [100, 39],
      [60, 39],
      [60, 60],
      [0, 60],
    ]);
    expect(floodCount([neck], -8.9, 64).parts).toEqual([1, 2]);
    expect(floodCount([neck], -8.9, 2048).parts).toEqual([1, 1]);
    expect(floodCount([neck], -9.1, 2048).parts).toEqual([2, 2]);
  });
});
