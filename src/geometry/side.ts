import { orient2d } from "robust-predicates";
import type { Point } from "./types.js";

/**
 * On which side of the directed line from `a` to `b` a point lies, decided exactly.
 *
 * The sign is that of the exact cross product of the coordinates as given, whatever their size: there is no tolerance,
 * and the answer never contradicts itself between calls. With `a` equal to `b` it is 0. Coordinates so small or so
 * large that products under- or overflow (below 1e-140 m, above 1e140 m) are outside that promise.
 *
 * @param a - start of the line, metres
 * @param b - end of the line, metres
 * @param p - point to decide, metres
 * @returns above 0 right of the walking direction, below 0 left of it, 0 exactly on the line; the size is about twice
 * the area of the triangle, square metres
 * @see J. R. Shewchuk, Adaptive Precision Floating-Point Arithmetic and Fast Robust Geometric Predicates, 1997
 * @example
 * ```ts
 * side([0, 0], [0, 100], [3, 50]); // above 0: 3 m east of a line that runs north
 * ```
 */
export function side(a: Point, b: Point, p: Point): number {
  // in an east-north frame this predicate is positive to the right; the sum turns -0 into 0
  return orient2d(a[0], a[1], b[0], b[1], p[0], p[1]) + 0;
}
