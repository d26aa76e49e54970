import { LineIndex, type Polygon, type Ring } from "../geometry/index.js";

/** What a ring runs along. */
export interface Followed {
  readonly boundary: boolean;
  /** holes of the polygon, rising */
  readonly holes: readonly number[];
}

/**
 * Tells along which of a polygon's rings a line runs.
 *
 * @internal
 */
export class Follow {
  private readonly exterior: LineIndex;
  private readonly holes: readonly LineIndex[];
  private readonly slack: number;

  constructor(polygon: Polygon, tolerance: number) {
    this.exterior = new LineIndex(polygon.exterior);
    this.holes = polygon.holes.map((hole) => new LineIndex(hole));
    // arcs stand as chords twice over where a turning radius is allowed for; boolean operations snap to 1e-6 m
    this.slack = 4 * tolerance + 1e-5;
  }

  /** What lies at its distance somewhere along the ring; the nearest where nothing does. */
  of(ring: Ring, fromBoundary: number, fromObstacles: number): Followed {
    const outer = gap(this.exterior, ring, fromBoundary);
    const inner = this.holes.map((hole) => gap(hole, ring, fromObstacles));
    const least = Math.min(outer, ...inner);
    const limit = Math.max(this.slack, least);
    const holes: number[] = [];
    inner.forEach((g, i) => {
      if (g <= limit) holes.push(i);
    });
    return { boundary: outer <= limit, holes };
  }

  /** Whether a point lies at a distance from a hole; on a chord of an arc, nearly so. */
  besideHole(x: number, y: number, distance: number): boolean {
    return this.holes.some((hole) => Math.abs(hole.nearest(x, y).distance - distance) <= this.slack);
  }
}

// how near the ring comes to a distance from a line
function gap(line: LineIndex, ring: Ring, distance: number): number {
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i + 1 < ring.length; i++) {
    const a = ring[i]!;
    const b = ring[i + 1]!;
    const atStart = Math.abs(line.nearest(a[0], a[1]).distance - distance);
    const between = Math.abs(line.nearest((a[0] + b[0]) / 2, (a[1] + b[1]) / 2).distance - distance);
    if (atStart < least) least = atStart;
    if (between < least) least = between;
  }
  return least;
}
