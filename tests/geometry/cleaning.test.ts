import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  cleanLine,
  cleanRing,
  nearestOnLine,
  type Point,
  pathLength,
  removeCollinear,
  removeDuplicates,
  removeSpikes,
  signedArea,
} from "../../src/geometry/index.js";
import { expectCode, expectWithin } from "../helpers/within.js";
import { PLACES, placed, random, rectangle, starShaped } from "./shapes.js";

const square = rectangle(0, 0, 10, 10);

describe("removeDuplicates", () => {
  it("drops what repeats the point before, and keeps both ends of a line", () => {
    const line: Point[] = [
      [0, 0],
      [0, 0],
      [5, 0],
      [5, 5e-5],
      [9, 0],
      [9, 9e-5],
    ];
    expect(removeDuplicates(line)).toEqual([
      [0, 0],
      [5, 0],
      [9, 9e-5],
    ]);
    expect(removeDuplicates(line, { within: 0 })).toHaveLength(5);
  });

  it("opens a ring, however often its seam repeats", () => {
    expect(removeDuplicates([...square, square[0]!, square[0]!, [1e-5, 0]], { closed: true })).toEqual(square);
  });

  it("leaves one point of points that coincide, and none of none", () => {
    expect(
      removeDuplicates([
        [1, 1],
        [1, 1],
        [1, 1],
      ]),
    ).toEqual([[1, 1]]);
    expect(
      removeDuplicates(
        [
          [1, 1],
          [1, 1],
          [1, 1],
        ],
        { closed: true },
      ),
    ).toEqual([[1, 1]]);
    expect(removeDuplicates([])).toEqual([]);
  });

  it("leaves no two neighbours within the distance", () => {
    const c = fc.integer({ min: 0, max: 20 }).map((i) => i / 10);
    fc.assert(
      fc.property(fc.array(fc.tuple(c, c), { minLength: 1 }), fc.boolean(), (points, closed) => {
        const kept = removeDuplicates(points, { within: 0.35, closed });
        for (let i = closed ? 0 : 1; i < kept.length && kept.length > 2; i++) {
          const a = kept[(i + kept.length - 1) % kept.length]!;
          expect(Math.hypot(a[0] - kept[i]![0], a[1] - kept[i]![1])).toBeGreaterThan(0.35);
        }
      }),
    );
  });
});

describe("removeSpikes", () => {
  it("takes away a spike of any length, of one point or of many", () => {
    expect(
      removeSpikes([
        [0, 0],
        [5, 0],
        [5, 90],
        [5, 0],
        [10, 0],
      ]),
    ).toEqual([
      [0, 0],
      [5, 0],
      [10, 0],
    ]);
    expect(
      removeSpikes([
        [0, 0],
        [5, 0],
        [5, 30],
        [5, 90],
        [5, 40],
        [5, 10],
        [5, 0],
        [10, 0],
      ]),
    ).toEqual([
      [0, 0],
      [5, 0],
      [10, 0],
    ]);
  });

  it("takes away a spike narrower than the width at its shorter arm, and keeps a wider one", () => {
    const spike = (width: number): Point[] => [
      [0, 0],
      [5, 0],
      [5, 90],
      [5 + width, 0],
      [10, 0],
      [10, -10],
      [0, -10],
    ];
    expect(removeSpikes(spike(5e-5), { closed: true })).toHaveLength(5);
    expect(removeSpikes(spike(1e-2), { closed: true })).toHaveLength(7);
    expect(removeSpikes(spike(1e-12), { closed: true })).toHaveLength(5);
  });

  it("finds spikes at the seam of a ring, whichever vertex it starts with", () => {
    const ring: Point[] = [
      [0, 0],
      [10, 0],
      [10, 10],
      [10, 50],
      [10, 10],
      [0, 10],
    ];
    for (let k = 0; k < ring.length; k++) {
      const turned = [...ring.slice(k), ...ring.slice(0, k)];
      const kept = cleanRing(turned);
      expect(signedArea(kept), `start ${k}`).toBe(100);
      expect(kept, `start ${k}`).toHaveLength(5);
    }
  });

  it("shrinks a ring of no area away", () => {
    expect(
      removeSpikes(
        [
          [0, 0],
          [5, 0],
          [9, 0],
          [5, 0],
        ],
        { closed: true },
      ).length,
    ).toBeLessThan(3);
  });

  it.for(PLACES)("keeps the area of a ring with spikes added everywhere, $name", ({ degrees, east, north }) => {
    const next = random(3);
    const plain = starShaped(50, () => 20 + next());
    const spiky = plain.flatMap((p, i): Point[] => (i % 3 === 0 ? [p, [p[0] * 3, p[1] * 3 + i], p] : [p]));
    const ring = placed(spiky, degrees, east, north);
    expectWithin(
      Math.abs(signedArea(cleanRing(ring))),
      Math.abs(signedArea(placed(plain, degrees, east, north))),
      1e-9,
    );
  });
});

describe("removeCollinear", () => {
  it("drops exactly straight vertices, and neither corners nor the tips of reversals", () => {
    expect(
      removeCollinear([
        [0, 0],
        [1, 1],
        [2, 2],
        [3, 3],
        [3, 5],
      ]),
    ).toEqual([
      [0, 0],
      [3, 3],
      [3, 5],
    ]);
    expect(
      removeCollinear([
        [0, 0],
        [4, 0],
        [2, 0],
        [6, 0],
      ]),
    ).toEqual([
      [0, 0],
      [4, 0],
      [2, 0],
      [6, 0],
    ]);
  });

  it("drops the start of a ring where it lies in a straight run", () => {
    const ring: Point[] = [
      [5, 0],
      [10, 0],
      [10, 10],
      [5, 10],
      [0, 10],
      [0, 0],
    ];
    const kept = removeCollinear(ring, { closed: true });
    expect(kept).toHaveLength(4);
    expect(Math.abs(signedArea(kept))).toBe(100);
  });

  it("leaves no dropped point farther than the tolerance from what replaces it, also along a gentle curve", () => {
    const arc = Array.from({ length: 2000 }, (_, i): Point => [200 * Math.cos(i / 1000), 200 * Math.sin(i / 1000)]);
    for (const within of [0.001, 0.01, 0.1]) {
      const kept = removeCollinear(arc, { within });
      expect(kept.length).toBeLessThan(arc.length / 3);
      for (const p of arc) expect(nearestOnLine(kept, p).distance).toBeLessThanOrEqual(within + 1e-9);
    }
  });
});

describe("cleanLine", () => {
  it("keeps a stretch driven there and back unless spikes are asked for", () => {
    const track: Point[] = [
      [0, 0],
      [100, 0],
      [100, 0],
      [50, 0],
    ];
    expect(cleanLine(track)).toEqual([
      [0, 0],
      [100, 0],
      [50, 0],
    ]);
    expect(cleanLine(track, { spikes: 0.01 })).toEqual([
      [0, 0],
      [50, 0],
    ]);
  });

  it("throws for one point however often it is given, and for steps that make no sense", () => {
    expectCode(() => cleanLine([[1, 1]]), "too-few-points");
    expectCode(
      () =>
        cleanLine([
          [1, 1],
          [1, 1],
        ]),
      "degenerate",
    );
    expect(
      expectCode(
        () =>
          cleanLine(
            [
              [0, 0],
              [1, 1],
            ],
            { duplicates: -1 },
          ),
        "out-of-range",
      ).argument,
    ).toBe("options.duplicates");
    expectCode(
      () =>
        cleanLine(
          [
            [0, 0],
            [1, 1],
          ],
          { collinear: Number.NaN },
        ),
      "not-finite",
    );
  });

  it("changes nothing when done again, and moves the length by no more than what was merged", () => {
    const c = fc.integer({ min: 0, max: 100 }).map((i) => i / 10);
    fc.assert(
      fc.property(fc.array(fc.tuple(c, c), { minLength: 2 }), (points) => {
        if (points.every((p) => p[0] === points[0]![0] && p[1] === points[0]![1])) return;
        if (pathLength(removeDuplicates(points)) === 0) return;
        const once = cleanLine(points, { collinear: 0 });
        expect(cleanLine(once, { collinear: 0 })).toEqual(once);
        expectWithin(pathLength(once), pathLength(points), 1e-9);
      }),
    );
  });
});

describe("cleanRing", () => {
  it("returns it closed, wound as it was, from open and closed input alike", () => {
    expect(cleanRing(square)).toEqual([...square, square[0]]);
    expect(cleanRing([...square, square[0]!])).toEqual([...square, square[0]]);
    expect(signedArea(cleanRing([...square].reverse()))).toBe(-100);
  });

  it("throws too-few-points for two distinct vertices and degenerate for a line", () => {
    expectCode(
      () =>
        cleanRing([
          [0, 0],
          [1, 1],
          [0, 0],
          [0, 0],
        ]),
      "too-few-points",
    );
    expectCode(
      () =>
        cleanRing([
          [0, 0],
          [1, 1],
        ]),
      "too-few-points",
    );
    expectCode(
      () =>
        cleanRing([
          [0, 0],
          [1, 1],
          [2, 2],
        ]),
      "degenerate",
    );
    expectCode(
      () =>
        cleanRing(
          [
            [0, 0],
            [1, 1],
            [5, 5],
            [3, 3],
            [2, 2],
          ],
          { spikes: false },
        ),
      "degenerate",
    );
    expect(
      expectCode(
        () =>
          cleanRing([
            [0, 0],
            [1, 1],
            [2, Number.NaN],
          ]),
        "not-finite",
      ).index,
    ).toBe(2);
  });

  it("does not change its input", () => {
    const frozen = Object.freeze([...square, square[0]!, square[0]!]);
    cleanRing(frozen, { collinear: 0 });
    expect(frozen).toHaveLength(6);
  });
});
