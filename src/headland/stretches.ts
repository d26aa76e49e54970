import type { Point, Ring } from "../geometry/index.js";

/**
 * Stretches of a ring whose segments are wanted, each in the ring's direction.
 *
 * @param ring - closed, metres
 * @param wanted - asked with the middle of every segment
 * @returns open lines; the ring itself where all of it is wanted
 *
 * @internal
 */
export function stretchesOf(ring: Ring, wanted: (x: number, y: number) => boolean): Point[][] {
  const n = ring.length - 1;
  const keep: boolean[] = [];
  for (let i = 0; i < n; i++) {
    const a = ring[i]!;
    const b = ring[i + 1]!;
    keep.push(wanted((a[0] + b[0]) / 2, (a[1] + b[1]) / 2));
  }
  if (keep.every(Boolean)) return [[...ring]];
  const lines: Point[][] = [];
  for (let i = 0; i < n; i++) {
    if (!keep[i] || keep[(i - 1 + n) % n]) continue;
    const line: Point[] = [ring[i]!];
    for (let k = i; keep[k % n]; k++) line.push(ring[(k + 1) % n]!);
    lines.push(line);
  }
  return lines;
}
