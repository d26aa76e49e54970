import fc from "fast-check";
import { describe, expect, it, test } from "vitest";
import { type DrawingContent, drawField } from "../../src/drawing/index.js";
import type { Point, Polygon } from "../../src/geometry/index.js";
import { expectCode, expectWithin } from "../helpers/within.js";
import { allElements, byClass, parseXml, pathPoints, type XmlElement } from "./parse-xml.js";

const PEN = 0.011; // mm: coordinates are rounded to 0.01 mm, lengths are differences of two

function box(x: number, y: number, width: number, height: number, holes: Polygon["holes"] = []): Polygon {
  return {
    exterior: [
      [x, y],
      [x + width, y],
      [x + width, y + height],
      [x, y + height],
    ],
    holes,
  };
}

const POND: Point[] = [
  [140, 180],
  [140, 220],
  [170, 220],
  [170, 180],
];

const FULL: DrawingContent = {
  field: [box(0, 0, 300, 400, [POND])],
  mainfield: [box(24, 24, 252, 352)],
  closed: [box(130, 170, 50, 60)],
  worked: [box(24, 24, 252, 300)],
  overlap: [box(24, 24, 252, 3)],
  missed: [box(24, 324, 252, 52)],
  passes: Array.from({ length: 12 }, (_, k) => ({
    pass: k,
    lines: [
      [
        [12 + 24 * k, 0],
        [12 + 24 * k, 400],
      ] as Point[],
    ],
  })),
  referenceLine: [
    [12, 0],
    [12, 400],
  ],
  rounds: [
    {
      round: 1,
      line: [
        [12, 12],
        [12, 388],
        [288, 388],
        [288, 12],
        [12, 12],
      ],
    },
  ],
  track: [
    [
      [12, -20],
      [12, 200],
      [14, 300],
      [12, 420],
    ],
  ],
  gaps: [
    [
      [60, 100],
      [60, 150],
    ],
  ],
  switchings: [
    { at: [20, 24], on: true },
    { at: [20, 324], on: false },
  ],
};

function scaleOf(root: XmlElement): number {
  const text = allElements(root).find((element) => element.text.startsWith("1 : "));
  return Number(text!.text.slice(4));
}

function texts(root: XmlElement): string[] {
  return allElements(root)
    .filter((element) => element.name === "text")
    .map((element) => element.text);
}

describe("the sheet", () => {
  it("comes as the example of the documentation says", () => {
    const svg = drawField(
      {
        field: [
          {
            exterior: [
              [0, 0],
              [300, 0],
              [300, 400],
              [0, 400],
            ],
            holes: [],
          },
        ],
      },
      { title: "Pond Piece", lines: ["12.00 ha"] },
    );
    expect(svg.slice(0, 4)).toBe("<svg");
    expect(texts(parseXml(svg))).toEqual(expect.arrayContaining(["Pond Piece", "12.00 ha"]));
  });

  it("is one well-formed SVG of A4, upright for a tall field and lying for a wide one", () => {
    const tall = parseXml(drawField(FULL));
    expect(tall.name).toBe("svg");
    expect(tall.attributes).toMatchObject({ width: "210mm", height: "297mm", viewBox: "0 0 210 297" });
    const wide = parseXml(drawField({ field: [box(0, 0, 900, 200)] }));
    expect(wide.attributes).toMatchObject({ width: "297mm", height: "210mm", viewBox: "0 0 297 210" });
  });

  it("takes the paper it is given", () => {
    const root = parseXml(drawField(FULL, { paper: { width: 420, height: 297 } }));
    expect(root.attributes).toMatchObject({ width: "420mm", height: "297mm", viewBox: "0 0 420 297" });
  });

  test.for<[string, number, number]>([
    ["A5 upright", 148, 210],
    ["A5 lying", 210, 148],
    ["A3 upright", 297, 420],
    ["the smallest", 140, 140],
    ["the largest", 2000, 2000],
    ["a strip", 140, 2000],
  ])("keeps text, legend and map apart and on the paper: %s", ([, width, height]) => {
    const title = "A title of some length, for a field of twelve hectares";
    const root = parseXml(drawField(FULL, { title, lines: ["one", "two", "three"], paper: { width, height } }));
    const frame = byClass(root, "map-frame").attributes;
    expect(Number(frame["width"])).toBeGreaterThan(40);
    expect(Number(frame["height"])).toBeGreaterThan(30);
    const placed = allElements(root).filter(
      (element) => element.name === "text" && element.attributes["transform"] === undefined,
    );
    const seen = new Set<string>();
    for (const { attributes, text } of placed) {
      const x = Number(attributes["x"]);
      const y = Number(attributes["y"]);
      expect(x, text).toBeGreaterThan(0);
      expect(x, text).toBeLessThan(width);
      expect(y, text).toBeGreaterThan(0);
      expect(y, text).toBeLessThan(height);
      // no two texts start at one place
      expect(seen.has(`${x} ${y}`), text).toBe(false);
      seen.add(`${x} ${y}`);
    }
    // everything the map shows lies in its frame but the coordinates along it
    for (const label of byClass(root, "pass-numbers").children) {
      expect(Number(label.attributes["y"])).toBeLessThan(Number(frame["y"]) + Number(frame["height"]));
    }
  });

  it("draws at the scale that it states, as large as the round scales and the sheet allow", () => {
    const root = parseXml(drawField({ field: [box(0, 0, 300, 400)] }));
    const corners = pathPoints(byClass(root, "boundary").children[0]!.attributes["d"]!)[0]!;
    const width = Math.max(...corners.map((c) => c[0])) - Math.min(...corners.map((c) => c[0]));
    const height = Math.max(...corners.map((c) => c[1])) - Math.min(...corners.map((c) => c[1]));
    const scale = scaleOf(root);
    expectWithin((width / 1000) * scale, 300, (PEN / 1000) * scale, "width on the ground");
    expectWithin((height / 1000) * scale, 400, (PEN / 1000) * scale, "height on the ground");
    expect(scale).toBe(2000);
  });

  it("puts north up and east to the right", () => {
    const root = parseXml(
      drawField({
        track: [
          [
            [0, 0],
            [0, 100],
            [100, 100],
          ],
        ],
      }),
    );
    const [a, b, c] = pathPoints(byClass(root, "track").children[0]!.attributes["d"]!)[0]!;
    expect(b![1]).toBeLessThan(a![1]);
    expectWithin(b![0], a![0], PEN);
    expect(c![0]).toBeGreaterThan(b![0]);
    expectWithin(c![1], b![1], PEN);
    // the tip of the needle lies over its foot
    const needle = byClass(root, "north-arrow").children[0]!.attributes["d"]!;
    const [tip, foot] = pathPoints(needle)[0]!;
    expect(tip![1]).toBeLessThan(foot![1]);
  });

  it("keeps every shape of the field inside the map's frame, wherever the field lies", () => {
    for (const [east, north] of [
      [0, 0],
      [-5000, 300],
      [500000, 5200000],
    ] as const) {
      const root = parseXml(drawField({ field: [box(east, north, 300, 400)] }));
      const frame = byClass(root, "map-frame").attributes;
      const corners = pathPoints(byClass(root, "boundary").children[0]!.attributes["d"]!)[0]!;
      for (const [x, y] of corners) {
        expect(x).toBeGreaterThan(Number(frame["x"]) + 7);
        expect(x).toBeLessThan(Number(frame["x"]) + Number(frame["width"]) - 7);
        expect(y).toBeGreaterThan(Number(frame["y"]) + 7);
        expect(y).toBeLessThan(Number(frame["y"]) + Number(frame["height"]) - 7);
      }
    }
  });

  it("is not shrunk by a stray position", () => {
    const stray: Point[] = [
      [10, 10],
      [-4000000, 900000],
    ];
    const field = [box(0, 0, 300, 400)];
    expect(scaleOf(parseXml(drawField({ field, track: [stray] })))).toBeLessThanOrEqual(
      1.5 * scaleOf(parseXml(drawField({ field }))),
    );
  });
});

describe("the scale bar", () => {
  test.for([6, 9.99, 30, 88, 150, 412, 1000, 3333, 12000, 250000])("is true to scale for a field of %f m", (size) => {
    const root = parseXml(drawField({ field: [box(0, 0, size, size)] }));
    const bar = byClass(root, "scale-bar").children;
    const left = Number(bar[0]!.attributes["x"]);
    const right = Number(bar.at(-1)!.attributes["x"]) + Number(bar.at(-1)!.attributes["width"]);
    const written = texts(root).find((text) => / k?m$/.test(text))!;
    const [number, unit] = written.split(" ");
    const metres = Number(number) * (unit === "km" ? 1000 : 1);
    const scale = scaleOf(root);
    expectWithin(((right - left) / 1000) * scale, metres, (2 * PEN * scale) / 1000, written);
    // of a round length: 1, 2 or 5 times a power of ten
    expect([1, 2, 5]).toContain(Number(metres.toExponential(6).split("e")[0]));
    expect(right - left).toBeGreaterThan(15);
    // the middle of the bar is named rightly where it is named
    const all = texts(root);
    const before = all[all.indexOf(written) - 1]!;
    if (before !== "0") expectWithin(Number(before), Number(number) / 2, 1e-9, "middle of the bar");
  });
});

describe("the layers", () => {
  it("are all drawn and all named in the legend", () => {
    const root = parseXml(drawField(FULL, { title: "Pond Piece" }));
    for (const name of [
      "boundary",
      "obstacle",
      "mainfield",
      "closed",
      "worked",
      "overlap",
      "missed",
      "pass",
      "round",
      "referenceLine",
      "track",
      "gap",
      "on",
      "off",
    ]) {
      expect(byClass(root, name).children.length, name).toBeGreaterThan(0);
    }
    expect(texts(root)).toEqual(
      expect.arrayContaining([
        "field boundary",
        "obstacle",
        "mainfield",
        "closed zone",
        "worked",
        "worked twice",
        "missed",
        "pass and its number",
        "headland round",
        "reference line",
        "driven",
        "position not good",
        "section on",
        "section off",
      ]),
    );
  });

  it("that have nothing to show are not in the legend", () => {
    const all = texts(parseXml(drawField({ field: [box(0, 0, 300, 400)], worked: [], switchings: [] })));
    expect(all).toContain("field boundary");
    for (const absent of ["obstacle", "worked", "missed", "section on", "driven"]) expect(all).not.toContain(absent);
  });

  it("worked twice and missed differ by hatching, on and off by shape, not only by colour", () => {
    const root = parseXml(drawField(FULL));
    const fills = ["worked", "overlap", "missed", "obstacle", "closed"].map(
      (name) => byClass(root, name).attributes["fill"]!,
    );
    expect(new Set(fills).size).toBe(5);
    const pattern = (fill: string): XmlElement =>
      allElements(root).find((element) => `url(#${element.attributes["id"]})` === fill)!;
    const marks = fills.slice(1).map((fill) =>
      pattern(fill)
        .children.map((child) => child.attributes["d"])
        .join(),
    );
    expect(new Set(marks).size).toBe(4);
    const on = byClass(root, "on").children[0]!.attributes["d"]!;
    const off = byClass(root, "off").children[0]!.attributes["d"]!;
    expect(on).toContain("a");
    expect(off).not.toContain("a");
    // line layers differ in width or dashes
    const pens = ["boundary", "mainfield", "pass", "round", "referenceLine", "track", "gap"].map((name) => {
      const { attributes } = byClass(root, name);
      return `${attributes["stroke-width"]} ${attributes["stroke-dasharray"]}`;
    });
    expect(new Set(pens).size).toBe(pens.length);
  });

  it("have no reference that leads nowhere, and no identifier twice", () => {
    const source = drawField(FULL);
    const ids = allElements(parseXml(source)).flatMap((element) => element.attributes["id"] ?? []);
    expect(new Set(ids).size).toBe(ids.length);
    for (const match of source.matchAll(/url\(#([^)]+)\)/g)) expect(ids).toContain(match[1]);
  });

  it("put a switching where it happened", () => {
    const root = parseXml(drawField({ field: [box(0, 0, 300, 400)], switchings: [{ at: [300, 400], on: false }] }));
    const corners = pathPoints(byClass(root, "boundary").children[0]!.attributes["d"]!)[0]!;
    const right = Math.max(...corners.map((c) => c[0]));
    const top = Math.min(...corners.map((c) => c[1]));
    const [x, y] = pathPoints(byClass(root, "off").children[0]!.attributes["d"]!.split("h")[0]!)[0]![0]!;
    // a square of 0.8 mm round the corner
    expectWithin(x + 0.4, right, PEN);
    expectWithin(y + 0.4, top, PEN);
  });

  it("leave out specks of ground, but never an obstacle or a long sliver", () => {
    const pole = box(200, 200, 0.1, 0.1).exterior;
    const root = parseXml(
      drawField({
        field: [box(0, 0, 300, 400, [pole])],
        missed: [box(50, 50, 0.1, 0.1), box(60, 50, 0.01, 100)],
      }),
    );
    const [square] = pathPoints(byClass(root, "obstacle").children[0]!.attributes["d"]!);
    expectWithin(square![1]![0] - square![0]![0], 0.6, PEN, "side of the square");
    const corners = pathPoints(byClass(root, "boundary").children[0]!.attributes["d"]!)[0]!;
    const left = Math.min(...corners.map((corner) => corner[0]));
    expectWithin((square![0]![0] + square![1]![0]) / 2 - left, (200.05 / scaleOf(root)) * 1000, 2 * PEN, "its middle");
    expect(byClass(root, "missed").children).toHaveLength(1);
    const sliver = pathPoints(byClass(root, "missed").children[0]!.attributes["d"]!)[0]!;
    const ys = sliver.map((corner) => corner[1]);
    expectWithin(((Math.max(...ys) - Math.min(...ys)) / 1000) * scaleOf(root), 100, 0.1, "its length");
  });

  it("draw a hole as a hole", () => {
    const worked = [box(0, 0, 300, 400, [POND])];
    const path = byClass(parseXml(drawField({ worked })), "worked");
    expect(path.attributes["fill-rule"]).toBe("evenodd");
    expect(pathPoints(path.children[0]!.attributes["d"]!)).toHaveLength(2);
  });
});

describe("the pass numbers", () => {
  const passes = (count: number, spacing: number) =>
    Array.from({ length: count }, (_, k) => ({
      pass: k - 3,
      lines: [
        [
          [spacing * k, 0],
          [spacing * k, 400],
        ] as Point[],
      ],
    }));

  it("stand before the start of each pass, negative ones too", () => {
    const root = parseXml(drawField({ passes: passes(8, 24) }));
    const labels = byClass(root, "pass-numbers").children;
    expect(labels.map((label) => label.text)).toEqual(["-3", "-2", "-1", "0", "1", "2", "3", "4"]);
    const lines = byClass(root, "pass").children.map((path) => pathPoints(path.attributes["d"]!)[0]!);
    labels.forEach((label, i) => {
      expectWithin(Number(label.attributes["x"]), lines[i]![0]![0], PEN);
      // below: further south than the start
      expect(Number(label.attributes["y"])).toBeGreaterThan(lines[i]![0]![1]);
    });
  });

  test.for([0.5, 1, 3, 6, 12])("never lie on each other at a spacing of %f m", (spacing) => {
    const root = parseXml(drawField({ field: [box(0, 0, 400, 400)], passes: passes(400 / spacing, spacing) }));
    const labels = byClass(root, "pass-numbers").children;
    expect(labels.length).toBeGreaterThan(2);
    expect(labels.map((label) => label.text)).toContain("0");
    for (let i = 1; i < labels.length; i++) {
      const size = Number(labels[i]!.attributes["font-size"]);
      const apart = Number(labels[i]!.attributes["x"]) - Number(labels[i - 1]!.attributes["x"]);
      // a digit of a usual sans-serif type is under 0.64 of its size wide (common practice, no source)
      const half = (text: string): number => (text.length * 0.64 * size) / 2;
      expect(apart).toBeGreaterThan(half(labels[i]!.text) + half(labels[i - 1]!.text));
    }
  });

  it("and lines are thinned where passes lie closer than 0.7 mm on paper, evenly", () => {
    const root = parseXml(drawField({ field: [box(0, 0, 400, 400)], passes: passes(800, 0.5) }));
    const xs = byClass(root, "pass").children.map((path) => pathPoints(path.attributes["d"]!)[0]![0]![0]);
    for (let i = 1; i < xs.length; i++) {
      expect(xs[i]! - xs[i - 1]!).toBeGreaterThan(0.7 - PEN);
      expectWithin(xs[i]! - xs[i - 1]!, xs[1]! - xs[0]!, 2 * PEN);
    }
  });
});

describe("the round numbers", () => {
  const ring = (inset: number): Point[] => [
    [inset, inset],
    [inset, 400 - inset],
    [300 - inset, 400 - inset],
    [300 - inset, inset],
    [inset, inset],
  ];

  it("stand on their own lines, clear of the pass numbers", () => {
    const rounds = [1, 2].map((round) => ({ round, line: ring(24 * round - 12) }));
    // passes that begin on the rounds' western sides, where their numbers would stand first
    const passes = Array.from({ length: 9 }, (_, k) => ({
      pass: k,
      lines: [
        [
          [13.5, 16 + 3 * k],
          [280, 16 + 3 * k],
        ] as Point[],
      ],
    }));
    const root = parseXml(drawField({ field: [box(0, 0, 300, 400)], passes, rounds }));
    const numbers = byClass(root, "round-numbers").children;
    expect(numbers.map((text) => text.text)).toEqual(["1", "2"]);
    const others = byClass(root, "pass-numbers").children;
    const place = (element: XmlElement): Point => [Number(element.attributes["x"]), Number(element.attributes["y"])];
    const perMetre = 1000 / scaleOf(root);
    const [outer] = pathPoints(byClass(root, "round").children[0]!.attributes["d"]!);
    const left = Math.min(...outer!.map(([x]) => x));
    numbers.forEach((number, i) => {
      const [x, y] = place(number);
      // both still on the side that they begin on
      expectWithin(x, left + 24 * i * perMetre, 0.02, "number on its line, mm");
      for (const other of others) {
        const [ox, oy] = place(other);
        // letters of 1.8 mm
        expect(Math.abs(ox - x) > 1.2 || Math.abs(oy - y) > 1.8).toBe(true);
      }
    });
  });

  it("are left out on rounds that are shorter than they", () => {
    const rounds = [
      { round: 1, line: [] },
      {
        round: 2,
        line: [
          [10, 10],
          [11, 10],
          [11, 11],
          [10, 10],
        ] as Point[],
      },
    ];
    const source = drawField({ field: [box(0, 0, 300, 400)], rounds });
    expect(source).not.toContain("round-numbers");
  });
});

describe("text", () => {
  const NASTY = `<script>alert("x")</script> & 'quotes' ]]> &amp; ü 日本 😀`;

  it("is escaped wherever it comes in", () => {
    const labels = { worked: NASTY.slice(0, 20), north: "<", grid: "&" };
    const root = parseXml(drawField(FULL, { title: "<&>", lines: [NASTY], labels }));
    expect(texts(root)).toContain("<&>");
    expect(allElements(root).some((element) => element.name === "script")).toBe(false);
    // broken over several lines, but whole
    expect(texts(root).join("").replaceAll(" ", "")).toContain(NASTY.replaceAll(" ", ""));
    expect(root.children[0]!.name).toBe("title");
    expect(root.children[0]!.text).toBe("<&>");
  });

  it("that XML can't hold is replaced, so the drawing still opens", () => {
    const root = parseXml(drawField({}, { title: "a\u0000b\u001fc\ud800d\ufffee", lines: ["x\ny"] }));
    expect(root.children[0]!.text).toBe("a\ufffdb\ufffdc\ufffdd\ufffde");
    expect(texts(root)).toEqual(expect.arrayContaining(["x", "y"]));
  });

  it("that is too long is cut with an ellipsis inside its frame", () => {
    const root = parseXml(
      drawField(FULL, { title: "T".repeat(200), lines: Array.from({ length: 300 }, (_, i) => `line ${i}`) }),
    );
    const ys = allElements(root).flatMap((element) =>
      element.name === "text" && element.attributes["y"] !== undefined ? Number(element.attributes["y"]) : [],
    );
    expect(Math.max(...ys)).toBeLessThan(297 - 9);
    expect(texts(root).some((text) => text.endsWith("…"))).toBe(true);
  });

  it("can be in another language", () => {
    const all = texts(parseXml(drawField(FULL, { labels: { worked: "bearbeitet", north: "Nord" } })));
    expect(all).toEqual(expect.arrayContaining(["bearbeitet", "Nord", "missed"]));
  });

  test("is well-formed for any text", () => {
    fc.assert(
      fc.property(fc.string({ unit: "binary" }), fc.array(fc.string({ unit: "grapheme" })), (title, lines) => {
        parseXml(drawField({}, { title, lines }));
      }),
      { numRuns: 60 },
    );
  });
});

describe("the output", () => {
  it("is the same byte for byte for the same input, and the input is left alone", () => {
    const before = structuredClone(FULL);
    expect(drawField(FULL, { title: "x" })).toBe(drawField(structuredClone(FULL), { title: "x" }));
    expect(FULL).toEqual(before);
  });

  it("stays small for a long track", () => {
    const track: Point[] = Array.from({ length: 36000 }, (_, i) => {
      const pass = Math.floor(i / 3000);
      const along = (i % 3000) / 7.5;
      return [12 + 24 * pass + 0.03 * Math.sin(i / 40), pass % 2 === 0 ? along : 400 - along];
    });
    expect(drawField({ field: [box(0, 0, 300, 400)], track: [track] }).length).toBeLessThan(20_000);
  });

  test.for<[string, DrawingContent]>([
    ["nothing", {}],
    ["empty lists", { field: [], worked: [], passes: [], track: [], gaps: [], switchings: [], referenceLine: [] }],
    [
      "rings and lines without points",
      { field: [{ exterior: [], holes: [[]] }], track: [[]], passes: [{ pass: 0, lines: [[]] }] },
    ],
    ["one point", { field: [{ exterior: [[5, 5]], holes: [] }], track: [[[5, 5]]] }],
    [
      "points that coincide",
      {
        field: [
          {
            exterior: [
              [5, 5],
              [5, 5],
              [5, 5],
            ],
            holes: [],
          },
        ],
        track: [
          [
            [5, 5],
            [5, 5],
          ],
        ],
        passes: [
          {
            pass: 1,
            lines: [
              [
                [5, 5],
                [5, 5],
              ],
            ],
          },
        ],
        referenceLine: [
          [5, 5],
          [5, 5],
        ],
      },
    ],
    [
      "a field without width",
      {
        field: [
          {
            exterior: [
              [0, 0],
              [100, 0],
              [50, 0],
            ],
            holes: [],
          },
        ],
      },
    ],
    ["a switching alone", { switchings: [{ at: [3, 4], on: true }] }],
    [
      "the farthest coordinates",
      {
        track: [
          [
            [-1e8, -1e8],
            [1e8, 1e8],
          ],
        ],
      },
    ],
    [
      "the smallest numbers",
      {
        field: [box(0, 0, 5e-324, 5e-324)],
        track: [
          [
            [-0, 0],
            [5e-324, 0],
          ],
        ],
      },
    ],
    [
      "passes on top of each other",
      {
        passes: [
          {
            pass: 0,
            lines: [
              [
                [0, 0],
                [0, 9],
              ],
            ],
          },
          {
            pass: 1,
            lines: [
              [
                [0, 0],
                [0, 9],
              ],
            ],
          },
        ],
      },
    ],
    [
      "one pass twice",
      {
        passes: [
          {
            pass: 7,
            lines: [
              [
                [0, 0],
                [0, 9],
              ],
            ],
          },
          {
            pass: 7,
            lines: [
              [
                [1, 0],
                [1, 9],
              ],
            ],
          },
        ],
      },
    ],
    [
      "a pass number beyond all counting",
      {
        passes: [
          {
            pass: 1e300,
            lines: [
              [
                [0, 0],
                [0, 9],
              ],
            ],
          },
          {
            pass: 0.5,
            lines: [
              [
                [0, 0],
                [0, 9],
              ],
            ],
          },
        ],
      },
    ],
  ])("has no NaN for %s", ([, content]) => {
    for (const grid of [true, false]) {
      const source = drawField(content, { grid });
      parseXml(source);
      expect(source).not.toMatch(/NaN|Infinity|undefined|null/);
    }
  });

  test("is well-formed and finite for any content", () => {
    const point = fc.tuple(
      fc.double({ min: -1e8, max: 1e8, noNaN: true }),
      fc.double({ min: -1e8, max: 1e8, noNaN: true }),
    );
    const line = fc.array(point, { maxLength: 8 });
    const polygon = fc.record({ exterior: line, holes: fc.array(line, { maxLength: 2 }) });
    const some = <T>(arbitrary: fc.Arbitrary<T>): fc.Arbitrary<T[]> => fc.array(arbitrary, { maxLength: 3 });
    fc.assert(
      fc.property(
        fc.record(
          {
            field: some(polygon),
            worked: some(polygon),
            overlap: some(polygon),
            closed: some(polygon),
            mainfield: some(polygon),
            rounds: some(fc.record({ round: fc.integer(), line })),
            missed: some(polygon),
            track: some(line),
            gaps: some(line),
            referenceLine: line,
            passes: some(fc.record({ pass: fc.integer(), lines: some(line) })),
            switchings: some(fc.record({ at: point, on: fc.boolean() })),
          },
          { requiredKeys: [] },
        ),
        (content) => {
          const source = drawField(content);
          parseXml(source);
          expect(source).not.toMatch(/NaN|Infinity|undefined/);
        },
      ),
      { numRuns: 150 },
    );
  });
});

describe("bad input", () => {
  it("is refused with the argument and the index", () => {
    const error = expectCode(
      () =>
        drawField({
          track: [
            [
              [0, 0],
              [Number.NaN, 1],
            ],
          ],
        }),
      "not-finite",
    );
    expect(error.argument).toBe("content.track[0]");
    expectCode(() => drawField({ closed: [box(0, 0, Number.NaN, 1)] }), "not-finite");
    expectCode(() => drawField({ rounds: [{ round: Number.NaN, line: [] }] }), "not-finite");
    expectCode(() => drawField({ rounds: [{ round: 1, line: [[0, 2e8]] }] }), "out-of-range");
    expect(error.index).toBe(1);
    const hole = expectCode(
      () =>
        drawField({
          field: [
            box(0, 0, 1, 1, [
              [
                [0, 0],
                [0, Number.POSITIVE_INFINITY],
              ],
            ]),
          ],
        }),
      "not-finite",
    );
    expect(hole.argument).toBe("content.field[0].holes[0]");
    expectCode(() => drawField({ switchings: [{ at: [Number.NaN, 0], on: true }] }), "not-finite");
    expectCode(() => drawField({ passes: [{ pass: Number.NaN, lines: [] }] }), "not-finite");
    expectCode(() => drawField({ referenceLine: [[2e8, 0]] }), "out-of-range");
    expectCode(() => drawField({}, { paper: { width: 20, height: 297 } }), "out-of-range");
    expectCode(() => drawField({}, { paper: { width: Number.NaN, height: 297 } }), "not-finite");
    expectCode(() => drawField({}, { title: 5 as unknown as string }), "bad-format");
    expectCode(() => drawField({}, { lines: [null as unknown as string] }), "bad-format");
    expectCode(() => drawField({ worked: "all" as unknown as Polygon[] }), "too-few-points");
  });
});
