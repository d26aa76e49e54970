import { LineIndex, type Point } from "../geometry/index.js";

/** Pieces shorter than this are not halved further, metres: on a bend of 1 m they are 5e-5 m from straight. */
const SHORTEST = 0.02;

/**
 * The farthest that the edge of a swath along one line reaches outside the swath along another.
 *
 * Distance to a line grows by at most one metre a metre, so a piece whose ends are too near to hold a new maximum is passed
 * over, and any other is halved.
 *
 * @param from - metres; at least two distinct points
 * @param within - stretch of `from` to look at: indices of its first and last vertex
 * @param to - metres; at least two distinct points
 * @param width - of both swaths, metres
 * @param precision - metres
 * @returns distance, 0 or more, and the point of `from` beside which it was found, with its segment
 * @internal
 */
export function farthestOutside(
  from: readonly Point[],
  within: readonly [number, number],
  to: LineIndex,
  width: number,
  precision: number,
): { distance: number; at: Point; segment: number } {
  const half = width / 2;
  let best = 0;
  let at: Point = from[within[0]]!;
  let segment = within[0];
  let current = within[0];
  const look = (x: number, y: number, baseX: number, baseY: number): number => {
    const d = to.nearest(x, y).distance - half;
    if (d > best) {
      best = d;
      at = [baseX, baseY];
      segment = current;
    }
    return d;
  };
  const sides = half > 0 ? [half, -half] : [0];
  // pairs of parameter and value yet to be halved
  const stack: number[] = [];
  for (let i = within[0]; i < within[1]; i++) {
    current = i;
    const a = from[i]!;
    const b = from[i + 1]!;
    const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
    if (length === 0) continue;
    const dx = (b[0] - a[0]) / length;
    const dy = (b[1] - a[1]) / length;
    const next = i + 1 < within[1] ? from[i + 2]! : undefined;
    for (const out of sides) {
      const value = (s: number): number =>
        look(a[0] + s * dx + out * dy, a[1] + s * dy - out * dx, a[0] + s * dx, a[1] + s * dy);
      halve(stack, 0, length, value, 1);
    }
    if (half === 0 || next === undefined) continue;
    // about the corner at b the swath's edge is an arc on the outer side
    const turn = Math.atan2(
      dx * (next[1] - b[1]) - dy * (next[0] - b[0]),
      dx * (next[0] - b[0]) + dy * (next[1] - b[1]),
    );
    const outer = turn > 0 ? half : -half;
    const value = (angle: number): number => {
      const c = Math.cos(angle);
      const s = Math.sin(angle);
      const ex = dx * c - dy * s;
      const ey = dx * s + dy * c;
      return look(b[0] + outer * ey, b[1] - outer * ex, b[0], b[1]);
    };
    if (turn !== 0) halve(stack, Math.min(0, turn), Math.max(0, turn), value, half);
  }
  return { distance: best, at, segment };

  function halve(work: number[], start: number, end: number, value: (t: number) => number, speed: number): void {
    work.push(start, value(start), end, value(end));
    while (work.length > 0) {
      const vb = work.pop()!;
      const b = work.pop()!;
      const va = work.pop()!;
      const a = work.pop()!;
      const length = (b - a) * speed;
      if (length < SHORTEST || (va + vb + length) / 2 <= best + precision) continue;
      const middle = (a + b) / 2;
      const vm = value(middle);
      work.push(a, va, middle, vm, middle, vm, b, vb);
    }
  }
}

/**
 * Gap and overlap that one line makes where it stands for another.
 *
 * @param given - the stretch of the given line with what joins it, metres
 * @param made - the same of the new line, metres
 * @param givenWithin - indices of the stretch's first and last vertex
 * @param madeWithin - the same for the new line
 * @internal
 */
export function departure(
  given: readonly Point[],
  givenWithin: readonly [number, number],
  made: readonly Point[],
  madeWithin: readonly [number, number],
  width: number,
  precision: number,
): { gap: number; overlap: number; at: Point; segment: number } {
  const gap = farthestOutside(given, givenWithin, new LineIndex(made), width, precision);
  const overlap = farthestOutside(made, madeWithin, new LineIndex(given), width, precision);
  return { gap: gap.distance, overlap: overlap.distance, at: gap.at, segment: gap.segment };
}
