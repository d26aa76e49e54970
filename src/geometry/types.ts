/** A planar point `[x, y]`: metres east and north in a local frame. */
export type Point = readonly [x: number, y: number];

/** An open chain of points, in driving order, metres. Two points at the least where a length is needed. */
export type Line = readonly Point[];

/**
 * A closed chain of points, metres. Accepted with or without its first point repeated at the end and in either winding;
 * returned closed, an exterior counter-clockwise, a hole clockwise (RFC 7946).
 */
export type Ring = readonly Point[];

/** A surface: one exterior ring and any number of holes in it. */
export interface Polygon {
  /** outer boundary */
  readonly exterior: Ring;
  /** inner boundaries, obstacles; empty where there are none */
  readonly holes: readonly Ring[];
}

/** An axis-parallel box, metres. An empty box has `minX > maxX`. */
export interface Bounds {
  /** western edge, metres */
  readonly minX: number;
  /** southern edge, metres */
  readonly minY: number;
  /** eastern edge, metres */
  readonly maxX: number;
  /** northern edge, metres */
  readonly maxY: number;
}
