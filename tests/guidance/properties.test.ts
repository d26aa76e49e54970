import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { nearestOnLine, type Point } from "../../src/geometry/index.js";
import {
  type GuidancePattern,
  type GuidanceState,
  guidancePattern,
  headingLine,
  passLine,
  PassFollower,
  type ReferenceLine,
  reverseLine,
  straightLine,
} from "../../src/guidance/index.js";
import { expectAngleWithin, expectWithin } from "../helpers/within.js";

const metres = (size: number) => fc.double({ min: -size, max: size, noNaN: true });
const point = (size = 5000): fc.Arbitrary<Point> => fc.tuple(metres(size), metres(size));
const heading = fc.double({ min: 0, max: 360, noNaN: true, maxExcluded: true });
const abLine = fc
  .tuple(point(), heading, fc.double({ min: 5, max: 3000, noNaN: true }))
  .map(([a, h, length]) =>
    straightLine(a, [a[0] + length * Math.sin((h * Math.PI) / 180), a[1] + length * Math.cos((h * Math.PI) / 180)]),
  );
const anyLine: fc.Arbitrary<ReferenceLine> = fc.oneof(
  abLine,
  fc.tuple(point(), heading).map(([a, h]) => headingLine(a, h)),
);
const swathWidth = fc.double({ min: 0.5, max: 48, noNaN: true });

function onReferenceLine(line: ReferenceLine, p: Point, h = 0): GuidanceState {
  const follower = new PassFollower(guidancePattern(line, { swathWidth: 6 }));
  follower.hold(0);
  return follower.update(p[0], p[1], h);
}

describe("cross-track error", () => {
  test("P6: changes its sign, and nothing else, when the line is reversed", () => {
    fc.assert(
      fc.property(anyLine, point(), (line, p) => {
        const there = onReferenceLine(line, p).crossTrackError;
        const back = onReferenceLine(reverseLine(line), p).crossTrackError;
        // 1e-12 of the longest coordinate in the case
        expectWithin(back, -there, 1e-12 * 16_000, "reversed");
      }),
    );
  });

  test("P7: is the distance to the extended line by brute force, and its foot is square to the line", () => {
    fc.assert(
      fc.property(abLine, point(), (line, p) => {
        const state = onReferenceLine(line, p);
        const extended = passLine(guidancePattern(line, { swathWidth: 6 }), 0, { length: 30_000 })[0]!;
        const nearest = nearestOnLine(extended, p);
        expectWithin(state.crossTrackError, nearest.signedDistance, 1e-9, "signed distance");
        expectWithin(state.footX, nearest.x, 1e-9, "foot east");
        expectWithin(state.footY, nearest.y, 1e-9, "foot north");
        const [a, b] = line.points;
        const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
        const square = ((p[0] - state.footX) * (b[0] - a[0]) + (p[1] - state.footY) * (b[1] - a[1])) / length;
        expectWithin(square, 0, 1e-9, "foot is square, metres along the line");
      }),
    );
  });

  test("P9: a rigid motion of line and machine leaves it, a mirror turns its sign and the heading error's", () => {
    fc.assert(
      fc.property(abLine, point(), heading, heading, point(), (line, p, h, turn, move) => {
        const before = onReferenceLine(line, p, h);
        const s = Math.sin((turn * Math.PI) / 180);
        const c = Math.cos((turn * Math.PI) / 180);
        // clockwise, as headings are counted
        const moved = ([x, y]: Point): Point => [x * c + y * s + move[0], -x * s + y * c + move[1]];
        const after = onReferenceLine(straightLine(moved(line.points[0]), moved(line.points[1])), moved(p), h + turn);
        expectWithin(after.crossTrackError, before.crossTrackError, 1e-9, "turned and moved");
        expectWithin(after.distanceAlong, before.distanceAlong, 1e-9, "turned and moved, along");
        expectAngleWithin(after.headingError, before.headingError, 1e-8, "turned and moved, heading");
        const mirror = ([x, y]: Point): Point => [-x, y];
        const other = onReferenceLine(straightLine(mirror(line.points[0]), mirror(line.points[1])), mirror(p), 360 - h);
        expectWithin(other.crossTrackError, -before.crossTrackError, 1e-11, "mirrored");
        expectAngleWithin(other.headingError, -before.headingError, 1e-9, "mirrored, heading");
      }),
    );
  });

  test("P11: never changes by more than the machine has moved", () => {
    fc.assert(
      fc.property(anyLine, swathWidth, point(), point(), fc.integer({ min: -50, max: 50 }), (line, w, p, q, pass) => {
        const follower = new PassFollower(guidancePattern(line, { swathWidth: w }));
        follower.hold(pass);
        const first = follower.update(p[0], p[1], 0).crossTrackError;
        const second = follower.update(q[0], q[1], 0).crossTrackError;
        expect(Math.abs(first - second)).toBeLessThanOrEqual(Math.hypot(p[0] - q[0], p[1] - q[1]) + 1e-9);
      }),
    );
  });

  test("on any pass is the distance to that pass's own explicit line", () => {
    fc.assert(
      fc.property(
        anyLine,
        swathWidth,
        fc.record({ east: metres(20), north: metres(20) }),
        metres(30),
        fc.integer({ min: -1000, max: 1000 }),
        point(),
        (line, w, shift, firstPassOffset, pass, p) => {
          const pattern = guidancePattern(line, { swathWidth: w, shift, firstPassOffset });
          const follower = new PassFollower(pattern);
          follower.hold(pass);
          const state = follower.update(p[0], p[1], 0);
          const nearest = nearestOnLine(passLine(pattern, pass, { length: 100_000 })[0]!, p);
          expectWithin(state.crossTrackError, nearest.signedDistance, 1e-9, "signed distance");
        },
      ),
    );
  });
});

describe("heading error", () => {
  test("P8: lies in -180 excluded to 180, is identical after whole turns, and turns by 180 with the line", () => {
    // headings that a double holds together with whole turns
    const exact = fc.integer({ min: 0, max: 360 * 1024 - 1 }).map((n) => n / 1024);
    fc.assert(
      fc.property(anyLine, exact, fc.integer({ min: -3, max: 3 }), (line, h, turns) => {
        const state = { ...onReferenceLine(line, [1, 2], h) };
        expect(state.headingError).toBeGreaterThan(-180);
        expect(state.headingError).toBeLessThanOrEqual(180);
        expect(onReferenceLine(line, [1, 2], h + 360 * turns).headingError).toBe(state.headingError);
        const reversed = onReferenceLine(reverseLine(line), [1, 2], h).headingError;
        expectAngleWithin(reversed, state.headingError + 180, 1e-9, "reversed line");
      }),
    );
  });

  test("is 180 and not -180 when the nose points straight back", () => {
    expect(onReferenceLine(headingLine([0, 0], 0), [0, 0], 180).headingError).toBe(180);
    expect(onReferenceLine(headingLine([0, 0], 200), [0, 0], 20).headingError).toBe(180);
  });
});

describe("what comes out", () => {
  const wild = fc.oneof(
    metres(1e5),
    fc.double(),
    fc.constantFrom(Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, 0, -0, 1e300, -1e9, 1e7),
  );
  const pattern: fc.Arbitrary<GuidancePattern> = fc
    .record({
      line: anyLine,
      swathWidth,
      propagation: fc.constantFrom("both" as const, "left" as const, "right" as const, "none" as const),
      extension: fc.constantFrom("both" as const, "a" as const, "b" as const),
      swathsLeft: fc.nat(20),
      swathsRight: fc.nat(20),
      firstPass: fc.integer({ min: -100, max: 100 }),
    })
    .map(({ line, ...options }) => guidancePattern(line, options));

  test("is never NaN and never -0, and no call throws, whatever goes in", () => {
    const field = [
      {
        exterior: [
          [0, 0],
          [400, 0],
          [300, 300],
          [0, 250],
        ] as Point[],
        holes: [],
      },
    ];
    fc.assert(
      fc.property(
        pattern,
        fc.boolean(),
        fc.array(fc.tuple(wild, wild, wild, fc.boolean(), fc.constantFrom("update", "hold", "skip", "release")), {
          minLength: 1,
          maxLength: 12,
        }),
        (p, withField, calls) => {
          const follower = new PassFollower(p, withField ? { field } : {});
          for (const [x, y, h, reversing, verb] of calls) {
            if (verb === "update") follower.update(x, y, h, reversing);
            else if (verb === "hold") follower.hold(x);
            else if (verb === "skip") follower.skip(y);
            else follower.release();
            for (const [name, value] of Object.entries(follower.state)) {
              if (typeof value !== "number") continue;
              expect(Number.isNaN(value), `${name} is NaN`).toBe(false);
              expect(Object.is(value, -0), `${name} is -0`).toBe(false);
              if (!name.startsWith("distanceTo")) expect(Number.isFinite(value), `${name} is ${value}`).toBe(true);
            }
            expect(follower.state.headingError).toBeGreaterThan(-180);
            expect(follower.state.drivingHeadingError).toBeGreaterThan(-180);
          }
        },
      ),
      { numRuns: 500 },
    );
  });

  test("is the same, bit for bit, from a follower restored by way of JSON", () => {
    fc.assert(
      fc.property(
        pattern,
        fc.array(fc.tuple(wild, wild, wild, fc.boolean()), { minLength: 1, maxLength: 6 }),
        fc.array(fc.tuple(wild, wild, wild, fc.boolean()), { minLength: 1, maxLength: 6 }),
        fc.constantFrom("none", "hold", "skip"),
        (p, before, after, verb) => {
          const first = new PassFollower(p);
          for (const [x, y, h, reversing] of before) first.update(x, y, h, reversing);
          if (verb === "hold") first.hold();
          if (verb === "skip") first.skip(-1);
          const second = PassFollower.restore(
            JSON.parse(JSON.stringify(first.snapshot())),
            JSON.parse(JSON.stringify(p)),
          );
          expect(second.state).toStrictEqual(first.state);
          for (const [x, y, h, reversing] of after) {
            expect({ ...second.update(x, y, h, reversing) }).toStrictEqual({ ...first.update(x, y, h, reversing) });
          }
        },
      ),
    );
  });
});
