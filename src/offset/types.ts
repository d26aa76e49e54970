import type { CleanOptions, Line } from "../geometry/index.js";

/** One piece of the parallel to a line. */
export interface OffsetLine {
  /**
   * metres, in the source's direction; no two neighbours coincide. A closed piece repeats its first point at the end
   */
  readonly points: Line;
  /**
   * for each point the station of its foot: metres along the cleaned source from its start. They rise along the piece,
   * except where the source crosses itself or comes near itself, and the piece changes over from one part to another.
   * Along a closed source they count on past its start, up to one lap more
   */
  readonly stations: readonly number[];
  /** whether the piece is a loop */
  readonly closed: boolean;
}

/** Options of every offset. */
export interface OffsetOptions {
  /**
   * largest gap between an arc and the chords that stand for it, metres; default 1e-4. Chords lie on the source's side of
   * their arc, so a point between two vertices may be nearer to the source by that much
   */
  readonly tolerance?: number;
  /**
   * what stands at a convex corner; default `"round"`: the exact parallel, an arc about the corner. `"mitre"` draws the
   * two neighbours on to a sharp tip instead, where {@link OffsetOptions.mitreLimit} allows and nothing else of the
   * source is nearer to the tip than the corner itself; all other corners stay round
   */
  readonly join?: "round" | "mitre";
  /** farthest a mitred tip may lie from its corner, as a multiple of the distance, at least 1; default 2 */
  readonly mitreLimit?: number;
  /**
   * most points that the source, and that all results of one call together, may have; default 10 000 000. A set-up that
   * would need more is refused with `too-large` before it fills the memory
   */
  readonly maximumPoints?: number;
}

/** Options of the offset of a line. */
export interface OffsetLineOptions extends OffsetOptions {
  /**
   * whether the line is a loop, its last point joined to its first; default: it is one when its first and last points are
   * the same and it has three distinct points
   */
  readonly closed?: boolean;
  /** pieces shorter than this are left out, metres; default 0. Dust below a millionth of the distance always is */
  readonly minimumLength?: number;
  /**
   * clean the line first, by the steps of `cleanLine` and `cleanRing`; distances and stations then are those of the
   * cleaned line. Default: only points that repeat the one before exactly are dropped
   */
  readonly clean?: CleanOptions;
}
