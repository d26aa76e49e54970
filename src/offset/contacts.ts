import { FAN } from "./box-levels.js";
import type { RingSet } from "./ring-set.js";

/** Relative error bound of a cross product of coordinate differences, generous: what is not surely apart is in doubt. */
const IN_DOUBT = 1e-14;
/** Sine and cosine within this of a straight turn back count as one. */
const TURN_BACK = 1e-12;
/**
 * A chain whose directions span less than this, in quarter turns, runs one way: it never meets itself. Half a turn would
 * do, if there was no rounding.
 */
const ONE_WAY = 1.9;

/**
 * Whether any two segments of rings may meet that are no neighbours, or two neighbours may lie on each other. Fast and
 * one-sided: no is sure, yes asks for an exact look.
 *
 * @param room - segments nearer than this to each other count as meeting, metres; default 0
 *
 * @internal
 */
export function mayTouch(rings: RingSet, room = 0): boolean {
  let found = false;
  visitContacts(rings, room, () => {
    found = true;
    return false;
  });
  return found;
}

/**
 * Visit the pairs of segments that may meet, each once; neighbours where the way turns straight back.
 *
 * @param room - as for {@link mayTouch}
 * @param visit - called with the numbers of both segments; false ends the search
 *
 * @internal
 */
export function visitContacts(rings: RingSet, room: number, visit: (k: number, l: number) => boolean): void {
  const directions = directionsOf(rings);
  const { size, next } = rings;
  for (let k = 0; k < size; k++) if (turnsBack(rings, k, next[k]!, room) && !visit(k, next[k]!)) return;
  const [low, high] = spansOf(directions, rings);
  const { boxes, levels } = rings;
  // pairs of boxes of one level: level, one, other
  const stack = [levels.length - 1, 0, 0];
  while (stack.length > 0) {
    const other = stack.pop()!;
    const one = stack.pop()!;
    const level = stack.pop()!;
    if (level === 0) {
      if (!visitLeaves(rings, one, other, room, visit)) return;
      continue;
    }
    const below = levels[level - 1]!;
    const count = levels[level]! - below;
    const oneLast = Math.min(FAN * one + FAN, count);
    const otherLast = Math.min(FAN * other + FAN, count);
    for (let i = FAN * one; i < oneLast; i++) {
      for (let j = one === other ? i : FAN * other; j < otherLast; j++) {
        const a = below + i;
        const b = below + j;
        if (b - a < 2) {
          // neighbours in the chain overlap always: most run one way
          const from = low[a]! < low[b]! ? low[a]! : low[b]!;
          const to = high[a]! > high[b]! ? high[a]! : high[b]!;
          if (to - from < ONE_WAY) continue;
        }
        if (boxesMeet(boxes, 4 * a, 4 * b, room)) stack.push(level - 1, i, j);
      }
    }
  }
}

// direction of each segment in quarter turns, unwrapped along its ring; no two neighbouring rings are near each other
function directionsOf({ size, x, y, next }: RingSet): Float64Array {
  const out = new Float64Array(size);
  let turned = 0;
  let before = 0;
  let base = 0;
  for (let k = 0; k < size; k++) {
    const to = next[k]!;
    const dx = x[to]! - x[k]!;
    const dy = y[to]! - y[k]!;
    const sum = Math.abs(dx) + Math.abs(dy);
    // rises with the angle, opposite directions are 2 apart
    let direction = 0;
    if (sum > 0) {
      if (dy >= 0) direction = dx >= 0 ? dy / sum : 1 - dx / sum;
      else direction = dx < 0 ? 2 - dy / sum : 3 + dx / sum;
    }
    let step = direction - before;
    if (step > 2) step -= 4;
    else if (step < -2) step += 4;
    turned += step;
    before = direction;
    out[k] = turned + base;
    if (to !== k + 1) base = base === 0 ? 1e6 : 0;
  }
  return out;
}

// least and greatest direction under each box
function spansOf(directions: Float64Array, { size, levels }: RingSet): [Float64Array, Float64Array] {
  const count = levels[levels.length - 1]! + 1;
  const low = new Float64Array(count).fill(Number.POSITIVE_INFINITY);
  const high = new Float64Array(count).fill(Number.NEGATIVE_INFINITY);
  for (let k = 0; k < size; k++) {
    const leaf = (k / FAN) | 0;
    const direction = directions[k]!;
    if (direction < low[leaf]!) low[leaf] = direction;
    if (direction > high[leaf]!) high[leaf] = direction;
  }
  for (let level = 1; level < levels.length; level++) {
    const below = levels[level - 1]!;
    const first = levels[level]!;
    for (let b = below; b < first; b++) {
      const parent = first + (((b - below) / FAN) | 0);
      if (low[b]! < low[parent]!) low[parent] = low[b]!;
      if (high[b]! > high[parent]!) high[parent] = high[b]!;
    }
  }
  return [low, high];
}

function boxesMeet(boxes: Float64Array, a: number, b: number, room: number): boolean {
  // hot
  return (
    boxes[a]! <= boxes[b + 2]! + room &&
    boxes[b]! <= boxes[a + 2]! + room &&
    boxes[a + 1]! <= boxes[b + 3]! + room &&
    boxes[b + 1]! <= boxes[a + 3]! + room
  );
}

// false where the visitor wants no more
function visitLeaves(
  rings: RingSet,
  one: number,
  other: number,
  room: number,
  visit: (k: number, l: number) => boolean,
): boolean {
  const { size, next } = rings;
  const oneLast = Math.min(FAN * one + FAN, size);
  const otherLast = Math.min(FAN * other + FAN, size);
  for (let k = FAN * one; k < oneLast; k++) {
    for (let l = one === other ? k + 1 : FAN * other; l < otherLast; l++) {
      if (next[k] === l || next[l] === k) continue;
      if (pairMayTouch(rings, k, l, room) && !visit(k, l)) return false;
    }
  }
  return true;
}

// whether the way turns straight back from a segment to the next, but for the room at the end of the shorter one
function turnsBack({ x, y, next }: RingSet, k: number, l: number, room: number): boolean {
  // hot
  const end = next[l]!;
  const ux = x[l]! - x[k]!;
  const uy = y[l]! - y[k]!;
  const vx = x[end]! - x[l]!;
  const vy = y[end]! - y[l]!;
  const dot = ux * vx + uy * vy;
  if (dot >= 0) return false;
  const cross = Math.abs(ux * vy - uy * vx);
  if (cross <= -dot * TURN_BACK) return true;
  if (room === 0) return false;
  return cross <= room * Math.sqrt(Math.max(ux * ux + uy * uy, vx * vx + vy * vy));
}

function pairMayTouch({ x, y, next }: RingSet, k: number, l: number, room: number): boolean {
  // hot
  const ax = x[k]!;
  const ay = y[k]!;
  const bx = x[next[k]!]!;
  const by = y[next[k]!]!;
  const cx = x[l]!;
  const cy = y[l]!;
  const dx = x[next[l]!]!;
  const dy = y[next[l]!]!;
  if (cx > ax + room && cx > bx + room && dx > ax + room && dx > bx + room) return false;
  if (cx < ax - room && cx < bx - room && dx < ax - room && dx < bx - room) return false;
  if (cy > ay + room && cy > by + room && dy > ay + room && dy > by + room) return false;
  if (cy < ay - room && cy < by - room && dy < ay - room && dy < by - room) return false;
  return !apart(ax, ay, bx, by, cx, cy, dx, dy, room) && !apart(cx, cy, dx, dy, ax, ay, bx, by, room);
}

// whether c and d lie surely on one side of the line through a and b, farther from it than the room
function apart(
  ax: number,
  ay: number,
  bx: number,
  by: number,
  cx: number,
  cy: number,
  dx: number,
  dy: number,
  room: number,
): boolean {
  const ux = bx - ax;
  const uy = by - ay;
  const c1 = ux * (cy - ay);
  const c2 = uy * (cx - ax);
  const d1 = ux * (dy - ay);
  const d2 = uy * (dx - ax);
  const c = c1 - c2;
  const d = d1 - d2;
  const near = room === 0 ? 0 : room * (Math.abs(ux) + Math.abs(uy));
  const cDoubt = IN_DOUBT * (Math.abs(c1) + Math.abs(c2)) + near;
  const dDoubt = IN_DOUBT * (Math.abs(d1) + Math.abs(d2)) + near;
  return (c > cDoubt && d > dDoubt) || (c < -cDoubt && d < -dDoubt);
}
