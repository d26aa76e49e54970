import type { Polygon } from "../../src/geometry/types.js";
import { polygonSource } from "./elements.js";

/** Bounds on how many parts and holes an offset has: the true number lies in between, but for those below a cell. */
export interface FloodCount {
  readonly parts: readonly [least: number, most: number];
  readonly holes: readonly [least: number, most: number];
  /** diagonal of a cell, metres */
  readonly cell: number;
}

const IN = 1;
const OUT = 2;
const UNSURE = 3;

/**
 * Count parts and holes by flooding a raster, without any linking of curves. A cell whose middle is farther from the
 * level than its half diagonal is surely in or out (the distance changes by no more than the way), others are unsure;
 * whole blocks are settled at once. Sure cells alone give the most parts, sure and unsure ones together the least.
 */
export function floodCount(polygons: readonly Polygon[], distance: number, size: number): FloodCount {
  const source = polygonSource(polygons, distance);
  const { field, radius } = source;
  const inward = distance < 0;
  let minX = Number.POSITIVE_INFINITY;
  let minY = Number.POSITIVE_INFINITY;
  let maxX = Number.NEGATIVE_INFINITY;
  let maxY = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < field.segments.length; i += 2) {
    minX = Math.min(minX, field.segments[i]!);
    maxX = Math.max(maxX, field.segments[i]!);
    minY = Math.min(minY, field.segments[i + 1]!);
    maxY = Math.max(maxY, field.segments[i + 1]!);
  }
  const margin = (inward ? 0 : radius) + 0.02 * Math.max(maxX - minX, maxY - minY) + 1e-9;
  const extent = Math.max(maxX - minX, maxY - minY) + 2 * margin;
  const west = minX - margin;
  const south = minY - margin;
  const cell = extent / size;
  const cells = new Uint8Array(size * size);
  // level: positive where the point belongs to the offset
  const level = (x: number, y: number): number => {
    const d = field.distance(x, y);
    const inside = field.odd(x, y);
    return inward ? (inside ? d : -d) - radius : radius - (inside ? -d : d);
  };
  const settle = (i: number, j: number, n: number): void => {
    const value = level(west + (i + n / 2) * cell, south + (j + n / 2) * cell);
    const reach = n * cell * Math.SQRT1_2 * (1 + 1e-9);
    const kind = value > reach ? IN : value < -reach ? OUT : n === 1 ? UNSURE : 0;
    if (kind === 0) {
      const h = n / 2;
      settle(i, j, h);
      settle(i + h, j, h);
      settle(i, j + h, h);
      settle(i + h, j + h, h);
      return;
    }
    for (let y = j; y < j + n; y++) cells.fill(kind, y * size + i, y * size + i + n);
  };
  settle(0, 0, size);
  const outside = (kinds: number[], seed: number): number => components(cells, size, kinds, seed);
  return {
    parts: [outside([IN, UNSURE], IN), outside([IN], IN)],
    // the frame is surely out: it is one of the components of what is out
    holes: [outside([OUT, UNSURE], OUT) - 1, outside([OUT], OUT) - 1],
    cell: cell * Math.SQRT2,
  };
}

/** Number of 8-connected components of the cells of these kinds that hold a cell of the kind `seed`. */
function components(cells: Uint8Array, size: number, kinds: readonly number[], seed: number): number {
  const seen = new Uint8Array(cells.length);
  const wanted = new Uint8Array(4);
  for (const kind of kinds) wanted[kind] = 1;
  const stack: number[] = [];
  let count = 0;
  for (let start = 0; start < cells.length; start++) {
    if (cells[start] !== seed || seen[start] === 1) continue;
    count++;
    seen[start] = 1;
    stack.push(start);
    while (stack.length > 0) {
      const at = stack.pop()!;
      const x = at % size;
      const y = (at - x) / size;
      for (let v = Math.max(0, y - 1); v <= Math.min(size - 1, y + 1); v++) {
        for (let u = Math.max(0, x - 1); u <= Math.min(size - 1, x + 1); u++) {
          const to = v * size + u;
          if (seen[to] === 1 || wanted[cells[to]!] === 0) continue;
          seen[to] = 1;
          stack.push(to);
        }
      }
    }
  }
  return count;
}
