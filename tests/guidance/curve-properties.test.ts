import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { nearestOnLine, pathLength, type Point } from "../../src/geometry/index.js";
import {
  closedLine,
  curvedLine,
  guidancePattern,
  type GuidanceState,
  type PatternOptions,
  passLine,
  PassFollower,
  type ReferenceLine,
  reverseLine,
} from "../../src/guidance/index.js";
import { expectAngleWithin, expectWithin } from "../helpers/within.js";
import { oracle, random, winding } from "./curves.js";

const metres = (size: number) => fc.double({ min: -size, max: size, noNaN: true });
const point = (size = 600): fc.Arbitrary<Point> => fc.tuple(metres(size), metres(size));
// any chain, self-crossing ones too, its points a metre apart at the least
const chain = fc
  .array(fc.tuple(fc.double({ min: 1, max: 80, noNaN: true }), fc.double({ min: -170, max: 170, noNaN: true })), {
    minLength: 1,
    maxLength: 25,
  })
  .map((steps) => {
    const points: Point[] = [[0, 0]];
    let h = 0;
    for (const [length, turn] of steps) {
      h += (turn * Math.PI) / 180;
      const [x, y] = points[points.length - 1]!;
      points.push([x + length * Math.sin(h), y + length * Math.cos(h)]);
    }
    return points;
  });
const AS_DRAWN = { standstill: 0, spikes: false } as const;
const curve = chain.map((points) => curvedLine(points, AS_DRAWN));

function on(line: ReferenceLine, p: Point, h = 0, options: Partial<PatternOptions> = {}): GuidanceState {
  const follower = new PassFollower(guidancePattern(line, { swathWidth: 6, ...options }));
  follower.hold(0);
  return follower.update(p[0], p[1], h);
}

describe("cross-track error on curves", () => {
  test("P6: changes its sign, and nothing else, when the line is reversed", () => {
    fc.assert(
      fc.property(curve, point(), (line, p) => {
        const there = on(line, p).crossTrackError;
        const back = on(reverseLine(line), p).crossTrackError;
        expectWithin(Math.abs(back), Math.abs(there), 1e-12 * 2000, "reversed");
        // of two branches equally near either may give the side
        const d = Math.abs(there);
        if (Math.abs(oracle(line.points, p) + oracle([...line.points].reverse(), p)) < 1e-9 && d > 1e-9) {
          expect(Math.sign(back)).toBe(-Math.sign(there));
        }
      }),
    );
  });

  test("P7: is the distance to the extended line by brute force, with its side", () => {
    fc.assert(
      fc.property(curve, point(), (line, p) => {
        const state = on(line, p);
        expectWithin(state.crossTrackError, oracle(line.points, p), 1e-9, "signed distance");
        // the foot lies on the line, as far away
        expectWithin(Math.hypot(p[0] - state.footX, p[1] - state.footY), Math.abs(state.crossTrackError), 1e-9, "foot");
        expectWithin(Math.abs(oracle(line.points, [state.footX, state.footY])), 0, 1e-9, "foot on the line");
      }),
      { numRuns: 300 },
    );
  });

  test("P8: heading error turns by 180 with the line, and whole turns change nothing", () => {
    const exact = fc.integer({ min: 0, max: 360 * 1024 - 1 }).map((n) => n / 1024);
    fc.assert(
      fc.property(curve, point(), exact, fc.integer({ min: -3, max: 3 }), (line, p, h, turns) => {
        const { headingError, crossTrackError } = on(line, p, h);
        expect(headingError).toBeGreaterThan(-180);
        expect(headingError).toBeLessThanOrEqual(180);
        expect(on(line, p, h + 360 * turns).headingError).toBe(headingError);
        const back = on(reverseLine(line), p, h);
        // not where two branches are equally near
        if (Math.abs(back.crossTrackError + crossTrackError) > 1e-9 || Math.abs(crossTrackError) < 1e-6) return;
        const there = on(line, p, h);
        if (Math.hypot(there.footX - back.footX, there.footY - back.footY) > 1e-6) return;
        expectAngleWithin(back.headingError, there.headingError + 180, 1e-5, "reversed");
      }),
    );
  });

  test("P9: a rigid motion leaves it, a mirror turns its sign, far coordinates cost nothing", () => {
    fc.assert(
      fc.property(chain, point(), metres(Math.PI), point(5000), (points, p, turn, move) => {
        const before = on(curvedLine(points, AS_DRAWN), p).crossTrackError;
        const s = Math.sin(turn);
        const c = Math.cos(turn);
        const moved = ([x, y]: Point): Point => [x * c + y * s + move[0], -x * s + y * c + move[1]];
        const after = on(curvedLine(points.map(moved), AS_DRAWN), moved(p)).crossTrackError;
        expectWithin(Math.abs(after), Math.abs(before), 1e-9, "turned and moved");
        const mirror = ([x, y]: Point): Point => [-x, y];
        const other = on(curvedLine(points.map(mirror), AS_DRAWN), mirror(p)).crossTrackError;
        expectWithin(Math.abs(other), Math.abs(before), 1e-11, "mirrored");
        if (Math.abs(before) > 1e-6) expectWithin(other, -before, 1e-9, "mirrored");
        const far = ([x, y]: Point): Point => [x + 6e6, y + 6e6];
        const points6 = points.map(far);
        const p6 = far(p);
        const there = on(curvedLine(points6, AS_DRAWN), p6).crossTrackError;
        // beside the points as they are rounded there, by 1e-9 m
        expectWithin(Math.abs(there), Math.abs(oracle(points6, p6)), 5e-9, "at 6e6 m");
      }),
    );
  });

  test("P11: its size never changes by more than the machine has moved", () => {
    fc.assert(
      fc.property(curve, point(), point(), (line, p, q) => {
        const first = Math.abs(on(line, p).crossTrackError);
        const second = Math.abs(on(line, q).crossTrackError);
        expect(Math.abs(first - second)).toBeLessThanOrEqual(Math.hypot(p[0] - q[0], p[1] - q[1]) + 1e-9);
      }),
    );
  });

  test("P10: is that of brute force whatever the steps from fix to fix, from 0 to 10 km", () => {
    const step = fc.oneof(
      { weight: 6, arbitrary: fc.tuple(metres(0.5), metres(0.5)) },
      { weight: 2, arbitrary: fc.tuple(metres(30), metres(30)) },
      { weight: 1, arbitrary: fc.tuple(metres(10_000), metres(10_000)) },
      { weight: 1, arbitrary: fc.constant([0, 0] as Point) },
    );
    fc.assert(
      fc.property(curve, point(), fc.array(step, { minLength: 5, maxLength: 40 }), (line, start, steps) => {
        const follower = new PassFollower(guidancePattern(line, { swathWidth: 6 }));
        follower.hold(0);
        let [x, y] = start;
        for (const [dx, dy] of steps) {
          x += dx;
          y += dy;
          if (Math.hypot(x, y) > 12_000) [x, y] = start;
          const d = follower.update(x, y, 0).crossTrackError;
          expectWithin(Math.abs(d), Math.abs(oracle(line.points, [x, y])), 1e-9, `at ${x}, ${y}`);
        }
      }),
      { numRuns: 60 },
    );
  });

  test("is not stuck where a walk downhill along the line would stop: a hairpin beside the machine", () => {
    const points: Point[] = [];
    for (let i = 0; i <= 200; i++) points.push([0, i]);
    for (let i = 1; i < 40; i++)
      points.push([10 - 10 * Math.cos((i * Math.PI) / 40), 200 + 10 * Math.sin((i * Math.PI) / 40)]);
    for (let i = 200; i >= 0; i--) points.push([20, i]);
    const line = curvedLine(points);
    const follower = new PassFollower(guidancePattern(line, { swathWidth: 100 }));
    follower.hold(0);
    for (let x = 0; x <= 20; x += 0.25) {
      const d = follower.update(x, 100.3, 0).crossTrackError;
      expectWithin(Math.abs(d), Math.min(x, 20 - x), 1e-9, `crossing over at ${x}`);
    }
  });

  test("is that of brute force in 2000 steps of a drive with noise and jumps beside 3000 points", () => {
    const draw = random(5);
    const points = winding(3000, 0.3);
    const line = curvedLine(points);
    const follower = new PassFollower(guidancePattern(line, { swathWidth: 12 }));
    follower.hold(2);
    let wrong = 0;
    let y = 0;
    for (let i = 0; i < 2000; i++) {
      y = i % 97 === 0 ? draw() * 900 : y + 0.4;
      const x = 30 * Math.sin(y / 60) + 8 * Math.sin(y / 23) + 24 + (draw() - 0.5);
      const d = follower.update(x, y, 0).crossTrackError + 24;
      if (!(Math.abs(d - oracle(points, [x, y])) <= 1e-9)) wrong++;
    }
    expect(wrong).toBe(0);
  });
});

describe("a pass as a level set", () => {
  test("every point of the explicit pass has no cross-track error on the follower, on curves and closed lines", () => {
    const ring: Point[] = Array.from({ length: 40 }, (_, i): Point => {
      const a = (2 * Math.PI * i) / 40;
      const r = 100 + 25 * Math.sin(3 * a);
      return [r * Math.sin(a), r * Math.cos(a)];
    });
    const lines = [curvedLine(winding(300)), closedLine(ring)];
    for (const line of lines) {
      for (const extension of ["both", "a", "b", "none"] as const) {
        const pattern = guidancePattern(line, { swathWidth: 9, extension, shift: { east: 3, north: -2 } });
        for (const pass of [-7, -3, -1, 0, 1, 2, 5]) {
          const follower = new PassFollower(pattern);
          follower.hold(pass);
          const pieces = passLine(pattern, pass);
          expect(pieces.length, `pass ${pass} of ${line.kind}`).toBeGreaterThan(0);
          for (const piece of pieces) {
            for (let i = 0; i < piece.length; i += 3) {
              const [x, y] = piece[i]!;
              expectWithin(follower.update(x, y, 0).crossTrackError, 0, 1e-7, `pass ${pass} at ${x}, ${y}`);
            }
          }
        }
      }
    }
  });

  test("on any curve the explicit pass lies where the follower has it, chords within 0.1 mm", () => {
    fc.assert(
      fc.property(
        chain,
        fc.integer({ min: -6, max: 6 }),
        fc.double({ min: 1, max: 15, noNaN: true }),
        (points, pass, w) => {
          const line = curvedLine(points, AS_DRAWN);
          const pattern = guidancePattern(line, { swathWidth: w });
          const follower = new PassFollower(pattern);
          follower.hold(pass);
          for (const piece of passLine(pattern, pass)) {
            for (let i = 1; i < piece.length; i++) {
              const [ax, ay] = piece[i - 1]!;
              const [bx, by] = piece[i]!;
              const { crossTrackError } = follower.update((ax + bx) / 2, (ay + by) / 2, 0);
              // 0.1 mm of chord; where two branches are equally near the side is either's
              const d = Math.abs(crossTrackError + pass * w);
              if (pass !== 0) expectWithin(d, Math.abs(pass * w), 1.01e-4, `pass ${pass}`);
            }
          }
        },
      ),
      { numRuns: 60 },
    );
  });

  test("clipped to a field 32 000 km from the origin it is what it is at the origin", () => {
    // ends are found by halving, down to neighbouring doubles: 4e-9 m apart there
    const pieces = (east: number, north: number, pass: number): number[] => {
      const at = (x: number, y: number): Point => [east + x, north + y];
      const line = curvedLine(Array.from({ length: 41 }, (_, i) => at(3 * i, 20 * Math.sin(i / 7))));
      const field = { exterior: [at(-31.3, -30.7), at(160.1, -25.9), at(150.3, 45.7), at(-20.9, 30.1)], holes: [] };
      return passLine(guidancePattern(line, { swathWidth: 6 }), pass, { within: [field] }).map(pathLength);
    };
    for (const pass of [-3, 0, 2]) {
      const near = pieces(0, 0, pass);
      const far = pieces(3.2e7, 6e6, pass);
      expect(far.length).toBe(near.length);
      near.forEach((length, i) => expectWithin(far[i]!, length, 1e-3, `pass ${pass}, piece ${i}`));
    }
  });

  test("a machine driven along the look-ahead points stays on the pass", () => {
    const line = curvedLine(winding(400));
    for (const pass of [-3, 0, 4]) {
      const pattern = guidancePattern(line, { swathWidth: 8 });
      const explicit = passLine(pattern, pass)[0]!;
      const follower = new PassFollower(pattern, { lookAheadDistance: 7 });
      follower.hold(pass);
      let { footX, footY } = follower.update(0, 50, 0);
      for (let i = 0; i < 40; i++) {
        const state = follower.update(footX, footY, 0);
        expectWithin(nearestOnLine(explicit, [state.aheadX, state.aheadY]).distance, 0, 1.1e-4, "ahead on the pass");
        const from = nearestOnLine(explicit, [footX, footY]).station;
        const to = nearestOnLine(explicit, [state.aheadX, state.aheadY]).station;
        expectWithin(to - from, 7, 2e-3, `pass ${pass}: way along the explicit pass`);
        footX = state.aheadX;
        footY = state.aheadY;
      }
    }
  });
});
