import fc from "fast-check";
import polygonClipping from "polygon-clipping";
import { describe, expect, it } from "vitest";
import {
  checkPolygon,
  difference,
  intersection,
  type Point,
  type Polygon,
  PolygonIndex,
  polygonArea,
  symmetricDifference,
  union,
} from "../../src/geometry/index.js";
import { expectCode, expectWithin } from "../helpers/within.js";
import { PLACES, placed, polygon, random, rectangle, starShaped } from "./shapes.js";

/** Results lie within 1 µm of the exact ones, save for slivers thinner than 0.1 mm, metres. */
const MICROMETRE = 1e-6;
const SLIVER = 1e-4;

const area = (polygons: readonly Polygon[]): number => polygons.reduce((sum, p) => sum + polygonArea(p), 0);

describe("boolean operations", () => {
  const a = [polygon(rectangle(0, 0, 4, 4))];
  const b = [polygon(rectangle(2, 2, 4, 4))];

  it("give the areas of two overlapping squares exactly", () => {
    expect(area(union([...a, ...b]))).toBe(28);
    expect(area(intersection(a, b))).toBe(4);
    expect(area(difference(a, b))).toBe(12);
    expect(area(symmetricDifference(a, b))).toBe(24);
  });

  it("return closed rings, exterior counter-clockwise and holes clockwise, that pass the check", () => {
    const ring = difference([polygon(rectangle(0, 0, 9, 9).reverse())], [polygon(rectangle(3, 3, 3, 3))]);
    expect(ring).toEqual([
      {
        exterior: [
          [0, 0],
          [9, 0],
          [9, 9],
          [0, 9],
          [0, 0],
        ],
        holes: [
          [
            [3, 3],
            [3, 6],
            [6, 6],
            [6, 3],
            [3, 3],
          ],
        ],
      },
    ]);
    expect(checkPolygon(ring[0]!)).toEqual(ring[0]);
  });

  it("take empty lists", () => {
    expect(union([])).toEqual([]);
    expect(intersection(a, [])).toEqual([]);
    expect(intersection([], a)).toEqual([]);
    expect(area(difference(a, []))).toBe(16);
    expect(difference([], a)).toEqual([]);
    expect(area(symmetricDifference([], a))).toBe(16);
    expect(area(symmetricDifference(a, []))).toBe(16);
    expect(symmetricDifference([], [])).toEqual([]);
  });

  it("give nothing where polygons only touch, and nothing thinner than a tenth of a millimetre", () => {
    expect(intersection(a, [polygon(rectangle(4, 0, 4, 4))])).toEqual([]);
    expect(intersection(a, [polygon(rectangle(4, 4, 4, 4))])).toEqual([]);
    expect(difference(a, a)).toEqual([]);
    expect(difference(a, [polygon(rectangle(0, 0, 4, 4 - 5e-5))])).toEqual([]);
    expect(difference(a, [polygon(rectangle(0, 0, 4, 4 - 2e-4))])).toHaveLength(1);
  });

  it("join squares that share an edge into one, and fill a hole exactly", () => {
    expect(union([...a, polygon(rectangle(4, 0, 4, 4))])).toHaveLength(1);
    const hollow = polygon(rectangle(0, 0, 9, 9), rectangle(3, 3, 3, 3));
    expect(union([hollow, polygon(rectangle(3, 3, 3, 3))])).toEqual([
      {
        exterior: [
          [0, 0],
          [9, 0],
          [9, 9],
          [0, 9],
          [0, 0],
        ],
        holes: [],
      },
    ]);
  });

  it("throw only our own error for bad input", () => {
    expectCode(
      () =>
        union([
          polygon([
            [0, 0],
            [1, 1],
          ]),
        ]),
      "too-few-points",
    );
    expect(
      expectCode(
        () =>
          intersection(a, [
            polygon([
              [0, 0],
              [1, 1],
              [Number.NaN, 0],
            ]),
          ]),
        "not-finite",
      ).argument,
    ).toBe("b[0].exterior");
    expectCode(() => union(null as never), "too-few-points");
    expectCode(() => difference(a, [undefined as never]), "too-few-points");
    const huge = polygon(starShaped(200_001, () => 100));
    expectCode(() => union([huge]), "too-large");
  });

  it("drop rings without area instead of failing on them", () => {
    expect(
      union([
        polygon([
          [0, 0],
          [5, 5],
          [9, 9],
        ]),
      ]),
    ).toEqual([]);
    expect(
      area(
        union([
          polygon([
            [0, 0],
            [0, 0],
            [0, 0],
          ]),
          ...a,
        ]),
      ),
    ).toBe(16);
    expect(
      area(
        union([
          polygon(rectangle(0, 0, 4, 4), [
            [1, 1],
            [2, 2],
            [3, 3],
          ]),
        ]),
      ),
    ).toBe(16);
  });

  it("do not change their input", () => {
    const frozen = Object.freeze([Object.freeze(polygon(Object.freeze(rectangle(0, 0, 3, 3))))]);
    union(frozen);
    expect(frozen[0]!.exterior).toHaveLength(4);
  });

  // inputs that the engine underneath throws on or never comes back from, found by moving vertices by units in the last
  // place: the same faults as its open issues 91, 95, 115 and 139, which are about nearly coincident edges
  describe("on nearly coincident edges", () => {
    type Pair = { name: string; verb: "union" | "intersection" | "xor"; a: Point[]; b: Point[] };
    const pairs: Pair[] = [
      {
        name: "Unable to complete output ring",
        verb: "union",
        a: [
          [1.44141313014552, 0],
          [-0.713261722163849, 1.2354055420526524],
          [-0.5862418656521782, -1.0154006965527909],
        ],
        b: [
          [1.4414131301455202, 0],
          [-0.713261722163849, 1.235405542052652],
          [-0.5862418656521784, -1.0154006965527909],
        ],
      },
      {
        name: "Maximum call stack size exceeded",
        verb: "xor",
        a: [
          [1.9989101733081043, 0],
          [-0.5961468224959736, 1.0325565854765177],
          [-0.9078519830500172, -1.5724457599600212],
        ],
        b: [
          [1.9989101733081047, 0],
          [-0.5961468224959738, 1.0325565854765173],
          [-0.9078519830500175, -1.5724457599600214],
        ],
      },
      {
        name: "Unable to find segment",
        verb: "union",
        a: [
          [1.5774862943217158, 0],
          [7.228907279866567e-11, 1.6101238268893212],
          [-1.599020920228213, 1.4358118025280593e-10],
          [-2.0652129425216824e-10, -1.533310839207843],
        ],
        b: [
          [1.5774862943217158, 0],
          [7.228907279866564e-11, 1.610123826889321],
          [-1.599020920228213, 1.4358118025280598e-10],
          [-2.065212942521682e-10, -1.5333108392078434],
        ],
      },
    ];

    it.for(pairs)(
      "the engine alone fails ($name), the wrapper gives the shape",
      ({ name, verb, a: ringA, b: ringB }) => {
        const engine = (ring: Point[]): [number, number][][] => [ring.map(([x, y]): [number, number] => [x, y])];
        expect(() => polygonClipping[verb](engine(ringA), engine(ringB))).toThrow(name);
        const one = [polygon(ringA)];
        const two = [polygon(ringB)];
        const tolerance = 20 * MICROMETRE;
        expectWithin(area(union([...one, ...two])), polygonArea(one[0]!), tolerance);
        expectWithin(area(intersection(one, two)), polygonArea(one[0]!), tolerance);
        expectWithin(area(symmetricDifference(one, two)), 0, tolerance);
        expectWithin(area(difference(one, two)), 0, tolerance);
      },
    );

    it("comes back from an input on which the engine alone loops for ever", () => {
      const rings: Point[][] = [
        [
          [1.3133090089540929, 0],
          [0.5915194914889114, 1.8205098006512126],
          [-1.1897850679330466, 0.8644294511696882],
          [-1.311060413012596, -0.9525411466220832],
          [0.47139124773404184, -1.450793083428777],
        ],
        [
          [1.313309008954093, -6.661338147750939e-16],
          [0.5915194914889113, 1.8205098006512122],
          [-1.1897850679330462, 0.8644294511696885],
          [-1.3110604130125962, -0.9525411466220836],
          [0.471391247734042, -1.4507930834287766],
        ],
        [
          [1.3133090089540924, 2.220446049250313e-16],
          [0.5359525546209992, 1.9491678813073579],
          [-1.1897850679330473, 0.8644294511696881],
          [-1.3110604130125953, -0.9525411466220836],
          [0.47139124773404184, -1.4507930834287774],
        ],
        [
          [1.3133090089540926, -6.661338147750939e-16],
          [0.5915194914889116, 1.8205098006512128],
          [-1.0412030040419262, 0.9441779651564299],
          [-1.1897850679330473, 0.864429451169688],
          [-1.3110604130125953, -0.952541146622083],
          [0.47139124773404195, -1.4507930834287777],
        ],
      ];
      const [p, q, r, s] = rings.map((ring) => polygon(ring));
      const inner = intersection(intersection(intersection([p!], [q!]), [r!]), [s!]);
      // the second and third differ from the first by two slivers of some square millimetres to centimetres
      expectWithin(area(inner), polygonArea(p!), 0.01);
      expect(area(union([p!, q!, r!, s!]))).toBeGreaterThan(area(inner));
    });

    it.for(PLACES)(
      "keep the area identities on many shifted, split and shaken copies, $name",
      ({ degrees, east, north }) => {
        const next = random(17);
        const units = [2 ** -48, 2 ** -21, 2 ** -20, 2 ** -17, 1e-3];
        for (let trial = 0; trial < 120; trial++) {
          const unit = units[trial % units.length]!;
          const base = placed(
            starShaped(3 + Math.floor(next() * 6), () => 5 + 5 * next()),
            degrees,
            east,
            north,
          );
          const shaken = (): Polygon => {
            const ring = base.map(
              ([x, y]): Point => [x + unit * (Math.floor(next() * 7) - 3), y + unit * (Math.floor(next() * 7) - 3)],
            );
            const i = Math.floor(next() * ring.length);
            const p = ring[i]!;
            const q = ring[(i + 1) % ring.length]!;
            const t = next();
            ring.splice(i + 1, 0, [p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1])]);
            return polygon(ring);
          };
          // slivers on both sides of a perimeter of 60 m at the most
          identities([polygon(base)], [shaken(), shaken()], (unit > SLIVER / 8 ? SLIVER : 10 * MICROMETRE) * 120);
        }
      },
    );
  });

  it("keep the area identities on random polygons with holes", () => {
    const radius = fc.double({ min: 2, max: 30, noNaN: true });
    const shape = fc.tuple(
      fc.array(radius, { minLength: 3, maxLength: 25 }),
      fc.integer({ min: -20, max: 20 }),
      fc.integer({ min: -20, max: 20 }),
    );
    fc.assert(
      fc.property(
        fc.array(shape, { minLength: 1, maxLength: 3 }),
        fc.array(shape, { minLength: 1, maxLength: 3 }),
        fc.boolean(),
        (p, q, whole) => {
          const make = ([radii, x, y]: [number[], number, number]): Polygon => {
            const ring = placed(
              starShaped(radii.length, (i) => radii[i]!),
              0,
              x,
              y,
            );
            const hole = placed(
              starShaped(radii.length, (i) => radii[i]! / 3),
              0,
              x,
              y,
            );
            const rounded = (points: Point[]): Point[] =>
              whole ? points.map(([u, v]): Point => [Math.round(u), Math.round(v)]) : points;
            // rounding to whole metres may make rings cross themselves: then they have no hole
            return whole ? polygon(rounded(ring)) : polygon(ring, hole);
          };
          identities(p.map(make), q.map(make), 1e-3);
        },
      ),
      { numRuns: 60 },
    );
  });

  it("hold where corners in whole metres make the engine fail on every grid that is not turned", () => {
    const radii = [
      { list: [19.5, 2, 2, 2, 2, 2, 12.150956073054362], x: -17, y: -16 },
      { list: [2, 2, 2, 2, 2, 2, 2, 27.500000000000004, 5.761912177406223, 2, 2, 2, 2, 2], x: 16, y: -18 },
      { list: [2, 2, 2, 2, 2, 2, 2.605542790566014, 28.250281382034597, 2, 2, 2], x: 0, y: -19 },
      { list: [2, 2, 2], x: 0, y: 0 },
    ];
    const shapes = radii.map(({ list, x, y }) => {
      const ring = placed(
        starShaped(list.length, (i) => list[i]!),
        0,
        x,
        y,
      );
      return polygon(ring.map(([u, v]): Point => [Math.round(u), Math.round(v)]));
    });
    identities(shapes.slice(0, 3), shapes.slice(3), 1e-3);
  });

  it("agree with their inputs at any point away from the edges", () => {
    const next = random(23);
    const one = [
      polygon(starShaped(60, () => 10 + 10 * next())),
      polygon(
        placed(
          starShaped(40, () => 5 + 3 * next()),
          0,
          20,
          5,
        ),
      ),
    ];
    const two = [
      polygon(
        placed(
          starShaped(60, () => 10 + 10 * next()),
          0,
          8,
          -3,
        ),
        rectangle(6, -4, 2, 2),
      ),
    ];
    const inOne = new PolygonIndex(one);
    const inTwo = new PolygonIndex(two);
    const results = [
      union([...one, ...two]),
      intersection(one, two),
      difference(one, two),
      symmetricDifference(one, two),
    ].map((r) => new PolygonIndex(r));
    for (let k = 0; k < 4000; k++) {
      const x = next() * 70 - 30;
      const y = next() * 60 - 30;
      if (Math.min(inOne.distanceToBoundary(x, y), inTwo.distanceToBoundary(x, y)) < 2 * MICROMETRE) continue;
      const p = inOne.contains(x, y);
      const q = inTwo.contains(x, y);
      expect(results.map((r) => r.contains(x, y))).toEqual([p || q, p && q, p && !q, p !== q]);
    }
  });

  it("join the swept strips of a drive to and fro into one piece of ground", () => {
    const strips = Array.from({ length: 300 }, (_, i) => {
      const pass = Math.floor(i / 30);
      return polygon(placed(rectangle((i % 30) * 2, pass * 3, 2, 3), 12, 5e5, 6e6));
    });
    const joined = union(strips);
    expect(joined).toHaveLength(1);
    expect(joined[0]!.holes).toEqual([]);
    expectWithin(area(joined), 60 * 30, 1e-3);
  });
});

function identities(a: readonly Polygon[], b: readonly Polygon[], tolerance: number): void {
  const results = [union([...a, ...b]), intersection(a, b), difference(a, b), symmetricDifference(a, b)] as const;
  // every result is a polygon that its own check takes
  for (const result of results.flat()) checkPolygon(result);
  const [all, common, rest, either] = results.map(area) as [number, number, number, number];
  const areaA = area(union(a));
  const areaB = area(union(b));
  expectWithin(areaA + areaB, all + common, tolerance, "|A| + |B| = |A ∪ B| + |A ∩ B|");
  expectWithin(rest, areaA - common, tolerance, "|A \\ B| = |A| - |A ∩ B|");
  expectWithin(either, all - common, tolerance, "|A △ B| = |A ∪ B| - |A ∩ B|");
}
