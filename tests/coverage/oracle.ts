import { orient2d } from "robust-predicates";

/** Cells as a set of "i,j" keys: the slow plain record that the bitmap is compared with. */
export type Cells = Set<string>;

/** The documented sample of a cell: its centre moved by a hair east and by a smaller one north, cells. */
const EAST = 0.5 + 2 ** -26;
const NORTH = 0.5 + 2 ** -29;

/**
 * Cells whose sample is inside a ring, even-odd, one by one with exact side tests (Shewchuk's orient2d).
 *
 * @param ring - x0, y0, x1, y1, ..., in cells
 */
export function cellsInRing(ring: readonly number[]): Cells {
  const xs = ring.filter((_, i) => i % 2 === 0);
  const ys = ring.filter((_, i) => i % 2 === 1);
  const cells: Cells = new Set();
  for (let j = Math.floor(Math.min(...ys)) - 1; j <= Math.max(...ys); j++) {
    for (let i = Math.floor(Math.min(...xs)) - 1; i <= Math.max(...xs); i++) {
      if (inRing(xs, ys, i + EAST, j + NORTH)) cells.add(`${i},${j}`);
    }
  }
  return cells;
}

function inRing(xs: readonly number[], ys: readonly number[], x: number, y: number): boolean {
  let inside = false;
  for (let a = 0; a < xs.length; a++) {
    const b = (a + 1) % xs.length;
    const [low, high] = ys[a]! < ys[b]! ? [a, b] : [b, a];
    if (!(ys[low]! <= y && y < ys[high]!)) continue;
    // orient2d of robust-predicates is positive to the right of low -> high; on the edge counts as right of it
    if (orient2d(xs[low]!, ys[low]!, xs[high]!, ys[high]!, x, y) >= 0) inside = !inside;
  }
  return inside;
}

/** Area of a simple ring or of the two triangles of none, by the shoelace sum; the same units as the ring, squared. */
export function ringArea(ring: readonly number[]): number {
  let twice = 0;
  for (let i = 0; i < ring.length; i += 2) {
    const k = (i + 2) % ring.length;
    twice += ring[i]! * ring[k + 1]! - ring[k]! * ring[i + 1]!;
  }
  return Math.abs(twice) / 2;
}

/** Quad of a section between two instants: from the left and right end of its line to those of the next. */
export function sweep(
  a: { x: number; y: number; heading: number },
  b: { x: number; y: number; heading: number },
  left: number,
  right: number,
): [number, number, number, number, number, number, number, number] {
  const at = (pose: { x: number; y: number; heading: number }, offset: number): [number, number] => {
    const h = (pose.heading * Math.PI) / 180;
    return [pose.x + offset * Math.cos(h), pose.y - offset * Math.sin(h)];
  };
  return [...at(a, left), ...at(a, right), ...at(b, right), ...at(b, left)];
}
