import type { Point, Polygon } from "../geometry/index.js";

/** A corner of a round, at which ground is left. */
export interface RoundCorner {
  /** where the round would turn if it kept the corner, metres */
  readonly at: Point;
  /** angle between the two sides on the ground inside the round, degrees, 0 to 180 */
  readonly angle: number;
  /** ground about the corner that no swath reaches, square metres */
  readonly uncoveredArea: number;
}

/**
 * Why a round can't be driven as it is drawn.
 *
 * | reason | meaning |
 * |---|---|
 * | `too-narrow` | the ground inside holds no circle of the smallest turning radius |
 * | `tight-turn` | about a corner that points into the field, or about an obstacle, it bends more tightly than that |
 */
export type RoundReason = "too-narrow" | "tight-turn";

/** One round of a headland: a line down the middle of its swath. */
export interface HeadlandRound {
  /** the line to drive, in driving order, metres; a closed one repeats its first point at the end */
  readonly line: readonly Point[];
  /**
   * whether it is a loop. Passes along chosen sides are not, nor is a round about an obstacle that has no room on the
   * boundary's side, where the boundary has no round of its number
   */
  readonly closed: boolean;
  /** what it follows; a round that has met obstacles on its way along the boundary is one of the boundary */
  readonly source: "boundary" | "obstacle" | "side";
  /**
   * number of what it follows: of the field's polygon, of the obstacle (the lowest, where fronts of several have met),
   * or of the side in the list given. Obstacles are the holes of all the field's polygons, counted through in order
   */
  readonly index: number;
  /** numbers of all obstacles that it runs along, rising */
  readonly obstacles: readonly number[];
  /** 1 for the round at the edge, rising inward */
  readonly number: number;
  /** distance of the line from what it follows, metres: (number - 1/2) swaths */
  readonly distance: number;
  /** length of the line, metres */
  readonly length: number;
  /** whether a machine of the smallest turning radius can follow it within 5 cm */
  readonly drivable: boolean;
  /** why not, where it is not */
  readonly reason?: RoundReason;
  /** where that is, metres */
  readonly reasonAt?: Point;
  /** its corners of 5 degrees and more that point away from the mainfield */
  readonly corners: readonly RoundCorner[];
}

/** Ground of the headland that no swath of its rounds reaches. */
export interface UncoveredPlace {
  /** a point in it, metres */
  readonly at: Point;
  /** square metres */
  readonly area: number;
  /** number of the round on whose outer side it lies */
  readonly round: number;
  /** its outline */
  readonly outline: Polygon;
}

/** Ground on which a round, and with it all rounds after it, has no place. */
export interface DroppedRound {
  /** number of the first round without place */
  readonly round: number;
  /**
   * `vanished`: no point is as far from the edge as the round's line. `covered`: the side's pass would lie outside the
   * field or on the headland of a side listed earlier
   */
  readonly reason: "vanished" | "covered";
  /** what it would have followed */
  readonly source: "boundary" | "obstacle" | "side";
  /** number of the field's polygon, of its first obstacle, or of the side */
  readonly index: number;
  /** a point of the ground that has no such round, metres */
  readonly at: Point;
}

/** Areas of a headland, square metres. */
export interface HeadlandAreas {
  /** the field without its obstacles */
  readonly field: number;
  /** the headland */
  readonly headland: number;
  /** the mainfield */
  readonly mainfield: number;
  /** ground of the headland that no swath reaches, places above 0.001 m² */
  readonly uncovered: number;
}

/** What `headland` gives: plain data. */
export interface Headland {
  /** the rounds in driving order, those that can't be driven among them */
  readonly rounds: readonly HeadlandRound[];
  /** ground left for passes: several polygons where the field pinches, none where the headland fills it */
  readonly mainfield: readonly Polygon[];
  /** ground between the field's edges and the mainfield */
  readonly headland: readonly Polygon[];
  /** areas */
  readonly areas: HeadlandAreas;
  /** headland that no swath reaches, largest place first */
  readonly uncovered: readonly UncoveredPlace[];
  /** rounds that had no place on some of the ground */
  readonly dropped: readonly DroppedRound[];
  /** why there is no mainfield, where there is none: no point lies farther inside than the headland is wide */
  readonly reason?: "headland-fills-field";
}
