import { LineIndex, type Point } from "../geometry/index.js";

/** Pieces shorter than this are not halved further, metres. */
const SHORTEST = 1e-5;

/** A place on the edge of a swath: how far along its piece, where, beside what, its distance to the other line, nearest segment. */
interface Sample {
  readonly along: number;
  readonly x: number;
  readonly y: number;
  readonly baseX: number;
  readonly baseY: number;
  readonly distance: number;
  readonly segment: number;
}

/**
 * The farthest that the edge of a swath along one line reaches outside the swath along another.
 *
 * A piece of the edge is halved until its bound shows that it holds no new maximum: distance to a line grows by a metre a metre
 * at most, and distance to one segment of it is convex, so along a straight it is largest at an end.
 *
 * @param from - metres; at least two distinct points
 * @param within - stretch of `from` to look at: indices of its first and last vertex
 * @param to - metres; at least two distinct points
 * @param width - of both swaths, metres
 * @param precision - of the answer, metres
 * @returns distance, 0 or more, and the point of `from` beside which it was found, with its segment
 * @internal
 */
export function farthestOutside(
  from: readonly Point[],
  within: readonly [number, number],
  to: readonly Point[],
  width: number,
  precision: number,
): { distance: number; at: Point; segment: number } {
  const index = new LineIndex(to);
  const half = width / 2;
  let best = half;
  let at: Point = from[within[0]]!;
  let segment = within[0];
  let current = within[0];
  const look = (along: number, x: number, y: number, baseX: number, baseY: number): Sample => {
    const nearest = index.nearest(x, y);
    if (nearest.distance > best) {
      best = nearest.distance;
      at = [baseX, baseY];
      segment = current;
    }
    return { along, x, y, baseX, baseY, distance: nearest.distance, segment: nearest.segment };
  };
  // a bound on the distance between two samples of a straight
  const bound = (a: Sample, b: Sample): number => {
    const steep = (a.distance + b.distance + Math.hypot(b.x - a.x, b.y - a.y)) / 2;
    if (a.segment === b.segment) return Math.min(steep, Math.max(a.distance, b.distance));
    const byA = Math.max(a.distance, toSegment(b, to[a.segment]!, to[a.segment + 1]!));
    const byB = Math.max(b.distance, toSegment(a, to[b.segment]!, to[b.segment + 1]!));
    return Math.min(steep, byA, byB);
  };
  const search = (sample: (along: number) => Sample, end: number, bulge: number): void => {
    const stack: Sample[] = [sample(0), sample(end)];
    while (stack.length > 0) {
      const b = stack.pop()!;
      const a = stack.pop()!;
      const share = (b.along - a.along) / end;
      if (bound(a, b) + bulge * share * share <= best + precision) continue;
      if (Math.hypot(b.x - a.x, b.y - a.y) < SHORTEST) continue;
      const middle = sample((a.along + b.along) / 2);
      stack.push(a, middle, middle, b);
    }
  };
  const sides = half > 0 ? [half, -half] : [0];
  for (let i = within[0]; i < within[1]; i++) {
    current = i;
    const a = from[i]!;
    const b = from[i + 1]!;
    const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
    if (length === 0) continue;
    const dx = (b[0] - a[0]) / length;
    const dy = (b[1] - a[1]) / length;
    for (const out of sides) {
      search(
        (s) => look(s, a[0] + s * dx + out * dy, a[1] + s * dy - out * dx, a[0] + s * dx, a[1] + s * dy),
        length,
        0,
      );
    }
    if (half === 0 || i + 1 >= within[1]) continue;
    // about the corner at b the swath's edge is an arc on the outer side
    const next = from[i + 2]!;
    const across = dx * (next[1] - b[1]) - dy * (next[0] - b[0]);
    const turn = Math.atan2(across, dx * (next[0] - b[0]) + dy * (next[1] - b[1]));
    if (turn === 0) continue;
    const outer = turn > 0 ? half : -half;
    search(
      (angle) => {
        const c = Math.cos(angle);
        const s = Math.sin(angle);
        return look(angle, b[0] + outer * (dx * s + dy * c), b[1] - outer * (dx * c - dy * s), b[0], b[1]);
      },
      turn,
      // farthest the arc lies from its chord, at most
      half * Math.min(2, (turn * turn) / 8),
    );
  }
  return { distance: best - half, at, segment };
}

function toSegment(p: Sample, a: Point, b: Point): number {
  const ex = b[0] - a[0];
  const ey = b[1] - a[1];
  const px = p.x - a[0];
  const py = p.y - a[1];
  const squared = ex * ex + ey * ey;
  const t = squared === 0 ? 0 : Math.min(1, Math.max(0, (px * ex + py * ey) / squared));
  return Math.hypot(px - t * ex, py - t * ey);
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
  const gap = farthestOutside(given, givenWithin, made, width, precision);
  const overlap = farthestOutside(made, madeWithin, given, width, precision);
  return { gap: gap.distance, overlap: overlap.distance, at: gap.at, segment: gap.segment };
}
