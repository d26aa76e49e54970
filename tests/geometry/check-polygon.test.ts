import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  checkPolygon,
  type Point,
  polygonArea,
  type Ring,
  ringCrossings,
  segmentCrossing,
  signedArea,
} from "../../src/geometry/index.js";
import { anyContact } from "../../src/geometry/sweep.js";
import { expectCode, expectWithin } from "../helpers/within.js";
import { comb, PLACES, placed, polygon, random, rectangle, spiral, starShaped } from "./shapes.js";

const bowTie: Point[] = [
  [0, 0],
  [2, 2],
  [2, 0],
  [0, 2],
];

describe("ringCrossings", () => {
  it("gives the place and the segments of a crossing", () => {
    expect(ringCrossings(bowTie)).toEqual([{ point: [1, 1], segments: [0, 2], kind: "crossing" }]);
    expect(ringCrossings([...bowTie, bowTie[0]!])).toHaveLength(1);
  });

  it("finds nothing in a simple ring, open, closed, with duplicate points", () => {
    const ring = rectangle(0, 0, 4, 4);
    expect(ringCrossings(ring)).toEqual([]);
    expect(ringCrossings([...ring, ring[0]!])).toEqual([]);
    expect(ringCrossings(ring.flatMap((p) => [p, p, p]))).toEqual([]);
  });

  it("tells a touch from a crossing through a vertex, and from an overlap", () => {
    const pinched: Point[] = [
      [0, 0],
      [4, 0],
      [2, 2],
      [4, 4],
      [0, 4],
      [2, 2],
    ];
    expect(ringCrossings(pinched).map((c) => c.kind)).not.toContain("crossing");
    expect(ringCrossings(pinched).length).toBeGreaterThan(0);
    const eight: Point[] = [
      [0, 0],
      [4, 0],
      [2, 2],
      [0, 4],
      [4, 4],
      [2, 2],
    ];
    expect(ringCrossings(eight).map((c) => c.kind)).toContain("crossing");
    const onEdge: Point[] = [
      [0, 0],
      [4, 0],
      [4, 4],
      [2, 0],
      [0, 4],
    ];
    expect(new Set(ringCrossings(onEdge).map((c) => c.kind))).toEqual(new Set(["touch"]));
    const folded: Point[] = [
      [0, 0],
      [4, 0],
      [4, 4],
      [4, 2],
      [0, 4],
    ];
    expect(ringCrossings(folded).map((c) => c.kind)).toContain("overlap");
  });

  it("numbers segments by the vertices of the ring as given, duplicates and all", () => {
    const twice = bowTie.flatMap((p) => [p, p]);
    expect(ringCrossings(twice)).toEqual([{ point: [1, 1], segments: [1, 5], kind: "crossing" }]);
  });

  it("finds what comparing every pair finds, and the sweep agrees whether there is anything", () => {
    const coarse = fc.array(fc.tuple(fc.integer({ min: 0, max: 7 }), fc.integer({ min: 0, max: 7 })), {
      minLength: 3,
      maxLength: 12,
    });
    fc.assert(
      fc.property(coarse, (ring) => {
        const expected = plainContacts(ring);
        const found = ringCrossings(ring).map((c) => c.segments.join());
        expect(found.sort()).toEqual(expected.sort());
      }),
      { numRuns: 2000 },
    );
  });

  it.for(PLACES)(
    "sees one crossing among 20 000 edges, and none where there is none, $name",
    ({ degrees, east, north }) => {
      const ring = starShaped(20000, (i) => 300 + 20 * Math.sin(i * 0.02));
      expect(ringCrossings(placed(ring, degrees, east, north))).toEqual([]);
      [ring[7000], ring[7001]] = [ring[7001]!, ring[7000]!];
      const found = ringCrossings(placed(ring, degrees, east, north));
      expect(found.map((c) => c.kind)).toEqual(["crossing"]);
      expect(found[0]!.segments).toEqual([6999, 7001]);
    },
  );

  it("takes no quadratic time over a star of 100 000 spikes, a comb or a spiral", () => {
    expect(ringCrossings(starShaped(100_000, (i) => (i % 2 === 0 ? 50 : 100)))).toEqual([]);
    expect(ringCrossings(comb(30_000, 1000))).toEqual([]);
    expect(ringCrossings(comb(30_000, 1000).map(([x, y]): Point => [y, -x]))).toEqual([]);
    expect(ringCrossings(spiral(30_000, 50))).toEqual([]);
  });
});

describe("checkPolygon", () => {
  it("returns it closed, exterior counter-clockwise, holes clockwise, cleaned of duplicates and spikes", () => {
    const exterior: Point[] = [...rectangle(0, 0, 10, 10).reverse(), [0, 0], [0, 0], [0, -5]];
    const checked = checkPolygon(polygon(exterior, rectangle(2, 2, 1, 1)));
    expect(signedArea(checked.exterior)).toBe(100);
    expect(signedArea(checked.holes[0]!)).toBe(-1);
    expect(checked.exterior).toHaveLength(5);
    expect(checkPolygon(checked)).toEqual(checked);
  });

  it("says where a ring crosses itself, with the numbers of the vertices as given", () => {
    const error = expectCode(() => checkPolygon(polygon(bowTie.flatMap((p) => [p, p])), "field"), "self-crossing");
    expect(error.message).toBe("field.exterior crosses itself at (1, 1): segments 0 and 4");
    expect(error.argument).toBe("field.exterior");
    expect(error.index).toBe(0);
    const hole = expectCode(() => checkPolygon(polygon(rectangle(-9, -9, 20, 20), bowTie), "field"), "self-crossing");
    expect(hole.argument).toBe("field.holes[0]");
  });

  it("refuses a figure of eight, through a crossing or through a vertex, and a ring that runs over itself", () => {
    expectCode(
      () =>
        checkPolygon(
          polygon([
            [0, 0],
            [4, 0],
            [2, 2],
            [0, 4],
            [4, 4],
            [2, 2],
          ]),
        ),
      "self-crossing",
    );
    expect(
      expectCode(
        () =>
          checkPolygon(
            polygon([
              [0, 0],
              [4, 0],
              [4, 4],
              [2, 4],
              [2, 2],
              [3, 2],
              [3, 4],
              [2, 4],
              [0, 4],
            ]),
          ),
        "self-crossing",
      ).message,
    ).toMatch(/overlaps|crosses/);
  });

  it("accepts a ring pinched in one vertex, and a hole that touches the exterior or another hole in one", () => {
    const pinched: Point[] = [
      [0, 0],
      [4, 0],
      [2, 2],
      [4, 4],
      [0, 4],
      [2, 2],
    ];
    // two triangles of 4 m² that meet in their tips
    expect(polygonArea(checkPolygon(polygon(pinched)))).toBe(8);
    const touching: Point[] = [
      [0, 5],
      [3, 4],
      [3, 6],
    ];
    const other: Point[] = [
      [3, 5],
      [6, 4],
      [6, 6],
    ];
    expect(checkPolygon(polygon(rectangle(0, 0, 10, 10), touching, other)).holes).toHaveLength(2);
    const atVertex: Point[] = [
      [0, 0],
      [3, 1],
      [1, 3],
    ];
    expect(checkPolygon(polygon(rectangle(0, 0, 10, 10), atVertex)).holes).toHaveLength(1);
  });

  it("refuses a hole outside, across, along or equal to its exterior, and holes in each other", () => {
    const outer = rectangle(0, 0, 10, 10);
    for (const hole of [
      rectangle(20, 20, 1, 1),
      rectangle(9, 9, 5, 5),
      rectangle(0, 2, 1, 1),
      outer,
      rectangle(-5, -5, 30, 30),
      // through vertices only
      [
        [5, 5],
        [10, 10],
        [15, 5],
      ] as Point[],
    ]) {
      const error = expectCode(
        () => checkPolygon(polygon(outer, rectangle(4, 1, 1, 1), hole), "field"),
        "hole-outside",
      );
      expect(error.argument).toBe("field.holes[1]");
      expect(error.index).toBe(1);
    }
    expectCode(() => checkPolygon(polygon(outer, rectangle(2, 2, 6, 6), rectangle(3, 3, 1, 1))), "hole-outside");
    expectCode(() => checkPolygon(polygon(outer, rectangle(3, 3, 1, 1), rectangle(2, 2, 6, 6))), "hole-outside");
    expectCode(() => checkPolygon(polygon(outer, rectangle(2, 2, 3, 3), rectangle(4, 4, 3, 3))), "hole-outside");
    expectCode(() => checkPolygon(polygon(outer, rectangle(2, 2, 3, 3), rectangle(2, 2, 3, 3))), "hole-outside");
  });

  it("refuses too few, not finite, flat, and what is no polygon", () => {
    expectCode(
      () =>
        checkPolygon(
          polygon([
            [0, 0],
            [1, 1],
          ]),
        ),
      "too-few-points",
    );
    expectCode(
      () =>
        checkPolygon(
          polygon([
            [0, 0],
            [1, 1],
            [0, 0],
            [1, 1],
          ]),
        ),
      "too-few-points",
    );
    expectCode(
      () =>
        checkPolygon(
          polygon([
            [0, 0],
            [1, 1],
            [2, 2],
            [5, 5],
          ]),
        ),
      "degenerate",
    );
    expectCode(
      () =>
        checkPolygon(
          polygon([
            [0, 0],
            [1, 1],
            [Number.NaN, 2],
          ]),
        ),
      "not-finite",
    );
    expectCode(() => checkPolygon(undefined as never), "too-few-points");
    expectCode(() => checkPolygon({ exterior: rectangle(0, 0, 1, 1) } as never), "too-few-points");
    expectCode(() => checkPolygon({ exterior: "ring", holes: [] } as never), "too-few-points");
  });

  const fine: Record<string, () => Ring[]> = {
    "a comb of 10 000 teeth": () => [comb(10_000, 50)],
    "a spiral": () => [spiral(2000, 10)],
    "a star of 20 000 points": () => [starShaped(20_000, (i) => (i % 2 === 0 ? 50 : 100))],
    "50 holes": () => [
      rectangle(0, 0, 1000, 20),
      ...Array.from({ length: 50 }, (_, i) => rectangle(5 + i * 19, 5, 10, 10)),
    ],
    "edges moved by one unit in the last place": () => {
      const next = random(8);
      return [starShaped(500, () => 100).map(([x, y]): Point => [x + Math.round(next() * 2 - 1) * 2 ** -46, y])];
    },
    "a corner of a millionth of a degree": () => [
      [
        [0, 0],
        [1e5, 0],
        [1e5, 1e5 * 1.7e-8 * 2],
      ],
    ],
  };
  const cases = Object.keys(fine).flatMap((name) => PLACES.slice(0, 3).map((place) => ({ name, place })));
  it.for(cases)("accepts $name, $place.name, whichever vertex it starts with", ({ name, place }) => {
    const rings = fine[name]!().map((ring) => placed(ring, place.degrees, place.east, place.north));
    const [exterior, ...holes] = rings;
    const area = polygonArea(checkPolygon(polygon(exterior!, ...holes)));
    const k = Math.floor(exterior!.length / 3);
    const turned = [...exterior!.slice(k), ...exterior!.slice(0, k)].reverse();
    // the last digits depend on the vertex that the sum starts from
    expectWithin(polygonArea(checkPolygon(polygon(turned, ...holes))), area, 1e-9 * area + 1e-3);
    expect(area).toBeGreaterThan(0);
  });
});

// the meetings of every pair, neighbours only by overlap
function plainContacts(ring: Ring): string[] {
  const n = ring.length;
  const segments = ring
    .map((a, i) => ({ i, a, b: ring[(i + 1) % n]! }))
    .filter(({ a, b }) => a[0] !== b[0] || a[1] !== b[1]);
  const m = segments.length;
  const found: string[] = [];
  for (let i = 0; i < m; i++) {
    for (let j = i + 1; j < m; j++) {
      const p = segments[i]!;
      const q = segments[j]!;
      const crossing = segmentCrossing(p.a, p.b, q.a, q.b);
      if (crossing.kind === "none") continue;
      const neighbour =
        (j === i + 1 && crossing.kind === "point" && crossing.t === 1 && crossing.u === 0) ||
        (i === 0 && j === m - 1 && crossing.kind === "point" && crossing.t === 0 && crossing.u === 1);
      if (!neighbour) found.push(`${p.i},${q.i}`);
    }
  }
  const ends = new Float64Array(segments.flatMap(({ a, b }) => [...a, ...b]));
  if (m > 0) expect(anyContact(ends, (k) => (k + m - 1) % m)).toBe(found.length > 0);
  return found;
}
