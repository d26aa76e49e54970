import { type Killers, STRIDE } from "./killers.js";

/**
 * How often the rings of a source wind round a point, counter-clockwise positive.
 *
 * @param all - the tree over all segments; the point must not lie on one that counts
 * @param counts - which segments count; default all
 *
 * @internal
 */
export function windingAt(
  all: Killers,
  x: number,
  y: number,
  counts: (segment: number) => boolean = everySegment,
): number {
  let winding = 0;
  const { boxes, levels } = all;
  const stack: number[] = [levels.length - 1, 0];
  while (stack.length > 0) {
    const index = stack.pop()!;
    const level = stack.pop()!;
    const b = 4 * (levels[level]! + index);
    if (boxes[b + 2]! < x || boxes[b + 1]! > y || boxes[b + 3]! < y) continue;
    if (level === 0) {
      const last = Math.min(4 * index + 4, all.count);
      for (let j = 4 * index; j < last; j++) {
        const c = crossing(all, j, x, y);
        if (c !== 0 && counts(all.id[j]! >> 1)) winding += c;
      }
      continue;
    }
    const below = levels[level]! - levels[level - 1]!;
    const last = Math.min(4 * index + 4, below);
    for (let c = 4 * index; c < last; c++) stack.push(level - 1, c);
  }
  return winding;
}

// of the ray eastward with a segment
function crossing(all: Killers, j: number, x: number, y: number): number {
  const y1 = all.data[STRIDE * j + 1]! - y;
  const y2 = all.data[STRIDE * j + 3]! - y;
  const up = y1 <= 0 && y2 > 0;
  if (!up && !(y2 <= 0 && y1 > 0)) return 0;
  const x1 = all.data[STRIDE * j]! - x;
  const x2 = all.data[STRIDE * j + 2]! - x;
  const cross = x1 * y2 - x2 * y1;
  if (up) return cross > 0 ? 1 : 0;
  return cross < 0 ? -1 : 0;
}

function everySegment(): boolean {
  return true;
}
