const LEAF = 8;
// four ranges a box: x, y, x + y, x - y; the oblique ones keep long slanting edges apart
const STRIDE = 8;

/**
 * Every pair of segments whose boxes overlap, by a tree of boxes over the chain against itself.
 *
 * Boxes are octagons, and in the leaves no pair is tested twice. For a ring that does not crowd the time is near
 * n log n.
 *
 * @param ends - `[ax, ay, bx, by, ...]`, metres
 * @param found - called once for each pair, lower number first
 *
 * @internal
 */
export function overlappingPairs(ends: Float64Array, found: (i: number, j: number) => void): void {
  const n = ends.length / 4;
  if (n < 2) return;
  const order = spatialOrder(ends);
  const own = new Float64Array(n * STRIDE);
  for (let k = 0; k < n; k++) {
    const e = 4 * order[k]!;
    const o = k * STRIDE;
    const ax = ends[e]!;
    const ay = ends[e + 1]!;
    const bx = ends[e + 2]!;
    const by = ends[e + 3]!;
    range(own, o, ax, bx);
    range(own, o + 2, ay, by);
    range(own, o + 4, ax + ay, bx + by);
    range(own, o + 6, ax - ay, bx - by);
  }
  // a binary tree in heap order over leaves of LEAF segments
  let leaves = 1;
  while (leaves * LEAF < n) leaves *= 2;
  const boxes = new Float64Array(2 * leaves * STRIDE);
  for (let i = 0; i < boxes.length; i += 2) {
    boxes[i] = Number.POSITIVE_INFINITY;
    boxes[i + 1] = Number.NEGATIVE_INFINITY;
  }
  for (let k = 0; k < n; k++) join(boxes, (leaves + Math.floor(k / LEAF)) * STRIDE, own, k * STRIDE);
  for (let node = leaves - 1; node >= 1; node--) {
    join(boxes, node * STRIDE, boxes, 2 * node * STRIDE);
    join(boxes, node * STRIDE, boxes, (2 * node + 1) * STRIDE);
  }
  const stack: number[] = [1, 1];
  while (stack.length > 0) {
    const q = stack.pop()!;
    const p = stack.pop()!;
    if (p !== q && !meet(boxes, p * STRIDE, boxes, q * STRIDE)) continue;
    if (p < leaves) {
      // both are of one level, always
      if (p === q) stack.push(2 * p, 2 * p, 2 * p, 2 * p + 1, 2 * p + 1, 2 * p + 1);
      else stack.push(2 * p, 2 * q, 2 * p, 2 * q + 1, 2 * p + 1, 2 * q, 2 * p + 1, 2 * q + 1);
      continue;
    }
    const toP = Math.min(n, (p - leaves + 1) * LEAF);
    const toQ = Math.min(n, (q - leaves + 1) * LEAF);
    for (let k = (p - leaves) * LEAF; k < toP; k++) {
      for (let l = p === q ? k + 1 : (q - leaves) * LEAF; l < toQ; l++) {
        if (!meet(own, k * STRIDE, own, l * STRIDE)) continue;
        const i = order[k]!;
        const j = order[l]!;
        if (i < j) found(i, j);
        else found(j, i);
      }
    }
  }
}

function range(out: Float64Array, at: number, a: number, b: number): void {
  out[at] = a < b ? a : b;
  out[at + 1] = a < b ? b : a;
}

function join(out: Float64Array, at: number, from: Float64Array, of: number): void {
  for (let i = 0; i < STRIDE; i += 2) {
    if (from[of + i]! < out[at + i]!) out[at + i] = from[of + i]!;
    if (from[of + i + 1]! > out[at + i + 1]!) out[at + i + 1] = from[of + i + 1]!;
  }
}

// the oblique sums are rounded, so they get a little room; x and y are compared as they are
function meet(a: Float64Array, p: number, b: Float64Array, q: number): boolean {
  if (a[p]! > b[q + 1]! || b[q]! > a[p + 1]! || a[p + 2]! > b[q + 3]! || b[q + 2]! > a[p + 3]!) return false;
  for (let i = 4; i < STRIDE; i += 2) {
    const room = ROOM * (Math.abs(a[p + i]!) + Math.abs(b[q + i]!) + Math.abs(a[p + 1]!) + Math.abs(a[p + 3]!));
    if (a[p + i]! > b[q + i + 1]! + room || b[q + i]! > a[p + i + 1]! + room) return false;
  }
  return true;
}

const ROOM = 4 * Number.EPSILON;

// numbers of the segments in the order of a space-filling curve through their middles (Z-order, 16 bits an axis)
function spatialOrder(ends: Float64Array): Uint32Array {
  const n = ends.length / 4;
  let minX = Number.POSITIVE_INFINITY;
  let minY = Number.POSITIVE_INFINITY;
  let maxX = Number.NEGATIVE_INFINITY;
  let maxY = Number.NEGATIVE_INFINITY;
  for (let k = 0; k < ends.length; k += 2) {
    minX = Math.min(minX, ends[k]!);
    maxX = Math.max(maxX, ends[k]!);
    minY = Math.min(minY, ends[k + 1]!);
    maxY = Math.max(maxY, ends[k + 1]!);
  }
  const scale = 65535 / Math.max(maxX - minX, maxY - minY, Number.MIN_VALUE);
  const keys = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const x = Math.floor(((ends[4 * i]! + ends[4 * i + 2]!) / 2 - minX) * scale);
    const y = Math.floor(((ends[4 * i + 1]! + ends[4 * i + 3]!) / 2 - minY) * scale);
    // key and number in one double, to be sorted as numbers: 32 bits of key, 21 of number
    keys[i] = interleave(x, y) * NUMBERS + (i % NUMBERS);
  }
  if (n > NUMBERS) return Uint32Array.from({ length: n }, (_, i) => i);
  keys.sort();
  const order = new Uint32Array(n);
  for (let i = 0; i < n; i++) order[i] = keys[i]! % NUMBERS;
  return order;
}

const NUMBERS = 2 ** 21;

function interleave(x: number, y: number): number {
  return (spread(x) | (spread(y) << 1)) >>> 0;
}

function spread(value: number): number {
  let v = value & 0xffff;
  v = (v | (v << 8)) & 0x00ff00ff;
  v = (v | (v << 4)) & 0x0f0f0f0f;
  v = (v | (v << 2)) & 0x33333333;
  return (v | (v << 1)) & 0x55555555;
}
