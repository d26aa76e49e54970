import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { type Point, type Polygon, polygonArea, ringLength } from "../../src/geometry/index.js";
import { type Headland, headland, type HeadlandOptions } from "../../src/headland/index.js";
import { polygon, rectangle, starShaped } from "../geometry/shapes.js";
import { expectWithin } from "../helpers/within.js";
import { along, depth, distanceToRing, inAny, spread } from "./oracle.js";

const TOLERANCE = 1e-4; // m, the default flattening of arcs
const SNAP = 2e-6; // m, the grid of boolean operations

// star-shaped fields of 60 to 140 m with up to two obstacles near their middle
const fields = fc
  .record({
    radii: fc.array(fc.integer({ min: 60, max: 140 }), { minLength: 4, maxLength: 14 }),
    obstacles: fc.array(
      fc.record({
        x: fc.integer({ min: 0, max: 12 }),
        y: fc.integer({ min: -15, max: 15 }),
        size: fc.integer({ min: 1, max: 8 }),
      }),
      { maxLength: 2 },
    ),
  })
  .map(({ radii, obstacles }): Polygon[] => [
    polygon(
      starShaped(radii.length, (i) => radii[i]!),
      // one on either side of the middle
      ...obstacles.map(({ x, y, size }, i) => rectangle(i === 0 ? x + 2 : -x - 2 - size, y, size, size)),
    ),
  ]);

const options = fc.record({
  swathWidth: fc.constantFrom(3, 4.5, 6, 12),
  rounds: fc.integer({ min: 1, max: 4 }),
});

const RUNS = { numRuns: 10 };

describe("a headland", () => {
  it("keeps every round at its distance, misses nothing at that depth, and leaves the mainfield that is deep enough", () => {
    fc.assert(
      fc.property(fields, options, (field, settings) => {
        const made = headland(field, settings);
        checkDistances(field, settings, made);
      }),
      RUNS,
    );
  });

  it("divides the field: headland and mainfield add up, and one round more leaves less, inside", () => {
    fc.assert(
      fc.property(fields, options, (field, settings) => {
        const made = headland(field, settings);
        const perimeter = [...field, ...made.mainfield]
          .flatMap((part) => [part.exterior, ...part.holes])
          .reduce((sum, ring) => sum + ringLength([...ring, ring[0]!]), 0);
        const slack = 1e-9 * made.areas.field + 1e-9 * perimeter;
        expectWithin(made.areas.headland + made.areas.mainfield, made.areas.field, slack, "sum");
        expectWithin(
          made.areas.field,
          field.reduce((sum, part) => sum + polygonArea(part), 0),
          slack,
          "field",
        );
        const more = headland(field, { ...settings, rounds: settings.rounds + 1 });
        expect(more.areas.mainfield).toBeLessThanOrEqual(made.areas.mainfield);
        for (const part of more.mainfield) {
          for (const [x, y] of part.exterior) expect(inAny(made.mainfield, x, y)).toBe(true);
        }
        for (const [x, y] of spread(field, 100)) {
          if (!inAny(field, x, y)) continue;
          if (inAny(made.headland, x, y) === inAny(made.mainfield, x, y)) {
            // on the line between the two
            const gap = Math.min(
              ...made.mainfield.flatMap((p) => [p.exterior, ...p.holes]).map((ring) => distanceToRing(ring, x, y)),
            );
            expect(gap).toBeLessThan(1e-9);
          }
        }
      }),
      RUNS,
    );
  });

  it("does not depend on start vertex, winding, duplicate or collinear vertices, or the order of obstacles", () => {
    fc.assert(
      fc.property(fields, options, fc.nat({ max: 50 }), (field, settings, turn) => {
        const a = headland(field, settings);
        const changed = field.map(({ exterior, holes }) => ({
          exterior: disturbed(exterior, turn),
          holes: [...holes].reverse().map((hole) => disturbed(hole, turn)),
        }));
        const b = headland(changed, settings);
        expectWithin(b.areas.mainfield, a.areas.mainfield, 1e-5, "mainfield");
        expect(b.mainfield.length).toBe(a.mainfield.length);
        expect(b.rounds.length).toBe(a.rounds.length);
        const lengths = (made: Headland): number[] => made.rounds.map((round) => round.length).sort((p, q) => p - q);
        lengths(a).forEach((length, i) => expectWithin(lengths(b)[i]!, length, 1e-6, "length"));
        expectWithin(b.areas.uncovered, a.areas.uncovered, 0.02 + 1e-3 * a.areas.uncovered, "uncovered");
      }),
      RUNS,
    );
  });

  it("covers all of itself but what it lists: no point of it is off every swath and off the list", () => {
    fc.assert(
      fc.property(fields, options, fc.constantFrom(0, 2, 5), (field, settings, minimumRadius) => {
        const made = headland(field, { ...settings, minimumRadius });
        const driven = made.rounds.filter((round) => round.reason !== "too-narrow").map((round) => round.line);
        for (const [x, y] of spread(field, 120)) {
          if (!inAny(made.headland, x, y)) continue;
          const nearest = Math.min(Number.POSITIVE_INFINITY, ...driven.map((line) => distanceToRing(line, x, y)));
          const edge = Math.abs(nearest - settings.swathWidth / 2);
          const listed = inAny(
            made.uncovered.map((place) => place.outline),
            x,
            y,
          );
          if (edge < 5e-3) continue; // on a swath's edge
          expect(listed, `(${x}, ${y}) is ${nearest} from the nearest round`).toBe(nearest > settings.swathWidth / 2);
        }
      }),
      RUNS,
    );
  });

  it("keeps rounds away from the edges with a turning radius too, and bends them no more tightly", () => {
    fc.assert(
      fc.property(fields, options, fc.constantFrom(3, 6, 9), (field, settings, minimumRadius) => {
        const made = headland(field, { ...settings, minimumRadius });
        for (const round of made.rounds) {
          for (const [x, y] of round.line) {
            expect(depth(field, x, y)).toBeGreaterThan(round.distance - 3 * TOLERANCE);
          }
          if (round.drivable) expect(tightest(round.line)).toBeGreaterThan(minimumRadius * 0.5);
        }
      }),
      RUNS,
    );
  });

  it("gives an empty list and a reason when it fills the field, and never throws for a width", () => {
    fc.assert(
      fc.property(
        fields,
        fc.double({ min: 1e-3, max: 1e4, noNaN: true }),
        fc.integer({ min: 0, max: 3 }),
        (field, w, n) => {
          const made = headland(field, { swathWidth: w, rounds: n });
          if (made.mainfield.length > 0) expect(made.reason).toBeUndefined();
          else expect(made.reason).toBe("headland-fills-field");
          if (w > 300 && n > 0) expect(made.mainfield).toEqual([]);
          const numbers = new Set(made.rounds.map((round) => round.number));
          for (let i = 1; i <= n; i++) {
            if (!numbers.has(i)) expect(made.dropped.some((one) => one.round <= i)).toBe(true);
          }
        },
      ),
      { numRuns: 20 },
    );
  });
});

function checkDistances(field: readonly Polygon[], settings: HeadlandOptions, made: Headland): void {
  const { swathWidth: w } = settings;
  for (const round of made.rounds) {
    expectWithin(round.distance, (round.number - 0.5) * w, 1e-12);
    for (const [x, y] of along(round.line, 5).filter((_, i) => i % 7 === 0)) {
      const d = depth(field, x, y);
      expectWithin(d, round.distance, TOLERANCE + 1e-9, `round ${round.number} at (${x}, ${y})`);
    }
  }
  for (const [x, y] of spread(field, 120)) {
    const d = depth(field, x, y);
    const inner = settings.rounds * w;
    if (Math.abs(d - inner) > TOLERANCE + SNAP) expect(inAny(made.mainfield, x, y)).toBe(d > inner);
    // deeper than a round: inside an odd number of its rings
    for (let i = 1; i <= settings.rounds; i++) {
      const level = (i - 0.5) * w;
      if (Math.abs(d - level) < TOLERANCE + SNAP) continue;
      const rings = made.rounds.filter((round) => round.number === i).map((round) => round.line);
      const around = rings.filter((ring) => inAny([{ exterior: ring, holes: [] }], x, y)).length;
      expect(around % 2 === 1).toBe(d > level);
    }
  }
}

// start vertex, winding, a duplicate and a collinear point
function disturbed(ring: readonly Point[], turn: number): Point[] {
  const k = turn % ring.length;
  const turned = [...ring.slice(k), ...ring.slice(0, k)];
  const [ax, ay] = turned[0]!;
  const [bx, by] = turned[1]!;
  const out: Point[] = [turned[0]!, turned[0]!, [(ax + bx) / 2, (ay + by) / 2], ...turned.slice(1)];
  return turn % 2 === 0 ? out : out.reverse();
}

// radius of the circle that a line's tightest bend over about a metre would make
function tightest(ring: readonly Point[]): number {
  const points = along(ring, 0.25);
  let least = Number.POSITIVE_INFINITY;
  const n = points.length;
  for (let i = 0; i < n; i++) {
    let before = 0;
    let j = i;
    while (before < 1 && j > i - n) {
      const p = points[(j + n) % n]!;
      const q = points[(j - 1 + 2 * n) % n]!;
      before += Math.hypot(p[0] - q[0], p[1] - q[1]);
      j--;
    }
    let after = 0;
    let k = i;
    while (after < 1 && k < i + n) {
      const p = points[k % n]!;
      const q = points[(k + 1) % n]!;
      after += Math.hypot(p[0] - q[0], p[1] - q[1]);
      k++;
    }
    const a = points[(j + 2 * n) % n]!;
    const b = points[i]!;
    const c = points[k % n]!;
    const cross = (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]);
    const area = Math.abs(cross) / 2;
    if (area < 1e-9) continue;
    const radius =
      (Math.hypot(b[0] - a[0], b[1] - a[1]) *
        Math.hypot(c[0] - b[0], c[1] - b[1]) *
        Math.hypot(c[0] - a[0], c[1] - a[1])) /
      (4 * area);
    least = Math.min(least, radius);
  }
  return least;
}
