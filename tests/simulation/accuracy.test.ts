import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Point } from "../../src/geometry/index.js";
import { accuracyReport, errorMeasures, type Track } from "../../src/simulation/index.js";
import { normal } from "../helpers/random.js";
import { expectCode, expectWithin } from "../helpers/within.js";

/** Points along the y axis from one north to another, a second every `speed` metres, off by `error` of north and time. */
function pass(
  from: number,
  to: number,
  { step = 0.5, speed = 2.5, start = 0, error = (_: number): number => 0, east = 0 } = {},
): [time: number, x: number, y: number][] {
  const points: [number, number, number][] = [];
  const sign = Math.sign(to - from);
  for (let s = 0; s <= Math.abs(to - from) + 1e-9; s += step) {
    const y = from + sign * s;
    points.push([start + s / speed, east + error(y), y]);
  }
  return points;
}

function track(...passes: [number, number, number][][]): Track {
  const all = passes.flat();
  return { time: all.map(([t]) => t), x: all.map(([, x]) => x), y: all.map(([, , y]) => y) };
}

const line: Point[] = [
  [0, 0],
  [0, 200],
];

describe("measures of errors", () => {
  it("are those of a list worked out by hand", () => {
    // 1, -2, 3, -4: mean -0.5, squares 30, about the mean 29
    const measures = errorMeasures([1, -2, 3, -4, Number.NaN]);
    expect(measures.points).toBe(4);
    expectWithin(measures.mean, -0.5, 1e-15);
    expectWithin(measures.rms, Math.sqrt(7.5), 1e-15);
    expectWithin(measures.standardDeviation, Math.sqrt(29 / 3), 1e-15);
    expectWithin(measures.percentile95, 3.85, 1e-12);
    expect(measures.maximum).toBe(4);
    expect(errorMeasures([]).rms).toBeNaN();
    expect(errorMeasures([2]).standardDeviation).toBe(0);
  });

  it("stand as they do for a normal distribution: 95 % within 1.96 deviations", () => {
    const draw = normal(11);
    const measures = errorMeasures(Array.from({ length: 100_000 }, () => 0.02 * draw()));
    expectWithin(measures.percentile95 / measures.rms, 1.96, 0.015);
    expectWithin(measures.rms, 0.02, 2e-4);
  });
});

describe("the trap of the nearest recorded point", () => {
  // ASABE Transactions 59(6):1609-1616 (2016): nearest-point and interpolated errors differ by up to 25 cm, half of 0.5 m of spacing
  const recorded: Point[] = Array.from({ length: 401 }, (_, i) => [0, i / 2]);

  it("is not walked into: 2 cm beside a recorded line, midway between its points, is 2 cm", () => {
    const drive = track(pass(0.25, 199.75, { error: () => 0.02 }));
    const report = accuracyReport(drive, [recorded]);
    expectWithin(report.mean, 0.02, 1e-12);
    expectWithin(report.percentile95, 0.02, 1e-12);
    // what the nearest recorded point would have said
    const nearest = Math.min(...recorded.map(([x, y]) => Math.hypot(x - drive.x[10]!, y - drive.y[10]!)));
    expectWithin(nearest, 0.2508, 1e-4);
  });

  it("nor between two passes recorded at other places: a perfect drive has no pass-to-pass error", () => {
    const wave = (y: number): number => 0.3 * Math.sin(y / 30);
    const report = accuracyReport(
      track(pass(0, 200, { error: wave }), pass(199.75, 0.25, { start: 100, error: wave })),
      [line],
    );
    expect(report.passToPass.pairs).toBe(1);
    // linear between points 0.5 m apart: 0.3 / 30² * 0.5² / 8
    expectWithin(report.passToPass.maximum, 0, 1.1e-5);
    expectWithin(report.maximum, 0.3, 1e-3);
  });
});

describe("the report of a drive", () => {
  it("tells an antenna beside its place from a drift: a mean in driving direction, and pass to pass twice of it", () => {
    const report = accuracyReport(
      track(pass(0, 200, { error: () => 0.03 }), pass(200, 0, { start: 100, error: () => -0.03 })),
      [line],
    );
    expectWithin(report.mean, 0, 1e-12);
    expectWithin(report.drivingMean, 0.03, 1e-12);
    expectWithin(report.passToPass.mean, -0.06, 1e-12);
    expectWithin(report.passToPass.percentile95, 0.06, 1e-12);
    expectWithin(report.length, 399, 1.1);
    expect(report.runs.map(({ sameDirection }) => sameDirection)).toEqual([true, false]);
  });

  it("has right positive in the line's own direction, however it is driven and wherever the line runs", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 360, noNaN: true }),
        fc.double({ min: -0.8, max: 0.8, noNaN: true }),
        fc.boolean(),
        (turn, error, back) => {
          const [s, c] = [Math.sin((turn * Math.PI) / 180), Math.cos((turn * Math.PI) / 180)];
          const turned = ([x, y]: readonly [number, number]): Point => [500 + x * c + y * s, -x * s + y * c];
          const straight = back ? pass(150, 50, { error: () => error }) : pass(50, 150, { error: () => error });
          const points = straight.map(([t, x, y]) => [t, ...turned([x, y])] as [number, number, number]);
          const report = accuracyReport(track(points), [line.map(turned)]);
          expectWithin(report.mean, error, 1e-9);
          expectWithin(report.drivingMean, back ? -error : error, 1e-9);
        },
      ),
    );
  });

  it("keeps pass to pass within 15 minutes and long-term beyond an hour apart", () => {
    const errors = [0, 0.01, 0.03, 0.07];
    const starts = [0, 600, 1500, 6000];
    const passes = errors.map((error, i) =>
      i % 2 === 0
        ? pass(0, 200, { start: starts[i]!, error: () => error })
        : pass(200, 0, { start: starts[i]!, error: () => error }),
    );
    const report = accuracyReport(track(...passes), [line]);
    // 0 and 600 s: at every place; 600 and 1500 s: where less than 900 s lie between; 6000 s: against 1500 s
    expect(report.passToPass.pairs).toBe(2);
    expectWithin(report.passToPass.maximum, 0.02, 1e-12);
    expect(report.longTerm.pairs).toBe(1);
    expectWithin(report.longTerm.mean, 0.04, 1e-12);
  });

  it("compares neighbours where a field is driven once", () => {
    const lines = [0, 6, 12].map((x): Point[] => [
      [x, 0],
      [x, 200],
    ]);
    lines[1]!.reverse();
    const drive = track(
      pass(0, 200, { error: () => 0.02 }),
      pass(200, 0, { start: 100, east: 6, error: () => 0.05 }),
      pass(0, 200, { start: 200, east: 12, error: () => -0.01 }),
    );
    const same = accuracyReport(drive, lines);
    expect(same.passToPass.pairs).toBe(0);
    expect(same.passToPass.percentile95).toBeNaN();
    const report = accuracyReport(drive, lines, { compare: "neighbours" });
    expect(report.passToPass.pairs).toBe(2);
    expectWithin(report.passToPass.maximum, 0.06, 1e-12);
    // the middle line is drawn southwards: what lies east of it lies to its left
    expectWithin(report.runs[1]!.mean, -0.05, 1e-12);
  });

  it("leaves out turns, crossings, standstills and the ends", () => {
    const there = pass(-30, 230, { error: (y) => (y < 20 || y > 180 ? 0.5 : 0.01) });
    const across: [number, number, number][] = Array.from({ length: 41 }, (_, i) => [300 + i, -20 + i, 100]);
    const standing: [number, number, number][] = Array.from({ length: 500 }, (_, i) => [400 + i, 0.4, 100]);
    const report = accuracyReport(track(there, across, standing), [line], { trim: 20 });
    expect(report.runs.length).toBe(1);
    expectWithin(report.maximum, 0.01, 1e-12);
  });

  it("finds the deviation of a noisy drive, and root two of it from pass to pass", () => {
    const draw = normal(5);
    const passes = Array.from({ length: 20 }, (_, i) => {
      const error = (): number => 0.01 * draw();
      return i % 2 === 0 ? pass(0, 200, { start: 100 * i, error }) : pass(200, 0, { start: 100 * i, error });
    });
    const report = accuracyReport(track(...passes), [line], { passToPassTime: 300 });
    expectWithin(report.standardDeviation, 0.01, 3e-4);
    // points of the later pass at the earlier one's own stations: nothing is averaged
    expectWithin(report.passToPass.rms, 0.01 * Math.SQRT2, 5e-4);
  });

  it("has nothing to say of nothing", () => {
    const report = accuracyReport(track(), [line]);
    expect(report).toMatchObject({ points: 0, length: 0, runs: [] });
    expect(report.rms).toBeNaN();
    expect(accuracyReport(track(pass(0, 200)), []).points).toBe(0);
    expectCode(() => accuracyReport({ time: [1], x: [], y: [1] }, [line]), "out-of-range");
    expectCode(() => accuracyReport(track(), [[[0, 0]]]), "too-few-points");
    expectCode(() => accuracyReport(track(), [line], { trim: -1 }), "out-of-range");
    expectCode(() => accuracyReport(track(), [line], { compare: "all" as never }), "out-of-range");
  });
});
