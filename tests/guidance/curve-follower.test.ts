import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { nearestOnLine, pathLength, type Point, type Polygon } from "../../src/geometry/index.js";
import {
  closedLine,
  curvedLine,
  guidancePattern,
  highestPass,
  nearestPass,
  nudgePattern,
  passesOfField,
  PassFollower,
  passLine,
  renumberPattern,
  shiftPattern,
  shiftPatternTo,
  spiralLine,
  whyNoPass,
  type FollowerSnapshot,
} from "../../src/guidance/index.js";
import { expectAngleWithin, expectCode, expectWithin } from "../helpers/within.js";
import { oracle, random, winding } from "./curves.js";

const box = (minX: number, minY: number, maxX: number, maxY: number): Polygon => ({
  exterior: [
    [minX, minY],
    [maxX, minY],
    [maxX, maxY],
    [minX, maxY],
  ],
  holes: [],
});
const arcPoints = (radius: number, step: (i: number) => number, count: number, sign = 1): Point[] => {
  const points: Point[] = [];
  let angle = 0;
  for (let i = 0; i < count; i++) {
    points.push([sign * (radius - radius * Math.cos(angle)), radius * Math.sin(angle)]);
    angle += step(i);
  }
  return points;
};

describe("curvature", () => {
  test("on points of a circle, evenly spaced or not, is the circle's, and that of its parallel on every pass", () => {
    const draw = random(8);
    const steps: ((i: number) => number)[] = [() => 0.01, () => 0.12, () => 0.005 + 0.05 * draw()];
    for (const step of steps) {
      for (const sign of [1, -1]) {
        const line = curvedLine(arcPoints(40, step, 30, sign));
        const follower = new PassFollower(guidancePattern(line, { swathWidth: 6 }));
        const [x, y] = line.points[14]!;
        for (const pass of [-3, 0, 3]) {
          follower.hold(pass);
          // a right turn is positive; right passes of a right turn are tighter
          const own = sign / 40;
          const expected = own / (1 - pass * 6 * own);
          // chords are shorter than arcs by angle² / 24
          expectWithin(follower.update(x, y, 0).curvature, expected, 3e-3 * Math.abs(expected), `pass ${pass}`);
        }
      }
    }
  });

  test("is whole up to the ends of a bend, half where it begins, and 0 on straights and extensions", () => {
    const points: Point[] = [];
    for (let y = -100; y < 0; y += 50) points.push([0, y]);
    points.push(...arcPoints(20, () => 0.02, 60));
    const follower = new PassFollower(guidancePattern(curvedLine(points), { swathWidth: 6 }));
    follower.hold(0);
    expect(follower.update(1, -60, 0).curvature).toBe(0);
    expectWithin(follower.update(0, 0, 0).curvature, 0.025, 5e-3);
    expectWithin(follower.update(...points[30]!, 0).curvature, 0.05, 1e-4);
    expectWithin(follower.update(...points[61]!, 0).curvature, 0.05, 1e-3, "at the end");
    expect(follower.update(1, -160, 0).curvature).toBe(0);
  });

  test("a lone corner between long straights is felt within the window alone, and is never without limit", () => {
    const line = curvedLine([
      [0, 0],
      [0, 100],
      [100, 100],
    ]);
    const follower = new PassFollower(guidancePattern(line, { swathWidth: 6 }));
    follower.hold(0);
    expect(follower.update(0, 90, 0).curvature).toBe(0);
    expect(follower.update(0, 99.5, 0).curvature).toBeGreaterThan(0.2);
    follower.hold(1);
    for (const [x, y] of [
      [6, 94],
      [5, 95],
      [6.1, 94.1],
    ] as const) {
      expect(Math.abs(follower.update(x, y, 0).curvature)).toBeLessThanOrEqual(10);
    }
  });
});

describe("look-ahead", () => {
  const corner = curvedLine([
    [0, 0],
    [0, 100],
    [100, 100],
  ]);

  test("goes round an outer corner on the arc of the pass, and turns at an inner one where the pass does", () => {
    const follower = new PassFollower(guidancePattern(corner, { swathWidth: 6 }), { lookAheadDistance: 10 });
    follower.hold(-1);
    // 2 m to the corner, then 8 m of the arc of 6 m radius
    const outer = follower.update(-6, 98, 0);
    expectWithin(outer.aheadX, -6 * Math.cos(8 / 6), 1e-9);
    expectWithin(outer.aheadY, 100 + 6 * Math.sin(8 / 6), 1e-9);
    follower.hold(1);
    const inner = follower.update(6, 90, 0);
    expectWithin(inner.aheadX, 12, 1e-9);
    expectWithin(inner.aheadY, 94, 1e-9);
    // the same backwards along the line
    const back = follower.update(12, 94, 270);
    expectWithin(back.aheadX, 6, 1e-9);
    expectWithin(back.aheadY, 90, 1e-9);
    const out = new Float64Array(2);
    expect(follower.pointAhead(-10, out)).toBe(true);
    expectWithin(out[0]!, 22, 1e-9);
    expect(follower.pointAhead(Number.NaN, out)).toBe(false);
    expect([follower.state.aheadX, follower.state.aheadY]).toEqual([inner.aheadX, inner.aheadY]);
  });

  test("follows a pass whose bend is tighter than its distance, trimmed corners and all", () => {
    // a right bend of 10 m radius; pass 2 lies 24 m to the right, so that its bend is a corner
    const points: Point[] = [[0, -200], ...arcPoints(10, () => 0.05, 32), [210, 10]];
    const pattern = guidancePattern(curvedLine(points), { swathWidth: 12 });
    for (const pass of [2, 3, 5]) {
      const explicit = passLine(pattern, pass)[0]!;
      const follower = new PassFollower(pattern, { lookAheadDistance: 12 });
      follower.hold(pass);
      const length = pathLength(explicit);
      for (let station = 900; station < length - 1100; station += 3.3) {
        const [x, y] = pointAt(explicit, station);
        const state = follower.update(x, y, 20);
        const ahead: Point = [state.aheadX, state.aheadY];
        expectWithin(nearestOnLine(explicit, ahead).distance, 0, 2e-4, `pass ${pass} at ${station}: on the pass`);
        expectWithin(nearestOnLine(explicit, ahead).station - station, 12, 0.12, `pass ${pass} at ${station}: way`);
      }
    }
  });

  test("on any curve and pass lies on the pass, if the pass has a point ahead, and never throws", () => {
    const draw = random(77);
    for (let n = 0; n < 40; n++) {
      const points: Point[] = [[0, 0]];
      let h = 0;
      for (let i = 0; i < 30; i++) {
        h += (draw() - 0.5) * 2;
        const [x, y] = points[points.length - 1]!;
        points.push([x + (2 + 10 * draw()) * Math.sin(h), y + (2 + 10 * draw()) * Math.cos(h)]);
      }
      const pattern = guidancePattern(curvedLine(points), { swathWidth: 5 });
      for (const pass of [-4, -1, 1, 3]) {
        const pieces = passLine(pattern, pass);
        const follower = new PassFollower(pattern, { lookAheadDistance: 6 });
        follower.hold(pass);
        for (const piece of pieces) {
          const length = pathLength(piece);
          for (let station = 1; station + 7 < length && station < 2000; station += length / 9) {
            const [x, y] = pointAt(piece, station);
            const state = follower.update(x, y, headingAt(piece, station));
            if (!state.travelSameDirection || Math.abs(state.crossTrackError) > 1e-3) continue;
            const on = Math.min(...pieces.map((p) => nearestOnLine(p, [state.aheadX, state.aheadY]).distance));
            // beyond what the explicit pass was drawn for there is nothing to compare with
            if (nearestOnLine(points, [state.aheadX, state.aheadY]).distance > 900) continue;
            expectWithin(on, 0, 3e-4, `curve ${n} pass ${pass} at ${x}, ${y}`);
          }
        }
      }
    }
  });
});

describe("ends of a curve", () => {
  const line = curvedLine(winding(100));

  test("are those of the line and its extension; past an end not extended the end's own direction goes on", () => {
    const end = line.points[99]!;
    const before = line.points[98]!;
    const h = Math.atan2(end[0] - before[0], end[1] - before[1]);
    const beyond: Point = [end[0] + 20 * Math.sin(h) + 3 * Math.cos(h), end[1] + 20 * Math.cos(h) - 3 * Math.sin(h)];
    for (const extension of ["both", "a", "b", "none"] as const) {
      const follower = new PassFollower(guidancePattern(line, { swathWidth: 6, extension }));
      follower.hold(0);
      const state = follower.update(beyond[0], beyond[1], (h * 180) / Math.PI);
      expectWithin(state.crossTrackError, 3, 1e-9, extension);
      expectAngleWithin(state.headingError, 0, 1e-9);
      expectWithin(state.distanceAlong, pathLength(line.points) + 20, 1e-6);
      const runsOn = extension === "both" || extension === "b";
      expect(state.onPass).toBe(runsOn);
      expectWithin(runsOn ? -20 : state.distanceToEnd, -20, 1e-6);
      if (runsOn) expect(state.distanceToEnd).toBe(Number.POSITIVE_INFINITY);
    }
  });

  test("stations on a pass are metres of that pass: those of its explicit line", () => {
    for (const pass of [-2, 0, 3]) {
      const pattern = guidancePattern(line, { swathWidth: 6, extension: "none" });
      const [explicit] = passLine(pattern, pass);
      const length = pathLength(explicit!);
      const follower = new PassFollower(pattern);
      follower.hold(pass);
      for (const station of [1, 20, 55, 80]) {
        const state = follower.update(...pointAt(explicit!, station), 0);
        expectWithin(state.distanceAlong, station, 2e-3, `pass ${pass} along`);
        expectWithin(state.distanceToEnd, length - station, 2e-3, `pass ${pass} to the end`);
        expect(state.lineStation).toBeGreaterThan(0);
      }
    }
  });

  test("in a field lie where the pass crosses its edges, obstacles cut out", () => {
    const field: Polygon = { ...box(-200, 10, 200, 90), holes: [box(0, 40, 200, 50).exterior] };
    const pattern = guidancePattern(line, { swathWidth: 6 });
    const follower = new PassFollower(pattern, { field: [field] });
    for (const pass of [0, 2]) {
      follower.hold(pass);
      const explicit = passLine(pattern, pass)[0]!;
      const pieces = passLine(pattern, pass, { within: [field] });
      expect(pieces).toHaveLength(2);
      for (const y of [-30, 25, 45, 70, 99]) {
        const p = explicit[explicit.findIndex((q) => q[1] >= y)]!;
        const state = follower.update(p[0], p[1], 0);
        const at = nearestOnLine(explicit, p).station;
        const starts = pieces.map((piece) => nearestOnLine(explicit, piece[0]!).station - at);
        const ends = pieces.map((piece) => nearestOnLine(explicit, piece[piece.length - 1]!).station - at);
        const i = Math.min(1, ends.filter((e) => e < 0).length);
        expectWithin(state.distanceToEnd, ends[i]!, 5e-3, `pass ${pass} at ${y}: end`);
        if (ends[i]! >= 0) expectWithin(state.distanceToStart, Math.max(0, starts[i]!), 5e-3, `at ${y}: start`);
        expect(state.onPass).toBe(starts[i]! <= 0 && ends[i]! >= 0);
      }
    }
  });
});

describe("following a closed line", () => {
  const square = closedLine(
    [
      [0, 0],
      [0, 100],
      [100, 100],
      [100, 0],
    ],
    { name: "round" },
  );

  test("its station starts anew after a lap, in which outer passes gain a circle and inner ones lose their corners", () => {
    const follower = new PassFollower(guidancePattern(square, { swathWidth: 10 }));
    follower.hold(-1);
    expectWithin(follower.update(-10, 50, 0).distanceAlong, 50, 1e-9);
    expectWithin(follower.update(110, 50, 180).distanceAlong, 250 + 10 * Math.PI, 1e-9);
    // on the arc about the start, just before a lap is done
    const nearly = follower.update(-10 * Math.sin(1.5), -10 * Math.cos(1.5), 0);
    expectWithin(nearly.distanceAlong, 400 + 15 * Math.PI + 15, 1e-9);
    expect(nearly.distanceToEnd).toBe(Number.POSITIVE_INFINITY);
    follower.hold(2);
    expectWithin(follower.update(20, 50, 0).distanceAlong, 50, 1e-9);
    expectWithin(follower.update(50, 80, 90).distanceAlong, 150 - 40, 1e-9);
    // look ahead over the start, on an inner pass
    const over = new PassFollower(guidancePattern(square, { swathWidth: 10 }), { lookAheadDistance: 15 });
    over.hold(2);
    const state = over.update(30, 20, 270);
    expectWithin(state.aheadX, 20, 1e-9);
    expectWithin(state.aheadY, 25, 1e-9);
  });

  test("has as many passes inside as fit, and the innermost is followed in the middle", () => {
    const pattern = guidancePattern(square, { swathWidth: 10 });
    expect(highestPass(pattern)).toBe(4);
    expect(whyNoPass(pattern, 5)).toBe("vanished");
    expect(passLine(pattern, 4)).toHaveLength(1);
    expect(passLine(pattern, 5)).toEqual([]);
    const state = new PassFollower(pattern).update(50, 50, 0);
    expect(state.pass).toBe(4);
    expectWithin(state.crossTrackError, 10, 1e-9);
    expect(passesOfField(pattern, [{ exterior: square.points, holes: [] }])).toMatchObject({
      first: 0,
      last: 4,
      count: 5,
    });
  });

  test("the first pass along the boundary lies whole within it", () => {
    const ring: Point[] = Array.from({ length: 300 }, (_, i): Point => {
      const a = (2 * Math.PI * i) / 300;
      const r = 100 + 20 * Math.sin(5 * a);
      return [r * Math.sin(a), r * Math.cos(a)];
    });
    const pattern = guidancePattern(closedLine(ring), { swathWidth: 6 });
    const pieces = passLine(pattern, 0, { within: [{ exterior: ring, holes: [] }] });
    expect(pieces).toHaveLength(1);
    expectWithin(pathLength(pieces[0]!), pathLength([...ring, ring[0]!]), 1e-9);
    const follower = new PassFollower(pattern, { field: [{ exterior: ring, holes: [] }] });
    follower.hold(1);
    const state = follower.update(...passLine(pattern, 1)[0]![5]!, 90);
    expect(state.onPass).toBe(true);
    expect(state.distanceToEnd).toBe(Number.POSITIVE_INFINITY);
  });
});

describe("patterns over curves", () => {
  const line = curvedLine(winding(300));
  const pattern = guidancePattern(line, { swathWidth: 6 });

  test("a shift moves every pass, and taking it back gives the old state", () => {
    const follower = new PassFollower(pattern);
    follower.hold(3);
    const before = { ...follower.update(25, 120, 10) };
    const moved = { ...follower.usePattern(shiftPattern(pattern, { east: 2, north: 1 })) };
    expect(moved.passHeld).toBe(true);
    const there = { ...follower.update(27, 121, 10) };
    expectWithin(there.crossTrackError, before.crossTrackError, 1e-9);
    expectWithin(there.footX, before.footX + 2, 1e-9);
    expectWithin(there.aheadY, before.aheadY + 1, 1e-9);
    follower.usePattern(pattern);
    expect({ ...follower.update(25, 120, 10) }).toEqual(before);
  });

  test("nudged, its passes are made anew at another distance; moved to a point, the pass runs through it", () => {
    expect(nudgePattern(pattern, 0.4).firstPassOffset).toBe(0.4);
    expect(nudgePattern(pattern, 0.4, { sameDirection: false }).firstPassOffset).toBe(-0.4);
    const point: Point = [33, 140];
    for (const pass of [undefined, 2]) {
      const moved = shiftPatternTo(pattern, point, pass === undefined ? {} : { pass });
      const follower = new PassFollower(moved);
      follower.hold(pass ?? nearestPass(pattern, point));
      expectWithin(follower.update(...point, 0).crossTrackError, 0, 1e-9);
    }
  });

  test("a number can be given to the pass under the machine in mid-field", () => {
    const resumed = renumberPattern(pattern, [40, 100], 17);
    expect(new PassFollower(resumed).update(40, 100, 0).pass).toBe(17);
    expect(nearestPass(resumed, [40, 100])).toBe(17);
  });

  test("the passes over a field are those that sampling the field finds", () => {
    fc.assert(
      fc.property(
        fc.double({ min: -80, max: 80, noNaN: true }),
        fc.double({ min: 20, max: 200, noNaN: true }),
        fc.double({ min: 10, max: 90, noNaN: true }),
        (x, y, size) => {
          const field = box(x, y, x + size, y + size);
          const { first, last, firstWidth, lastWidth } = passesOfField(pattern, [field]);
          let low = Number.POSITIVE_INFINITY;
          let high = Number.NEGATIVE_INFINITY;
          for (let i = 0; i <= 40; i++) {
            for (let j = 0; j <= 40; j++) {
              const p: Point = [x + (size * i) / 40, y + (size * j) / 40];
              const d = oracle(line.points, p);
              low = Math.min(low, d);
              high = Math.max(high, d);
            }
          }
          // the grid of samples may miss up to half its mesh
          const mesh = (size / 40) * 0.75 + 2e-3;
          const left = (first - 0.5) * 6 + (6 - firstWidth);
          const right = (last + 0.5) * 6 - (6 - lastWidth);
          if (first === last) return;
          expect(left).toBeLessThanOrEqual(low + 2e-3);
          expect(left).toBeGreaterThanOrEqual(low - mesh);
          expect(right).toBeGreaterThanOrEqual(high - 2e-3);
          expect(right).toBeLessThanOrEqual(high + mesh);
        },
      ),
      { numRuns: 12 },
    );
  });

  test("a spiral is followed turn after turn as one pass", () => {
    const spiral = spiralLine([0, 0], { startRadius: 100, endRadius: 20, pitch: 10 });
    const follower = new PassFollower(guidancePattern(spiral, { swathWidth: 10, extension: "none" }));
    // one turn and a quarter on, in the east: 100 - 12.5
    const state = follower.update(87.5 + 1, 0, 180);
    expect(state.pass).toBe(0);
    // clockwise, outside is left
    expectWithin(state.crossTrackError, -1, 2e-3);
    expectWithin(state.curvature, 1 / 87.5, 1e-4);
  });
});

describe("an explicit line in place of a pass", () => {
  const pattern = guidancePattern(curvedLine(winding(200)), { swathWidth: 6 });
  const explicit: Point[] = [
    [20, 0],
    [22, 50],
    [20, 100],
  ];

  test("is followed, and the state says so, until a pass is asked for again", () => {
    const follower = new PassFollower(pattern);
    const before = { ...follower.update(20, 25, 0) };
    expect(before.explicit).toBe(false);
    const on = follower.followLine(explicit);
    expect(on.explicit).toBe(true);
    expect(on.pass).toBe(before.pass);
    expectWithin(on.crossTrackError, nearestOnLine(explicit, [20, 25]).signedDistance, 1e-12);
    expect(follower.update(21, 60, 0).explicit).toBe(true);
    expectWithin(
      follower.state.distanceToEnd,
      nearestOnLine(explicit, [20, 100]).station - nearestOnLine(explicit, [21, 60]).station,
      1e-9,
    );
    expect(follower.hold().explicit).toBe(true);
    follower.release();
    expect({ ...follower.update(20, 25, 0) }).toEqual(before);
    follower.followLine(explicit);
    expect(follower.skip(1).explicit).toBe(false);
    follower.followLine(explicit);
    expect(follower.usePattern(pattern).explicit).toBe(false);
  });

  test("is remembered by a snapshot, bit for bit", () => {
    const follower = new PassFollower(pattern);
    follower.update(20, 25, 0);
    follower.followLine([...explicit, [60, 50], [20, 0]]);
    const snapshot = JSON.parse(JSON.stringify(follower.snapshot())) as FollowerSnapshot;
    expect(snapshot.explicit!.closed).toBe(true);
    const other = PassFollower.restore(snapshot, pattern);
    expect({ ...other.state }).toStrictEqual({ ...follower.state });
    expect({ ...other.update(25, 60, 4) }).toStrictEqual({ ...follower.update(25, 60, 4) });
    expectCode(
      () => PassFollower.restore({ ...snapshot, explicit: { points: [[0, 0]], closed: false } }, pattern),
      "bad-snapshot",
    );
  });

  test("is refused when it is none, or when there is no pattern yet", () => {
    const follower = new PassFollower(pattern);
    expectCode(() => follower.followLine([[0, 0]]), "too-few-points");
    expectCode(
      () =>
        follower.followLine([
          [0, 0],
          [0, 0],
        ]),
      "degenerate",
    );
    expectCode(
      () =>
        follower.followLine([
          [0, 0],
          [0, Number.NaN],
        ]),
      "not-finite",
    );
    expect(follower.state.explicit).toBe(false);
    expectCode(() => new PassFollower(null).followLine(explicit), "wrong-state");
  });
});

describe("what comes out on every kind of line", () => {
  test("is never NaN and never -0, whatever goes in", () => {
    const lines = [
      curvedLine(winding(40, 5)),
      curvedLine(
        [
          [0, 0],
          [0, 50],
          [1, 0],
          [40, 20],
        ],
        { spikes: false },
      ),
      closedLine([
        [0, 0],
        [100, 0],
        [100, 80],
        [50, 20],
        [0, 80],
      ]),
      spiralLine([0, 0], { startRadius: 0, endRadius: 40, pitch: 9 }),
    ];
    const wild = fc.oneof(
      fc.double({ min: -200, max: 200, noNaN: true }),
      fc.double(),
      fc.constantFrom(Number.NaN, Number.POSITIVE_INFINITY, 0, -0, 1e300, -1e8, 1e7, 50, 100),
    );
    fc.assert(
      fc.property(
        fc.constantFrom(...lines),
        fc.constantFrom("both" as const, "a" as const, "none" as const),
        fc.boolean(),
        fc.integer({ min: -30, max: 30 }),
        fc.array(fc.tuple(wild, wild, wild, fc.boolean()), { minLength: 1, maxLength: 6 }),
        (line, extension, withField, pass, calls) => {
          const follower = new PassFollower(
            guidancePattern(line, { swathWidth: 4, extension, propagation: "both" }),
            withField ? { field: [box(-20, -20, 70, 60)] } : {},
          );
          follower.hold(pass);
          for (const [x, y, h, reversing] of calls) {
            follower.update(x, y, h, reversing);
            for (const [name, value] of Object.entries(follower.state)) {
              if (typeof value !== "number") continue;
              expect(Number.isNaN(value), `${name} is NaN`).toBe(false);
              expect(Object.is(value, -0), `${name} is -0`).toBe(false);
              if (!name.startsWith("distanceTo")) expect(Number.isFinite(value), `${name} is ${value}`).toBe(true);
            }
          }
        },
      ),
      { numRuns: 400 },
    );
  });
});

function pointAt(line: readonly Point[], station: number): Point {
  let rest = station;
  for (let i = 1; i < line.length; i++) {
    const [ax, ay] = line[i - 1]!;
    const [bx, by] = line[i]!;
    const size = Math.hypot(bx - ax, by - ay);
    if (rest <= size) return [ax + ((bx - ax) * rest) / size, ay + ((by - ay) * rest) / size];
    rest -= size;
  }
  return line[line.length - 1]!;
}

function headingAt(line: readonly Point[], station: number): number {
  const [ax, ay] = pointAt(line, station);
  const [bx, by] = pointAt(line, station + 1e-3);
  return (Math.atan2(bx - ax, by - ay) * 180) / Math.PI;
}
