import type { Point } from "../geometry/index.js";

/** A stretch of a field's outer boundary that gets a headland. */
export interface HeadlandSide {
  /** number of the field's polygon; default 0 */
  readonly polygon?: number;
  /**
   * first edge of the stretch. Edge `i` runs from vertex `i` of the exterior ring, as it was given, to the next; a
   * repeated first point at the end makes no edge
   */
  readonly from: number;
  /** last edge of the stretch, itself included; below `from` the stretch runs on through vertex 0 */
  readonly to: number;
  /** how many passes lie side by side along it; default `rounds` of the headland */
  readonly rounds?: number;
  /**
   * width of its headland, metres; default the passes' swaths side by side. With a width and no `rounds` there are as
   * many passes as fill it; the last one then is moved outward on to the one before, so that it ends where the
   * headland does
   */
  readonly width?: number;
}

/** Options of `headland`; lengths in metres. */
export interface HeadlandOptions {
  /** width of one swath, metres */
  readonly swathWidth: number;
  /** rounds inside the boundary, 0 to 1000 */
  readonly rounds: number;
  /** rounds about each obstacle, 0 to 1000; default `rounds` */
  readonly obstacleRounds?: number;
  /**
   * only these stretches of the boundary get a headland, such as the two ends of a strip; default the whole boundary. One
   * listed earlier is driven whole, one listed later ends at its headland
   */
  readonly sides?: readonly HeadlandSide[];
  /** which round of a set is driven first: the one at the edge (`"outside-in"`, the default) or the innermost */
  readonly order?: "outside-in" | "inside-out";
  /** way round, seen from above, about the field and about an obstacle alike; default `"clockwise"` */
  readonly direction?: "clockwise" | "counter-clockwise";
  /**
   * the first round starts at its point nearest to this one, each later round near the end of the one before, metres;
   * default the south-western corner of the box round the field
   */
  readonly gate?: Point;
  /** smallest radius that the machine can turn in, metres; default 0: rounds keep their corners */
  readonly minimumRadius?: number;
  /**
   * `"round"` (the default) keeps every line at its exact distance, with an arc where the field has a corner that
   * points inward; `"mitre"` draws the sides on to a sharp corner there, farther away
   */
  readonly join?: "round" | "mitre";
  /** largest gap between an arc and the chords that stand for it, metres, at most 0.05; default 1e-4 */
  readonly tolerance?: number;
}
