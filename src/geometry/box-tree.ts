import { NO_LENGTH } from "./nearest.js";

/**
 * Boxes below each box, and segments in each of the lowest.
 *
 * @internal
 */
export const FAN = 4;

/**
 * An implicit tree of boxes over segments in their order: box `i` of a level holds boxes `4i` to `4i + 3` of the level
 * below, the lowest level holds segments likewise. Segments of no length are in no box.
 *
 * @param ends - `[ax, ay, bx, by, ...]`, metres
 * @returns the boxes as minimum x and y, maximum x and y; and the first box of each level from the lowest, with the
 * number of all boxes at the end
 *
 * @internal
 */
export function boxTree(ends: Float64Array): { boxes: Float64Array; levels: Int32Array } {
  const n = ends.length >> 2;
  const starts: number[] = [0];
  let total = Math.ceil(n / FAN);
  for (let count = total; count > 1; ) {
    starts.push(total);
    count = Math.ceil(count / FAN);
    total += count;
  }
  starts.push(total);
  const boxes = new Float64Array(4 * total);
  for (let k = 0; k < boxes.length; k += 4) {
    boxes[k] = boxes[k + 1] = Number.POSITIVE_INFINITY;
    boxes[k + 2] = boxes[k + 3] = Number.NEGATIVE_INFINITY;
  }
  for (let i = 0; i < n; i++) {
    const ax = ends[4 * i]!;
    const ay = ends[4 * i + 1]!;
    const bx = ends[4 * i + 2]!;
    const by = ends[4 * i + 3]!;
    if (!((bx - ax) * (bx - ax) + (by - ay) * (by - ay) > NO_LENGTH)) continue;
    join(boxes, 4 * Math.floor(i / FAN), Math.min(ax, bx), Math.min(ay, by), Math.max(ax, bx), Math.max(ay, by));
  }
  for (let level = 0; level + 2 < starts.length; level++) {
    const from = starts[level]!;
    const to = starts[level + 1]!;
    for (let i = from; i < to; i++) {
      const k = 4 * i;
      join(boxes, 4 * (to + Math.floor((i - from) / FAN)), boxes[k]!, boxes[k + 1]!, boxes[k + 2]!, boxes[k + 3]!);
    }
  }
  return { boxes, levels: Int32Array.from(starts) };
}

function join(boxes: Float64Array, at: number, minX: number, minY: number, maxX: number, maxY: number): void {
  if (minX < boxes[at]!) boxes[at] = minX;
  if (minY < boxes[at + 1]!) boxes[at + 1] = minY;
  if (maxX > boxes[at + 2]!) boxes[at + 2] = maxX;
  if (maxY > boxes[at + 3]!) boxes[at + 3] = maxY;
}
