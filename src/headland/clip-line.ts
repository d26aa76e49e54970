import { type Line, type Point, type Polygon, PolygonIndex, segmentCrossing } from "../geometry/index.js";

/** pieces shorter than this are none, metres: far below any swath, far above the snapping of boolean operations */
const LEAST_LENGTH = 1e-3;

/**
 * Pieces of a line that lie on some ground and not on other ground, in the line's direction. The boundary counts as the
 * ground that it bounds.
 *
 * @internal
 */
export function clipLine(line: Line, inside: readonly Polygon[], outside: readonly Polygon[]): Point[][] {
  const within = new PolygonIndex(inside);
  const without = new PolygonIndex(outside);
  const edges = [...inside, ...outside].flatMap((polygon) => [polygon.exterior, ...polygon.holes]);
  const pieces: Point[][] = [];
  let piece: Point[] = [];
  const end = (): void => {
    if (lengthOf(piece) >= LEAST_LENGTH) pieces.push(piece);
    piece = [];
  };
  for (let i = 0; i + 1 < line.length; i++) {
    const a = line[i]!;
    const b = line[i + 1]!;
    const cuts = cutsOf(a, b, edges);
    for (let k = 0; k + 1 < cuts.length; k++) {
      const from = at(a, b, cuts[k]!);
      const to = at(a, b, cuts[k + 1]!);
      if (from[0] === to[0] && from[1] === to[1]) continue;
      const x = (from[0] + to[0]) / 2;
      const y = (from[1] + to[1]) / 2;
      if (within.contains(x, y) && !without.contains(x, y)) {
        if (piece.length === 0) piece.push(from);
        piece.push(to);
      } else end();
    }
  }
  end();
  return pieces;
}

function at(a: Point, b: Point, t: number): Point {
  return t === 0 ? a : t === 1 ? b : [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])];
}

function cutsOf(a: Point, b: Point, rings: readonly Line[]): number[] {
  const minX = Math.min(a[0], b[0]);
  const maxX = Math.max(a[0], b[0]);
  const minY = Math.min(a[1], b[1]);
  const maxY = Math.max(a[1], b[1]);
  const wide = maxX - minX > maxY - minY;
  const along = (p: Point): number => (wide ? (p[0] - a[0]) / (b[0] - a[0]) : (p[1] - a[1]) / (b[1] - a[1]));
  const cuts = [0, 1];
  for (const ring of rings) {
    for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
      const c = ring[j]!;
      const d = ring[i]!;
      if (Math.max(c[0], d[0]) < minX || Math.min(c[0], d[0]) > maxX) continue;
      if (Math.max(c[1], d[1]) < minY || Math.min(c[1], d[1]) > maxY) continue;
      const crossing = segmentCrossing(a, b, c, d);
      if (crossing.kind === "point") cuts.push(crossing.t);
      else if (crossing.kind === "overlap") cuts.push(along(crossing.from), along(crossing.to));
    }
  }
  return cuts.filter((t) => t >= 0 && t <= 1).sort((p, q) => p - q);
}

function lengthOf(piece: readonly Point[]): number {
  let length = 0;
  for (let i = 1; i < piece.length; i++) {
    length += Math.hypot(piece[i]![0] - piece[i - 1]![0], piece[i]![1] - piece[i - 1]![1]);
  }
  return length;
}
