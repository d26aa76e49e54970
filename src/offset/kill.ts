/** Which part of a killer an end of a kill interval touches: the left side of its strip. */
export const STRIP_LEFT = 0;
/** The same: the right side of its strip. */
export const STRIP_RIGHT = 1;
/** The same: the disc about its start. */
export const DISC_START = 2;
/** The same: the disc about its end. */
export const DISC_END = 3;
/** Into a kill function of arcs: all of the killer may be touched. */
export const ANY_PART = 4;

/**
 * What goes into a kill function and comes out of it. Numbers pass through arrays, since an engine boxes those that pass
 * as arguments; owned by the sweep, overwritten by each call.
 *
 * @internal
 */
export interface Kill {
  /** the killer in the frame of the element: x1, y1, x2, y2, unit direction f, g, length (0 for a vertex) */
  readonly killer: Float64Array;
  /** out: from, to */
  readonly ends: Float64Array;
  /**
   * out: what of the killer each end touches; into a kill function of arcs, first: the only part that the arc can touch,
   * either side of the strip counting as {@link STRIP_LEFT}, or {@link ANY_PART}
   */
  readonly parts: Int32Array;
}

/** @internal */
export function newKill(): Kill {
  return { killer: new Float64Array(7), ends: new Float64Array(2), parts: new Int32Array(2) };
}
