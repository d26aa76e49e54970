import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { LineIndex, type NearestPoint, nearestOnLine, type Point } from "../../src/geometry/index.js";
import { expectCode, expectWithin } from "../helpers/within.js";
import { PLACES, placed, random, spiral, starShaped } from "./shapes.js";

// P-numbers: the properties that the project keeps to
// whole nanometres: lengths whose squares underflow count as none
const c = fc.double({ min: -100, max: 100, noNaN: true }).map((v) => Math.round(v * 1e9) / 1e9);
const point = fc.tuple(c, c);
const coarse = fc.tuple(fc.integer({ min: -5, max: 5 }), fc.integer({ min: -5, max: 5 }));
const line = fc
  .oneof(fc.array(point, { minLength: 2, maxLength: 30 }), fc.array(coarse, { minLength: 2, maxLength: 30 }))
  .filter((points) => points.some((p) => p[0] !== points[0]![0] || p[1] !== points[0]![1]));

function compare(got: NearestPoint, expected: NearestPoint): void {
  expectWithin(got.distance, expected.distance, 1e-12 * (1 + expected.distance), "distance");
  if (got.segment === expected.segment) {
    expectWithin(got.signedDistance, expected.signedDistance, 1e-12 * (1 + expected.distance), "signed distance");
    expectWithin(got.station, expected.station, 1e-9, "station");
  }
}

describe("nearestOnLine", () => {
  it("gives foot, side, segment, fraction and station", () => {
    const bent: Point[] = [
      [0, 0],
      [0, 100],
      [80, 100],
    ];
    expect(nearestOnLine(bent, [3, 40])).toEqual({
      distance: 3,
      signedDistance: 3,
      x: 0,
      y: 40,
      segment: 0,
      fraction: 0.4,
      station: 40,
    });
    expect(nearestOnLine(bent, [20, 103])).toMatchObject({ signedDistance: -3, segment: 1, station: 120 });
  });

  it("gives the outer side beyond a corner, on both sides of the ray that bisects it", () => {
    const left: Point[] = [
      [0, 0],
      [10, 0],
      [10, 10],
    ];
    // a left turn: beyond the corner is right, also where only one of the two lines has it on its right
    for (const p of [
      [12, -1],
      [11, -3],
      [13, -0.1],
      [10.1, -5],
    ] as Point[]) {
      const d = Math.hypot(p[0] - 10, p[1]);
      expectWithin(nearestOnLine(left, p).signedDistance, d, 1e-14);
      expectWithin(
        nearestOnLine(
          left.map(([x, y]): Point => [x, -y]),
          [p[0], -p[1]],
        ).signedDistance,
        -d,
        1e-14,
      );
    }
    // a hairpin of 170 degrees: straight ahead of its tip, one segment has the point on its left
    const hairpin: Point[] = [
      [0, 0],
      [100, 0],
      [0, 17],
    ];
    expect(nearestOnLine(hairpin, [101, 0.5]).signedDistance).toBeGreaterThan(0);
    expect(nearestOnLine(hairpin, [101, -0.5]).signedDistance).toBeGreaterThan(0);
  });

  it("passes over duplicate points when it decides the side at a corner", () => {
    const twice: Point[] = [
      [0, 0],
      [10, 0],
      [10, 0],
      [10, 0],
      [10, 10],
    ];
    expect(nearestOnLine(twice, [12, -1]).signedDistance).toBeGreaterThan(0);
    expect(new LineIndex(twice).nearest(12, -1).signedDistance).toBeGreaterThan(0);
  });

  it("gives the lowest of equally near segments", () => {
    const vee: Point[] = [
      [-10, 10],
      [0, 0],
      [10, 10],
    ];
    expect(nearestOnLine(vee, [0, 10]).segment).toBe(0);
    expect(nearestOnLine(vee, [0, -1])).toMatchObject({ segment: 0, fraction: 1 });
    expect(new LineIndex(vee).nearest(0, 10).segment).toBe(0);
  });

  it("takes the extension of an end segment beyond an open end, and the neighbour there when closed", () => {
    const square: Point[] = [
      [0, 0],
      [10, 0],
      [10, 10],
      [0, 10],
    ];
    expect(nearestOnLine(square, [-3, 4]).signedDistance).toBeLessThan(0);
    expect(nearestOnLine(square, [-3, 4], { closed: true })).toMatchObject({
      signedDistance: 3,
      segment: 3,
      station: 36,
    });
    expect(nearestOnLine(square, [-1, -2], { closed: true }).signedDistance).toBeGreaterThan(0);
    expect(
      nearestOnLine(
        [
          [0, 0],
          [0, 10],
        ],
        [0, 12],
      ).signedDistance,
    ).toBe(2);
  });

  it("throws for too few points, points that are not finite, and a line of no length", () => {
    expectCode(() => nearestOnLine([[0, 0]], [0, 0]), "too-few-points");
    expectCode(
      () =>
        nearestOnLine(
          [
            [1, 1],
            [1, 1],
          ],
          [0, 0],
        ),
      "degenerate",
    );
    expect(
      expectCode(
        () =>
          nearestOnLine(
            [
              [0, 0],
              [Number.NaN, 1],
            ],
            [0, 0],
          ),
        "not-finite",
      ).index,
    ).toBe(1);
    expectCode(
      () =>
        nearestOnLine(
          [
            [0, 0],
            [1, 1],
          ],
          [0, Number.POSITIVE_INFINITY],
        ),
      "not-finite",
    );
    expectCode(
      () =>
        new LineIndex([
          [1, 1],
          [1, 1],
          [1, 1],
        ]),
      "degenerate",
    );
  });

  it("changes its sign with the direction of the line (P6)", () => {
    fc.assert(
      fc.property(line, point, fc.boolean(), (points, p, closed) => {
        const there = nearestOnLine(points, p, { closed });
        const back = nearestOnLine([...points].reverse(), p, { closed });
        expectWithin(back.distance, there.distance, 1e-12 * 200);
        // of a line that doubles back on itself, each way finds its own first segment
        const count = points.length - 1;
        const same = back.segment === (there.segment === count ? count : count - 1 - there.segment);
        const inside = there.fraction > 0 && there.fraction < 1;
        if (same && inside) expectWithin(back.signedDistance, -there.signedDistance, 1e-12 * 200);
      }),
    );
  });

  it("mirrors with its sign changed, and keeps it under turns and moves (P9)", () => {
    fc.assert(
      fc.property(line, point, fc.double({ min: 0, max: 360, noNaN: true }), (points, p, degrees) => {
        const plain = nearestOnLine(points, p);
        const mirror = nearestOnLine(
          points.map(([x, y]): Point => [-x, y]),
          [-p[0], p[1]],
        );
        expectWithin(mirror.distance, plain.distance, 1e-12 * 200);
        if (mirror.segment === plain.segment && plain.fraction > 0 && plain.fraction < 1) {
          expectWithin(mirror.signedDistance, -plain.signedDistance, 1e-12 * 200);
        }
        const moved = nearestOnLine(placed(points, degrees, 50, -20), placed([p], degrees, 50, -20)[0]!);
        expectWithin(moved.distance, plain.distance, 1e-9);
      }),
    );
  });

  it("is the perpendicular distance inside a segment, and no sampled point of the line is nearer (P7)", () => {
    fc.assert(
      fc.property(line, point, (points, p) => {
        const nearest = nearestOnLine(points, p);
        expectWithin(Math.hypot(p[0] - nearest.x, p[1] - nearest.y), nearest.distance, 1e-9);
        for (let i = 1; i < points.length; i++) {
          for (let t = 0; t <= 1; t += 0.125) {
            const x = points[i - 1]![0] + t * (points[i]![0] - points[i - 1]![0]);
            const y = points[i - 1]![1] + t * (points[i]![1] - points[i - 1]![1]);
            expect(Math.hypot(p[0] - x, p[1] - y)).toBeGreaterThanOrEqual(nearest.distance - 1e-9);
          }
        }
      }),
    );
  });

  it("changes by no more than the step between two points (P11)", () => {
    fc.assert(
      fc.property(line, point, point, (points, p, q) => {
        const change = Math.abs(nearestOnLine(points, p).distance - nearestOnLine(points, q).distance);
        expect(change).toBeLessThanOrEqual(Math.hypot(p[0] - q[0], p[1] - q[1]) + 1e-9);
      }),
    );
  });

  it("gives every point near a simple closed line the sign of inside or outside", () => {
    const ring = starShaped(60, (i) => 20 + 15 * Math.sin(i * 2.4));
    const next = random(5);
    for (let k = 0; k < 3000; k++) {
      const p: Point = [next() * 100 - 50, next() * 100 - 50];
      const inside = windingByAngle(ring, p);
      // counter-clockwise: inside is left, negative
      expect(nearestOnLine(ring, p, { closed: true }).signedDistance < 0, String(p)).toBe(inside);
    }
  });
});

describe("LineIndex", () => {
  it("finds what brute force finds, for any line and any order of queries", () => {
    fc.assert(
      fc.property(
        line,
        fc.array(fc.oneof(point, coarse), { minLength: 1, maxLength: 20 }),
        fc.boolean(),
        (points, queries, closed) => {
          const index = new LineIndex(points, { closed });
          for (const p of queries) {
            const got = index.nearest(p[0], p[1]);
            const expected = nearestOnLine(points, p, { closed });
            expect(got.segment).toBe(expected.segment);
            compare(got, expected);
          }
        },
      ),
      { numRuns: 400 },
    );
  });

  const lines: Record<string, () => Point[]> = {
    "a wandering track of 3000 m": () => wander(3000, 1, 11),
    "a spiral": () => spiral(1500, 8),
    "a recorded field, to and fro": () => toAndFro(30, 100),
    "segments from a micrometre to a kilometre": () => uneven(1500),
    "a machine that stood still for most of the time": () => standstill(3000),
    "a star of long thin spikes": () => starShaped(3000, (i) => (i % 2 === 0 ? 50 : 100)),
  };
  const cases = Object.keys(lines).flatMap((name) => PLACES.map((place) => ({ name, place })));
  it.for(cases)(
    "is exact on $name, $place.name, through steps, halts and jumps of up to 10 km (P10)",
    ({ name, place }) => {
      const track = placed(lines[name]!(), place.degrees, place.east, place.north);
      const index = new LineIndex(track);
      const next = random(track.length);
      let [x, y] = track[0]!;
      for (let k = 0; k < 700; k++) {
        const kind = next();
        const reach = kind < 0.02 ? 1e4 : kind < 0.05 ? 100 : kind < 0.1 ? 0 : kind < 0.4 ? 3 : 0.2;
        x += (next() * 2 - 1) * reach;
        y += (next() * 2 - 1) * reach;
        if (kind > 0.98) [x, y] = track[Math.floor(next() * track.length)]!;
        compare(index.nearest(x, y), nearestOnLine(track, [x, y]));
      }
    },
  );

  it("is not caught by a nearer part of the line that comes up beside it, as a walk along the line would be", () => {
    // two passes 6 m apart that the line joins far away: driving over, the nearest jumps by 1000 segments
    const there = Array.from({ length: 1001 }, (_, i): Point => [0, i]);
    const back = Array.from({ length: 1001 }, (_, i): Point => [6, 1000 - i]);
    const index = new LineIndex([...there, ...back]);
    for (let k = 0; k <= 600; k++) {
      const x = k / 100;
      const nearest = index.nearest(x, 500.5);
      expectWithin(nearest.distance, Math.min(x, 6 - x), 1e-12);
      if (x < 2.99) expect(nearest.segment).toBe(500);
      if (x > 3.01) expect(nearest.segment).toBe(1500);
    }
  });

  it("stays exact far from the line", () => {
    const index = new LineIndex(wander(2000, 1, 3));
    const track = wander(2000, 1, 3);
    for (const p of [
      [1e5, 0],
      [1e5, 1],
      [-1e7, 3e6],
      [1e9, 1e9],
      [0, 0],
    ] as Point[]) {
      compare(index.nearest(p[0], p[1]), nearestOnLine(track, p));
    }
  });

  it("gives NaN and segment -1 for what is not finite, and recovers", () => {
    const index = new LineIndex([
      [0, 0],
      [0, 10],
    ]);
    for (const [x, y] of [
      [Number.NaN, 0],
      [0, Number.POSITIVE_INFINITY],
      [Number.NEGATIVE_INFINITY, Number.NaN],
    ] as Point[]) {
      expect(index.nearest(x, y)).toEqual({
        distance: Number.NaN,
        signedDistance: Number.NaN,
        x: Number.NaN,
        y: Number.NaN,
        segment: -1,
        fraction: Number.NaN,
        station: Number.NaN,
      });
    }
    expect(index.nearest(3, 4).signedDistance).toBe(3);
  });

  it("owns one result object, copies its line, and knows its length", () => {
    const points: [number, number][] = [
      [0, 0],
      [0, 10],
      [10, 10],
    ];
    const index = new LineIndex(points, { closed: true });
    const first = index.nearest(1, 5);
    points[1]![1] = 99;
    expect(index.nearest(2, 5)).toBe(first);
    expect(first.distance).toBe(2);
    expectWithin(index.length, 20 + Math.hypot(10, 10), 1e-12);
    expect(index.closed).toBe(true);
  });
});

function wander(count: number, step: number, seed: number): Point[] {
  const next = random(seed);
  let x = 0;
  let y = 0;
  let heading = 0;
  return Array.from({ length: count }, (): Point => {
    heading = 0.999 * heading + (next() - 0.5) * 0.2;
    x += step * Math.cos(heading);
    y += step * Math.sin(heading);
    return [x, y];
  });
}

function toAndFro(passes: number, perPass: number): Point[] {
  const points: Point[] = [];
  for (let k = 0; k < passes; k++) {
    for (let i = 0; i < perPass; i++) points.push([k * 6, k % 2 === 0 ? i : perPass - 1 - i]);
  }
  return points;
}

function uneven(count: number): Point[] {
  const next = random(9);
  let x = 0;
  let y = 0;
  return Array.from({ length: count }, (): Point => {
    const step = 10 ** (next() * 9 - 6);
    x += step * (next() - 0.3);
    y += step * (next() - 0.5);
    return [x, y];
  });
}

function standstill(count: number): Point[] {
  const next = random(4);
  let x = 0;
  return Array.from({ length: count }, (_, i): Point => {
    if (i % 10 === 0 && i > count * 0.9) x += 5;
    const noisy: Point = [x + next() * 0.02, next() * 0.02];
    return i % 7 === 3 ? [x, 0] : noisy;
  });
}

// an oracle of another kind: the angle that the ring is seen under
function windingByAngle(ring: readonly Point[], p: Point): boolean {
  let sum = 0;
  for (let i = 0; i < ring.length; i++) {
    const a = ring[i]!;
    const b = ring[(i + 1) % ring.length]!;
    const ux = a[0] - p[0];
    const uy = a[1] - p[1];
    const vx = b[0] - p[0];
    const vy = b[1] - p[1];
    sum += Math.atan2(ux * vy - uy * vx, ux * vx + uy * vy);
  }
  return Math.abs(sum) > Math.PI;
}
