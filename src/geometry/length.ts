import type { Line, Ring } from "./types.js";

/**
 * Length of a line along its points.
 *
 * @param line - metres
 * @returns metres, 0 for fewer than two points
 */
export function pathLength(line: Line): number {
  let length = 0;
  for (let i = 1; i < line.length; i++) {
    const a = line[i - 1]!;
    const b = line[i]!;
    length += Math.hypot(b[0] - a[0], b[1] - a[1]);
  }
  return length;
}

/**
 * Length round a ring, its closing segment included whether or not the first point is repeated at the end.
 *
 * @param ring - open or closed, metres
 * @returns metres, 0 for fewer than two points
 */
export function ringLength(ring: Ring): number {
  const n = ring.length;
  if (n < 2) return 0;
  const first = ring[0]!;
  const last = ring[n - 1]!;
  return pathLength(ring) + Math.hypot(first[0] - last[0], first[1] - last[1]);
}
