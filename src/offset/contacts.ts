import type { FlatSource } from "./flat-source.js";
import { type Killers, STRIDE } from "./killers.js";

/** Relative error bound of a cross product of coordinate differences, generous: what is not surely apart is in doubt. */
const IN_DOUBT = 1e-14;

/**
 * Whether any two segments of rings may meet that are no neighbours, or two neighbours lie on each other. Fast and one-sided:
 * no is sure, yes asks for an exact look.
 *
 * @internal
 */
export function mayTouch(source: FlatSource, all: Killers): boolean {
  for (let k = 0; k < source.size; k++) if (Math.abs(source.turn[k]!) > Math.PI - 1e-12) return true;
  const { levels } = all;
  // pairs of boxes of one level: level, one, other
  const stack = [levels.length - 1, 0, 0];
  while (stack.length > 0) {
    const other = stack.pop()!;
    const one = stack.pop()!;
    const level = stack.pop()!;
    if (level === 0) {
      if (leavesMayTouch(source, all, one, other)) return true;
      continue;
    }
    const below = levels[level - 1]!;
    const count = levels[level]! - below;
    const oneLast = Math.min(4 * one + 4, count);
    const otherLast = Math.min(4 * other + 4, count);
    for (let i = 4 * one; i < oneLast; i++) {
      for (let j = one === other ? i : 4 * other; j < otherLast; j++) {
        if (boxesMeet(all.boxes, 4 * (below + i), 4 * (below + j))) stack.push(level - 1, i, j);
      }
    }
  }
  return false;
}

function boxesMeet(boxes: Float64Array, a: number, b: number): boolean {
  // hot
  return (
    boxes[a]! <= boxes[b + 2]! &&
    boxes[b]! <= boxes[a + 2]! &&
    boxes[a + 1]! <= boxes[b + 3]! &&
    boxes[b + 1]! <= boxes[a + 3]!
  );
}

function leavesMayTouch(source: FlatSource, all: Killers, one: number, other: number): boolean {
  const oneLast = Math.min(4 * one + 4, all.count);
  const otherLast = Math.min(4 * other + 4, all.count);
  for (let i = 4 * one; i < oneLast; i++) {
    for (let j = one === other ? i + 1 : 4 * other; j < otherLast; j++) {
      const k = all.id[i]! >> 1;
      const l = all.id[j]! >> 1;
      if (source.next[k] === l || source.next[l] === k) continue;
      if (pairMayTouch(all, i, j)) return true;
    }
  }
  return false;
}

function pairMayTouch(all: Killers, i: number, j: number): boolean {
  // hot
  const { data } = all;
  const ax = data[STRIDE * i]!;
  const ay = data[STRIDE * i + 1]!;
  const bx = data[STRIDE * i + 2]!;
  const by = data[STRIDE * i + 3]!;
  const cx = data[STRIDE * j]!;
  const cy = data[STRIDE * j + 1]!;
  const dx = data[STRIDE * j + 2]!;
  const dy = data[STRIDE * j + 3]!;
  if (cx > ax && cx > bx && dx > ax && dx > bx) return false;
  if (cx < ax && cx < bx && dx < ax && dx < bx) return false;
  if (cy > ay && cy > by && dy > ay && dy > by) return false;
  if (cy < ay && cy < by && dy < ay && dy < by) return false;
  return !apart(ax, ay, bx, by, cx, cy, dx, dy) && !apart(cx, cy, dx, dy, ax, ay, bx, by);
}

// whether c and d lie surely on one side of the line through a and b
function apart(
  ax: number,
  ay: number,
  bx: number,
  by: number,
  cx: number,
  cy: number,
  dx: number,
  dy: number,
): boolean {
  const ux = bx - ax;
  const uy = by - ay;
  const c1 = ux * (cy - ay);
  const c2 = uy * (cx - ax);
  const d1 = ux * (dy - ay);
  const d2 = uy * (dx - ax);
  const c = c1 - c2;
  const d = d1 - d2;
  const doubtC = IN_DOUBT * (Math.abs(c1) + Math.abs(c2));
  const doubtD = IN_DOUBT * (Math.abs(d1) + Math.abs(d2));
  return (c > doubtC && d > doubtD) || (c < -doubtC && d < -doubtD);
}
