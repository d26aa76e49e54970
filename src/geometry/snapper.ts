import type { Point, Polygon, Ring } from "./types.js";

/**
 * Brings polygons onto a grid about a local origin, shifted and turned as wished, and results back.
 *
 * @internal
 */
export class Snapper {
  private readonly cos: number;
  private readonly sin: number;
  // what a turned corner was before, so that it comes back as it came in
  private readonly corners = new Map<string, Point>();

  /**
   * @param origin - metres
   * @param grid - side of a cell, metres
   * @param shift - of the grid, metres
   * @param turn - radians, counter-clockwise
   */
  constructor(
    private readonly origin: Point,
    private readonly grid: number,
    private readonly shift: number,
    private readonly turn: number,
  ) {
    this.cos = Math.cos(turn);
    this.sin = Math.sin(turn);
  }

  /** The polygon on the grid: one, or none where nothing is left of it. */
  snap(polygon: Polygon): Polygon[] {
    const exterior = this.snapRing(polygon.exterior);
    if (exterior.length < 3) return [];
    const holes = polygon.holes.map((hole) => this.snapRing(hole)).filter((hole) => hole.length >= 3);
    return [{ exterior, holes }];
  }

  /** A polygon of the grid where it lies in truth. */
  back(polygon: Polygon): Polygon {
    const move = (ring: Ring): Point[] => ring.map((point) => this.backPoint(point));
    return { exterior: move(polygon.exterior), holes: polygon.holes.map(move) };
  }

  private snapRing(ring: Ring): Point[] {
    const { origin, grid, shift, turn, cos, sin } = this;
    const kept: Point[] = [];
    for (const point of ring) {
      const px = point[0] - origin[0];
      const py = point[1] - origin[1];
      const x = Math.round((px * cos - py * sin - shift) / grid) * grid + shift;
      const y = Math.round((px * sin + py * cos - shift) / grid) * grid + shift;
      if (turn !== 0) this.corners.set(`${x},${y}`, point);
      const last = kept[kept.length - 1];
      if (last === undefined || last[0] !== x || last[1] !== y) kept.push([x, y]);
    }
    while (kept.length > 1 && kept[0]![0] === kept[kept.length - 1]![0] && kept[0]![1] === kept[kept.length - 1]![1]) {
      kept.pop();
    }
    return kept;
  }

  private backPoint([x, y]: Point): Point {
    const { origin, turn, cos, sin } = this;
    if (turn === 0) return [x + origin[0], y + origin[1]];
    const corner = this.corners.get(`${x},${y}`);
    if (corner !== undefined) return [corner[0], corner[1]];
    return [x * cos + y * sin + origin[0], y * cos - x * sin + origin[1]];
  }
}
