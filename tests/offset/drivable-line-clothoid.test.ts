import { describe, expect, test } from "vitest";
import type { Line, Point } from "../../src/geometry/index.js";
import { bendFor, clothoidEnd } from "../../src/offset/drivable-line-clothoid.js";
import { drivableLine } from "../../src/offset/index.js";
import { expectWithin, MM } from "../helpers/within.js";
import { curvatures, farthestAlong, wave } from "./drivable-line-oracle.js";

const FINE = 1e-6;
const WINDOW = 0.5;
const STEP = 0.1;

/** Curvature and its rate as read from the points alone. */
function readings(line: Line): { curvature: number; rate: number } {
  const measured = curvatures(line, WINDOW, STEP);
  const lag = 5;
  let rate = 0;
  for (let i = lag; i < measured.length; i++) {
    rate = Math.max(rate, Math.abs(measured[i]! - measured[i - lag]!) / (lag * STEP));
  }
  return { curvature: Math.max(...measured.map(Math.abs)), rate };
}

function judge(line: Line, radius: number, length: number, closed = false): ReturnType<typeof drivableLine> {
  const made = drivableLine(line, { minimumRadius: radius, clothoid: { length }, tolerance: FINE, closed });
  expect(made.drivable).toBe(true);
  const loop = closed ? [...made.points, ...made.points.slice(1, 60)] : made.points;
  const { curvature, rate } = readings(loop);
  const noise = 8 * (FINE / (WINDOW * WINDOW));
  expect(curvature).toBeLessThanOrEqual((1 + 1e-3) / radius + noise);
  expect(rate).toBeLessThanOrEqual(1.02 / (radius * length) + noise / WINDOW);
  const given = closed ? [...line, line[0]!] : line;
  expectWithin(made.report.largestGap, farthestAlong(given, made.points), MM, "gap");
  expectWithin(made.report.largestOverlap, farthestAlong(made.points, given), MM, "overlap");
  return made;
}

describe("the clothoid", () => {
  test("ends where the Fresnel integrals say", () => {
    // C and S at 0.5, 1 and 1.1 (Abramowitz & Stegun 1964, table 7.7, from memory), arguments of turn pi u² / 2
    for (const [u, c, s] of [
      [0.5, 0.4923442, 0.0647324],
      [1, 0.7798934, 0.4382591],
      [1.1, 0.7638067, 0.5364979],
    ] as const) {
      const [x, y] = clothoidEnd(u, (Math.PI * u * u) / 2);
      expectWithin(x, c, 6e-8, "C");
      expectWithin(y, s, 6e-8, "S");
    }
  });

  test("agrees with Simpson's rule", () => {
    for (const turn of [0.01, 0.3, 1, 2]) {
      const n = 2000;
      let x = 0;
      let y = 0;
      for (let i = 0; i <= n; i++) {
        const weight = i === 0 || i === n ? 1 : i % 2 === 1 ? 4 : 2;
        const angle = turn * (i / n) ** 2;
        x += (weight * Math.cos(angle)) / (3 * n);
        y += (weight * Math.sin(angle)) / (3 * n);
      }
      const [along, across] = clothoidEnd(5, turn);
      expectWithin(along, 5 * x, 1e-12, "along");
      expectWithin(across, 5 * y, 1e-12, "across");
    }
  });

  test("shifts an arc of 8 m by 8.3 cm in 4 m", () => {
    // length² / (24 radius) to leading order
    expectWithin(bendFor(1, 8, 4).shift, 16 / (24 * 8), 2e-4, "shift");
    const made = judge(
      [
        [0, 0],
        [0, 100],
        [100, 100],
      ],
      8,
      4,
    );
    expectWithin(made.report.largestGap, (8 + 16 / 192) * Math.SQRT2 - 8, 3e-4, "gap at a right angle");
    expectWithin(made.report.maximumCurvature, 1 / 8, 1e-12, "curvature");
    expectWithin(made.report.maximumCurvatureRate, 1 / 32, 1e-12, "rate");
  });

  test("may be asked for by its rate", () => {
    const line: Point[] = [
      [0, 0],
      [0, 100],
      [100, 100],
    ];
    const byRate = drivableLine(line, { minimumRadius: 8, clothoid: { curvatureRate: 1 / 32 } });
    expect(byRate).toEqual(drivableLine(line, { minimumRadius: 8, clothoid: { length: 4 } }));
  });
});

describe("lines with steady steering", () => {
  test("a slight bend needs no arc", () => {
    const made = judge(
      [
        [0, 0],
        [50, 0],
        [100, 4],
      ],
      8,
      4,
    );
    expect(made.report.maximumCurvature).toBeLessThan(0.06);
  });

  test.for([3, 6, 9])("bends to both sides, transitions of %d m", (length) => {
    judge(
      [
        [0, 0],
        [60, 0],
        [90, 60],
        [170, 60],
        [170, 120],
      ],
      6,
      length,
    );
  });

  test("a sampled arc stays, but for the shift", () => {
    const arc = Array.from({ length: 120 }, (_, i): Point => [12 * Math.sin(i / 60), 12 - 12 * Math.cos(i / 60)]);
    const first: Point = [-40, 0];
    const last = arc[arc.length - 1]!;
    const turn = 119 / 60;
    const line = [first, ...arc, [last[0] + 40 * Math.cos(turn), last[1] + 40 * Math.sin(turn)] as Point];
    const made = judge(line, 8, 4);
    expectWithin(made.report.largestGap, 16 / (24 * 12), 4 * MM, "shift");
  });

  test("a wave from end to end, its ends and headings kept", () => {
    const line = wave(0.5, 10, 0, 90);
    const made = judge(line, 6, 3);
    const n = made.points.length;
    for (const [made0, made1, given0, given1] of [
      [made.points[0]!, made.points[1]!, line[0]!, line[1]!],
      [made.points[n - 1]!, made.points[n - 2]!, line[line.length - 1]!, line[line.length - 2]!],
    ] as const) {
      expectWithin(Math.hypot(made0[0] - given0[0], made0[1] - given0[1]), 0, 1e-9, "end");
      const before = Math.atan2(given1[1] - given0[1], given1[0] - given0[0]);
      const after = Math.atan2(made1[1] - made0[1], made1[0] - made0[0]);
      expectWithin(after, before, 2e-3, "heading, radians");
    }
  });

  test("a lane shift gets the straight it needs between its bends", () => {
    judge(
      [
        [0, 0],
        [50, 0],
        [52, 4],
        [100, 4],
      ],
      6,
      3,
    );
  });

  test("a closed round, and one with no straight at all", () => {
    judge(
      [
        [0, 0],
        [60, 0],
        [60, 40],
        [0, 40],
      ],
      6,
      3,
      true,
    );
    const ring = Array.from({ length: 90 }, (_, i): Point => {
      const angle = (i * Math.PI) / 45;
      const radius = 20 + Math.cos(3 * angle);
      return [radius * Math.cos(angle), radius * Math.sin(angle)];
    });
    judge(ring, 6, 3, true);
  });

  test("where there is no room it says so", () => {
    const made = drivableLine(
      [
        [0, 0],
        [50, 0],
        [50, 12],
        [54, 12],
      ],
      { minimumRadius: 6, clothoid: { length: 3 } },
    );
    expect(made.drivable).toBe(false);
    expect(made.report.tight.length + made.report.shortened.length).toBeGreaterThan(0);
  });
});
