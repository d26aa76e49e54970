import type { Point } from "../geometry/index.js";
import type { Bend } from "./drivable-line-clothoid.js";

/**
 * Curvature above the asked one that passes for rounding, as a share; the shortfall of radius that corners may have is half of it.
 *
 * @internal
 */
export const CURVATURE_SLACK = 1e-3;

/**
 * The points of a drivable line, and where each corner lies among them.
 *
 * @internal
 */
export interface Drawn {
  /** x and y by turns, metres, near the origin */
  readonly xy: number[];
  /** for each corner the index of the point that its bend starts at */
  readonly first: Int32Array;
  /** for each corner the index of the point that its bend ends at */
  readonly last: Int32Array;
  /** for the edge after each corner whether the corners beside it make one place */
  readonly joined: Uint8Array;
  /** the bend at each corner, where it is one with straights beside it */
  readonly bends: (Bend | undefined)[];
  /** largest curvature, 1/m */
  curvature: number;
  /** largest change of curvature, 1/m² */
  rate: number;
  /** where it changes faster than asked: corner, place, rate */
  readonly fast: { corner: number; at: Point; rate: number }[];
  /** where an average is sharper than asked though its arcs are not: corner, place, radius, whether beside an end of the line */
  readonly sharp: { corner: number; at: Point; radius: number; end: boolean }[];
}

/**
 * Unit direction from one point to another.
 *
 * @internal
 */
export function direction(a: Point, b: Point): [number, number] {
  const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
  return length > 0 ? [(b[0] - a[0]) / length, (b[1] - a[1]) / length] : [1, 0];
}
