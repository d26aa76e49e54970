import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { FeeringError } from "../../src/errors/index.js";
import { checkPolygon, nearestOnLine } from "../../src/geometry/index.js";
import type { Point } from "../../src/geometry/types.js";
import { areaDeviation, boundaryFromLap, measurePolygon } from "../../src/survey/index.js";
import { expectCode, expectWithin } from "../helpers/within.js";
import { drive, FIELDS, gaussian, lapOf, place } from "./laps.js";

/** Way from the first corner to the second, or from the last but one to the last: unit vector. */
function along(corners: readonly Point[], end: "start" | "end"): Point {
  const [a, b] =
    end === "start" ? [corners[0]!, corners[1]!] : [corners[corners.length - 2]!, corners[corners.length - 1]!];
  const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
  return [(b[0] - a[0]) / length, (b[1] - a[1]) / length];
}

const beyond = (p: Point, direction: Point, metres: number): Point => [
  p[0] + direction[0] * metres,
  p[1] + direction[1] * metres,
];

/** Laps of a field: closed exactly, driven on past the start, short of it, and with a way in from inside or outside. */
const WAYS: Record<string, (lap: readonly Point[]) => Point[]> = {
  exact: (lap) => [...lap],
  "overshoot of 15 m": (lap) => [...lap, beyond(lap[0]!, along(lap, "start"), 15)],
  "3 m short": (lap) => [...lap.slice(0, -1), beyond(lap[lap.length - 1]!, along(lap, "end"), -3)],
  "way in from the left": (lap) => {
    const [ux, uy] = along(lap, "start");
    return [beyond(lap[0]!, [-uy, ux], 12), ...lap, beyond(lap[0]!, [ux, uy], 2)];
  },
  "way in from the right": (lap) => {
    const [ux, uy] = along(lap, "start");
    return [beyond(lap[0]!, [uy, -ux], 12), ...lap, beyond(lap[0]!, [ux, uy], 2)];
  },
};

// the circle's edges are 2.8 m: a start among them is no place to stop 3 m short on a straight edge
const shapes = FIELDS.filter((field) => field.name !== "circle");

describe("laps of fields of known area", () => {
  const cases = shapes.flatMap((field) =>
    Object.keys(WAYS).flatMap((way) => [false, true].map((backwards) => ({ ...field, way, backwards }))),
  );
  test.for(cases)("$name, $way, backwards $backwards, without noise: exact", ({ corners, area, way, backwards }) => {
    const track = place(drive(WAYS[way]!(lapOf(corners, 0.3, backwards)), { step: 0.5 }), 33, 1000, -500);
    const lap = boundaryFromLap(track);
    expectWithin(measurePolygon(lap.polygon).area, area, 1e-6, "m2");
    expect(lap.removed).toEqual({ standstill: 0, spikes: 0, loops: 0, simplified: 0 });
    expectWithin(lap.inRun, way.startsWith("way in") ? 12 : 0, 1e-6, "way in, m");
    expectWithin(lap.overshoot, way.startsWith("way in") ? 2 : way.startsWith("over") ? 15 : 0, 1e-6, "overshoot, m");
    expectWithin(lap.gap, way === "3 m short" ? 3 : 0, 1e-6, "gap, m");
    expect(lap.closedBy).toBe(way === "3 m short" ? "gap" : "crossing");
  });

  test.for(cases)("$name, $way, backwards $backwards, noise of 2 cm and two stops of 10 minutes", (field) => {
    const corners = WAYS[field.way]!(lapOf(field.corners, 0.3, field.backwards));
    const track = place(
      drive(corners, { noise: 0.02, step: 0.4, stops: [0, 70], seed: field.name.length }),
      121,
      4e5,
      5.8e6,
    );
    const lap = boundaryFromLap(track);
    // 5 standard deviations of the area for independent errors, and a bump of the noise's size over a way in's turn
    const bound = 5 * areaDeviation(lap.polygon.exterior, 0.02) + 0.5;
    expectWithin(measurePolygon(lap.polygon).area, field.area, bound, "m2");
    expect(lap.removed.standstill).toBeGreaterThan(11_000);
    expect(lap.polygon.holes).toEqual([]);
    expect(lap.longestStep).toBeLessThan(0.6);
  });

  test("a circle of 80 m, closed on the bend with 1 m missing", () => {
    const field = FIELDS.find(({ name }) => name === "circle")!;
    const corners = lapOf(field.corners, 0, false);
    const lap = boundaryFromLap(drive(corners.slice(0, -2), { noise: 0.02, seed: 4 }));
    expect(lap.closedBy).toBe("gap");
    // the chord of 2.8 m across the gap cuts off less than 0.03 m2
    expectWithin(
      measurePolygon(lap.polygon).area,
      field.area,
      5 * areaDeviation(lap.polygon.exterior, 0.02) + 0.5,
      "m2",
    );
  });

  test("corners alone, without fixes between, do", () => {
    for (const { corners, area } of FIELDS) {
      expectWithin(measurePolygon(boundaryFromLap([...corners, corners[0]!]).polygon).area, area, 1e-9 * area, "m2");
    }
    const crossing = boundaryFromLap([
      [0, -6],
      [0, 0],
      [200, 0],
      [200, 100],
      [0, 100],
      [0, -3],
    ]);
    expect(crossing).toMatchObject({ closedBy: "crossing", gap: 0, closing: [0, 0], inRun: 6, overshoot: 3 });
  });

  test("the same lap turned and moved gives the same area and report", () => {
    const track = drive(WAYS["way in from the left"]!(lapOf(FIELDS[1]!.corners, 0.3, false)), {
      noise: 0.02,
      stops: [50],
      stopFixes: 500,
    });
    const plain = boundaryFromLap(track);
    for (const degrees of [90, 180, 211.7]) {
      const moved = boundaryFromLap(place(track, degrees, -3e4, 7e4));
      expectWithin(measurePolygon(moved.polygon).area, measurePolygon(plain.polygon).area, 1e-3, "m2");
      expect(moved.removed).toEqual(plain.removed);
      expectWithin(moved.inRun, plain.inRun, 1e-6, "m");
    }
  });

  test("simplified to 10 cm it has few points and no area lost", () => {
    const field = FIELDS[1]!;
    const track = drive(lapOf(field.corners, 0.3, false), { noise: 0.02, seed: 3 });
    const full = boundaryFromLap(track);
    const lap = boundaryFromLap(track, { simplify: 0.1 });
    expect(lap.polygon.exterior.length).toBeLessThan(30);
    expect(lap.removed.simplified).toBe(full.polygon.exterior.length - lap.polygon.exterior.length);
    expectWithin(measurePolygon(lap.polygon).area, field.area, 0.1 * 800, "m2");
    for (const p of full.polygon.exterior) {
      expect(nearestOnLine(lap.polygon.exterior, p).distance).toBeLessThanOrEqual(0.1 + 1e-9);
    }
  });
});

describe("what a real lap brings along", () => {
  const corners = FIELDS[0]!.corners;
  const track = drive(lapOf(corners, 0.3, false), { noise: 0.02, seed: 5 });

  test("fixes that jump out, one to five at a time and at both ends, are dropped", () => {
    const spiked = [...track];
    for (const [at, many] of [
      [300, 1],
      [900, 2],
      [1500, 5],
      [0, 2],
      [track.length - 1, 1],
    ] as const) {
      for (let k = 0; k < many; k++) spiked[at + k] = [spiked[at + k]![0] + 40 + k, spiked[at + k]![1] - 30];
    }
    const lap = boundaryFromLap(spiked);
    expect(lap.removed.spikes).toBe(11);
    expectWithin(measurePolygon(lap.polygon).area, 20_000, 3, "m2");
  });

  test("a fix that jumps out of a standstill is dropped too", () => {
    const standing = drive(lapOf(corners, 0.3, false), { noise: 0.02, stops: [80], stopFixes: 2000, seed: 6 });
    standing[900] = [standing[900]![0] + 3, standing[900]![1] + 2];
    expectWithin(measurePolygon(boundaryFromLap(standing).polygon).area, 20_000, 3, "m2");
  });

  test("a jump that does not come back is refused with its fix and its length", () => {
    const jumped = track.map((p, i): Point => (i >= 1000 && i < 1400 ? [p[0] + 20, p[1] + 15] : p));
    const error = expectCode(() => boundaryFromLap(jumped), "out-of-range");
    expect(error.index).toBe(1000);
    expect(error.message).toMatch(/jumps 24\.79 m from fix 999 at/);
    expectWithin((error as unknown as { value: number }).value, 25, 0.5, "m");
    // with the limit raised it goes through, as asked
    expect(boundaryFromLap(jumped, { maximumStep: 50 }).longestStep).toBeGreaterThan(24);
  });

  test("with times a jump of 4 m within a tenth of a second is seen, a dropout of 4 m in 2 s is not one", () => {
    const jumped = track.map((p, i): Point => (i >= 1000 ? [p[0], p[1] + 4] : p));
    const times = track.map((_, i) => i / 10);
    expect(expectCode(() => boundaryFromLap(jumped, { times }), "out-of-range").index).toBe(1000);
    const dropout = [...track.slice(0, 1000), ...track.slice(1016)];
    const gapped = [...times.slice(0, 1000), ...times.slice(1016)];
    const lap = boundaryFromLap(dropout, { times: gapped });
    expectWithin(lap.longestStep, 4.25, 0.1, "m");
    expectWithin(measurePolygon(lap.polygon).area, 20_000, 3, "m2");
  });

  test("turning round in a loop at a corner, and reversing into one, is cut out", () => {
    // straight on past the corner by a radius of 6 m, three quarters of a circle to the right, back across the own way
    const loop: Point[] = Array.from({ length: 19 }, (_, i): Point => {
      const a = ((90 - i * 15) * Math.PI) / 180;
      return [206 + 6 * Math.cos(a), -6 + 6 * Math.sin(a)];
    });
    const turned: Point[] = [[100, 0], ...loop];
    const path = drive([...turned, [200, 100], [0, 100], [0, 0], [100, 0]], { noise: 0.01 });
    const lap = boundaryFromLap(path);
    expect(lap.removed.loops).toBeGreaterThan(50);
    expectWithin(measurePolygon(lap.polygon).area, 20_000, 3, "m2");
    for (const p of lap.polygon.exterior) {
      expect(nearestOnLine([...corners, corners[0]!], p).distance).toBeLessThan(0.2);
    }
    // forward past the corner by 6 m, back again over the same ground, then on
    for (const noise of [0, 0.02]) {
      const reversing = drive(
        [
          [60, 0],
          [206, 0],
          [200, 0],
          [200, 100],
          [0, 100],
          [0, 0],
          [60, 0],
        ],
        { noise, seed: 9 },
      );
      const cut = boundaryFromLap(reversing);
      expectWithin(measurePolygon(cut.polygon).area, 20_000, noise === 0 ? 1e-6 : 3, "m2");
      // noise may leave the spur as wide as itself where it does not cross
      for (const p of noise === 0 ? cut.polygon.exterior : []) {
        expect(nearestOnLine([...corners, corners[0]!], p).distance).toBeLessThan(1e-6);
      }
    }
  });

  test("two laps, and a lap with a round farther in, give the field once", () => {
    const twice = drive([...lapOf(corners, 0.3, false), ...lapOf(corners, 0.3, false).slice(1)], {
      noise: 0.02,
      seed: 8,
    });
    const lap = boundaryFromLap(twice);
    expectWithin(measurePolygon(lap.polygon).area, 20_000, 3, "m2");
    expectWithin(lap.overshoot, 600, 5, "m");
    const inner: Point[] = [
      [60, 8],
      [192, 8],
      [192, 92],
      [8, 92],
      [8, 8],
      [62, 8],
    ];
    const rounds = drive([...lapOf(corners, 0.3, false), ...inner], { noise: 0.02, seed: 8 });
    expectWithin(measurePolygon(boundaryFromLap(rounds).polygon).area, 20_000, 3, "m2");
  });

  test("a way in that crosses the lap, or starts beside its far edge, does not close it", () => {
    // in through a gate in the south edge, across to the north edge, round
    const across = drive(
      [
        [100, -10],
        [100, 90],
        [0, 90],
        [0, 0],
        [200, 0],
        [200, 90],
        [98, 90],
      ],
      { noise: 0.01 },
    );
    const whole = boundaryFromLap(across);
    expectWithin(measurePolygon(whole.polygon).area, 18_000, 3, "m2");
    expectWithin(whole.inRun, 100, 1, "m");
    const beside = drive(
      [
        [100, 97],
        [100, 0],
        [200, 0],
        [200, 100],
        [0, 100],
        [0, 0],
        [101, 0],
      ],
      { noise: 0.01 },
    );
    expectWithin(measurePolygon(boundaryFromLap(beside).polygon).area, 20_000, 3, "m2");
  });

  test("noise of 30 cm on a receiver without RTK, standing 5 minutes, with its radius given", () => {
    const field = FIELDS[2]!;
    const rough = drive(lapOf(field.corners, 0.4, false), {
      noise: 0.3,
      step: 1.5,
      stops: [0, 200],
      stopFixes: 1500,
      seed: 2,
    });
    const lap = boundaryFromLap(rough, { noiseRadius: 1.5 });
    expectWithin(measurePolygon(lap.polygon).area, field.area, 5 * areaDeviation(lap.polygon.exterior, 0.3), "m2");
  });

  test("a standstill that drifts 20 cm in 10 minutes", () => {
    const normal = gaussian(11);
    const drifting: Point[] = [];
    for (let i = 0; i < 6000; i++) drifting.push([60 + (0.2 * i) / 6000 + 0.01 * normal(), 0.02 * normal()]);
    const lap = boundaryFromLap([...drifting, ...drive([[60.2, 0], ...corners.slice(1), corners[0]!, [60, 0]])]);
    expectWithin(measurePolygon(lap.polygon).area, 20_000, 0.2, "m2");
    expect(lap.removed.standstill).toBeGreaterThan(5900);
  });
});

test("any track gives a checked boundary or a typed error, quickly", () => {
  const near = fc.double({ min: -30, max: 30, noNaN: true });
  const walk = fc.array(fc.tuple(near, near), { minLength: 3, maxLength: 40 });
  fc.assert(
    fc.property(walk, fc.constantFrom(0.02, 1, 5), fc.boolean(), (points, gap, closed) => {
      const track = closed ? [...points, points[0]!] : points;
      try {
        const lap = boundaryFromLap(track, { maximumGap: gap, maximumStep: 100, noiseRadius: 0.5, maximumLoop: 40 });
        expect(measurePolygon(lap.polygon).area).toBeGreaterThan(0);
        expect(lap.polygon).toEqual(checkPolygon(lap.polygon, "lap"));
        expect(lap.gap).toBeLessThanOrEqual(gap);
      } catch (error) {
        expect(["out-of-range", "self-crossing", "degenerate", "too-few-points"]).toContain(
          (error as FeeringError).code,
        );
      }
    }),
    { numRuns: 500 },
  );
});

describe("what is no lap is refused", () => {
  const side = drive([
    [0, 0],
    [200, 0],
    [200, 100],
    [0, 100],
  ]);
  test("a track that stops far from its start, with the gap", () => {
    const error = expectCode(() => boundaryFromLap(side), "out-of-range");
    expect(error.index).toBeUndefined();
    expect(error.message).toContain("it ends 100.00 m from its start");
    expect(boundaryFromLap(side, { maximumGap: 101 }).gap).toBe(100);
  });
  test("a line there and back, a straight line, a standstill", () => {
    expectCode(
      () =>
        boundaryFromLap(
          drive([
            [0, 0],
            [200, 0],
            [0, 0],
          ]),
        ),
      "out-of-range",
    );
    expectCode(
      () =>
        boundaryFromLap(
          drive([
            [0, 0],
            [300, 0],
          ]),
        ),
      "out-of-range",
    );
    expectCode(
      () =>
        boundaryFromLap(
          drive(
            [
              [0, 0],
              [0, 0],
            ],
            { noise: 0.02, stops: [0] },
          ),
        ),
      "out-of-range",
    );
    expectCode(
      () =>
        boundaryFromLap([
          [0, 0],
          [0, 0],
          [0, 0],
        ]),
      "out-of-range",
    );
  });
  test("a figure of eight, wherever it starts", () => {
    const eight: Point[] = [
      [0, 0],
      [100, 100],
      [100, 0],
      [0, 100],
    ];
    for (const share of [0, 0.25, 0.45, 0.55, 0.9]) {
      for (const backwards of [false, true]) {
        const lap = drive(lapOf(eight, share, backwards), { noise: 0.01, seed: 3 });
        const error = expectCode(() => boundaryFromLap(lap), "self-crossing");
        expect(error.message).toMatch(/\(\d+(\.\d+)?, \d+(\.\d+)?\)/);
      }
    }
  });
  test("bad options and fixes are named", () => {
    expect(
      expectCode(
        () =>
          boundaryFromLap([
            [0, 0],
            [1, 0],
            [Number.NaN, 1],
          ]),
        "not-finite",
      ).index,
    ).toBe(2);
    expectCode(
      () =>
        boundaryFromLap([
          [0, 0],
          [1, 0],
        ]),
      "too-few-points",
    );
    expectCode(() => boundaryFromLap(side, { maximumGap: -1 }), "out-of-range");
    expectCode(() => boundaryFromLap(side, { noiseRadius: Number.NaN }), "not-finite");
    expectCode(() => boundaryFromLap(side, { maximumStep: 0 }), "out-of-range");
    expectCode(() => boundaryFromLap(side, { times: [0, 1] }), "out-of-range");
    const back = side.map((_, i) => -i);
    expect(expectCode(() => boundaryFromLap(side, { times: back }), "out-of-range").index).toBe(1);
  });
  test("the track is not changed", () => {
    const track = Object.freeze(
      drive(lapOf(FIELDS[0]!.corners, 0.3, false), { noise: 0.02 }).map((p) => Object.freeze(p)),
    );
    const before = JSON.stringify(track);
    boundaryFromLap(track);
    expect(JSON.stringify(track)).toBe(before);
  });
});
