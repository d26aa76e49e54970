import type { GeographicPosition } from "../frames/position.js";
import type { Bounds, Polygon } from "../geometry/types.js";

/** Settings of a `CoverageRecord`. */
export interface CoverageOptions {
  /** side of a cell, metres, 0.01 to 10; default 0.1 */
  readonly cellSize?: number;
  /**
   * longest side of the box round a quad that is marked or read, metres; at most 20 000 cells; default 200.
   * What is larger is no boom pass but a jump of the receiver, and is refused
   */
  readonly maximumExtent?: number;
  /**
   * origin of the local frame, degrees and metres. It is kept in snapshots, and lets `merge` and `sharedArea` refuse a
   * record of another frame; default none: the caller sees to that
   */
  readonly origin?: GeographicPosition;
}

/** Areas of a `CoverageRecord`, m². */
export interface CoverageAreas {
  /** ground worked at least once */
  readonly worked: number;
  /** ground worked at least twice; part of `worked` */
  readonly workedTwice: number;
  /** sum over all marks: ground worked three times counts three times, so `marked - worked` is the overlap */
  readonly marked: number;
}

/** How a field's ground stands: `CoverageRecord.areasWithin`, m². */
export interface FieldCoverage {
  /** area of the field, by its cells */
  readonly field: number;
  /** ground of the field worked at least once */
  readonly worked: number;
  /** ground of the field worked at least twice */
  readonly workedTwice: number;
  /** ground of the field not worked: `field - worked` */
  readonly missed: number;
  /** ground worked that lies outside of the field */
  readonly outside: number;
}

/** Ground of a field that was not worked: `CoverageRecord.missed`. */
export interface MissedGround {
  /** area, m² */
  readonly area: number;
  /** its outline along the cells' edges: one polygon for each connected part */
  readonly outline: Polygon[];
}

/** Settings of `CoverageRecord.outline`. */
export interface OutlineOptions {
  /** which ground: worked at least once, or at least twice; default "worked" */
  readonly of?: "worked" | "twice";
  /**
   * how far a corner of the cells' edges may lie from the outline given, metres; default 0: every corner is kept and
   * the area exact. One and a half cells make straight lines of the steps along a slanted edge
   */
  readonly tolerance?: number;
  /**
   * leave out parts, and fill holes, of less than this area, m²; default 0, none. Such as the slivers of a cell's width
   * between two passes
   */
  readonly leastArea?: number;
  /** leave out what lies outside of this box, metres; its edges are moved out to the next cell; default no limit */
  readonly within?: Bounds;
}

/** Settings of `CoverageRecord.cellRuns`. */
export interface CellRunsOptions {
  /** which ground: worked at least once, or at least twice; default "worked" */
  readonly of?: "worked" | "twice";
  /** leave out cells outside of this box, metres; its edges are moved out to the next cell; default no limit */
  readonly within?: Bounds;
}

/** Settings of `CoverageRecord.tileOutline`. */
export interface TileOutlineOptions {
  /** which ground: worked at least once, or at least twice; default "worked" */
  readonly of?: "worked" | "twice";
}

/** Areas of one tile: `CoverageRecord.tileArea`, m². */
export interface TileAreas {
  /** its ground worked at least once */
  readonly worked: number;
  /** its ground worked at least twice; part of `worked` */
  readonly workedTwice: number;
}
