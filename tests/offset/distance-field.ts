/**
 * Distance to a set of segments, by a box tree of its own: nothing of the engine is used, so that the judges of an
 * offset share no fault with it. Coordinates are kept relative to the first point given.
 */
export class DistanceField {
  /** origin that all stored coordinates are relative to */
  readonly originX: number;
  readonly originY: number;
  readonly count: number;
  /** ax, ay, bx, by of each segment, relative to the origin, in the order given */
  readonly segments: Float64Array;
  readonly #boxes: Float64Array;
  readonly #leaves: number;
  readonly #stack: Int32Array = new Int32Array(256);
  static readonly #LEAF = 4;

  constructor(segments: Float64Array, originX: number = segments[0] ?? 0, originY: number = segments[1] ?? 0) {
    this.originX = originX;
    this.originY = originY;
    this.count = segments.length / 4;
    this.segments = new Float64Array(segments.length);
    for (let i = 0; i < segments.length; i += 2) {
      this.segments[i] = segments[i]! - originX;
      this.segments[i + 1] = segments[i + 1]! - originY;
    }
    // a complete binary tree over slices of the segments: node k has children 2k + 1 and 2k + 2
    let leaves = 1;
    while (leaves * DistanceField.#LEAF < this.count) leaves *= 2;
    this.#leaves = leaves;
    this.#boxes = new Float64Array((2 * leaves - 1) * 4);
    if (this.count > 0) this.#build(0, 0, this.count, leaves);
    this.#slices();
  }

  #starts: Int32Array = new Int32Array(0);

  #build(node: number, from: number, to: number, leaves: number): void {
    const s = this.segments;
    let minX = Number.POSITIVE_INFINITY;
    let minY = Number.POSITIVE_INFINITY;
    let maxX = Number.NEGATIVE_INFINITY;
    let maxY = Number.NEGATIVE_INFINITY;
    for (let k = from; k < to; k++) {
      const o = k * 4;
      minX = Math.min(minX, s[o]!, s[o + 2]!);
      maxX = Math.max(maxX, s[o]!, s[o + 2]!);
      minY = Math.min(minY, s[o + 1]!, s[o + 3]!);
      maxY = Math.max(maxY, s[o + 1]!, s[o + 3]!);
    }
    this.#boxes.set([minX, minY, maxX, maxY], node * 4);
    if (leaves === 1) return;
    // halves in the order given: consecutive segments of a drawing lie side by side
    const middle = (from + to) >> 1;
    this.#build(2 * node + 1, from, middle, leaves / 2);
    this.#build(2 * node + 2, middle, to, leaves / 2);
  }

  #slices(): void {
    // starts of the leaves' slices, by the same halving as the build
    const starts: number[] = [];
    const walk = (from: number, to: number, leaves: number): void => {
      if (leaves === 1) {
        starts.push(from);
        return;
      }
      const middle = (from + to) >> 1;
      walk(from, middle, leaves / 2);
      walk(middle, to, leaves / 2);
    };
    walk(0, this.count, this.#leaves);
    starts.push(this.count);
    this.#starts = Int32Array.from(starts);
  }

  #boxDistance2(node: number, x: number, y: number): number {
    const b = this.#boxes;
    const o = node * 4;
    const dx = x < b[o]! ? b[o]! - x : x > b[o + 2]! ? x - b[o + 2]! : 0;
    const dy = y < b[o + 1]! ? b[o + 1]! - y : y > b[o + 3]! ? y - b[o + 3]! : 0;
    return dx * dx + dy * dy;
  }

  /** Squared distance from a point, relative to the origin, to one segment. */
  distance2To(index: number, x: number, y: number): number {
    const s = this.segments;
    const o = index * 4;
    const ax = s[o]!;
    const ay = s[o + 1]!;
    const dx = s[o + 2]! - ax;
    const dy = s[o + 3]! - ay;
    const px = x - ax;
    const py = y - ay;
    const l2 = dx * dx + dy * dy;
    const t = px * dx + py * dy;
    if (t <= 0 || l2 === 0) return px * px + py * py;
    if (t >= l2) {
      const qx = x - s[o + 2]!;
      const qy = y - s[o + 3]!;
      return qx * qx + qy * qy;
    }
    // by the cross product: the difference of squares would cancel
    const cross = px * dy - py * dx;
    return (cross * cross) / l2;
  }

  /** Distance from a point, relative to the origin, to the nearest segment; `limit` or more counts as `limit`. */
  distance(x: number, y: number, limit: number = Number.POSITIVE_INFINITY): number {
    return this.#search(x, y, limit, -1);
  }

  /** Whether any segment lies strictly nearer than `radius`. */
  nearerThan(x: number, y: number, radius: number): boolean {
    return this.#search(x, y, radius, radius) < radius;
  }

  /** Least distance below `limit`; stops at the first below `enough`. */
  #search(x: number, y: number, limit: number, enough: number): number {
    let best = limit * limit;
    const stop = enough < 0 ? -1 : enough * enough;
    const stack = this.#stack;
    let depth = 0;
    if (this.count > 0) stack[depth++] = 0;
    while (depth > 0) {
      const node = stack[--depth]!;
      if (this.#boxDistance2(node, x, y) >= best) continue;
      if (node >= this.#leaves - 1) {
        const leaf = node - this.#leaves + 1;
        // leaves of a complete tree stand in order
        for (let k = this.#starts[leaf]!; k < this.#starts[leaf + 1]!; k++) {
          const d2 = this.distance2To(k, x, y);
          if (d2 < best) {
            best = d2;
            if (best < stop) return Math.sqrt(best);
          }
        }
        continue;
      }
      const near = this.#boxDistance2(2 * node + 1, x, y);
      const far = this.#boxDistance2(2 * node + 2, x, y);
      if (near <= far) {
        stack[depth++] = 2 * node + 2;
        stack[depth++] = 2 * node + 1;
      } else {
        stack[depth++] = 2 * node + 1;
        stack[depth++] = 2 * node + 2;
      }
    }
    return Math.sqrt(best);
  }

  /** Indexes of the segments within `radius` of a point. */
  within(x: number, y: number, radius: number): number[] {
    const out: number[] = [];
    this.#visit(
      (node) => this.#boxDistance2(node, x, y) <= radius * radius,
      (index) => {
        if (this.distance2To(index, x, y) <= radius * radius) out.push(index);
      },
    );
    return out;
  }

  /** Indexes of the segments whose boxes meet a box. */
  inBox(minX: number, minY: number, maxX: number, maxY: number, visit: (index: number) => void): void {
    const b = this.#boxes;
    const s = this.segments;
    this.#visit(
      (node) => {
        const o = node * 4;
        return b[o]! <= maxX && b[o + 2]! >= minX && b[o + 1]! <= maxY && b[o + 3]! >= minY;
      },
      (index) => {
        const o = index * 4;
        if (Math.min(s[o]!, s[o + 2]!) > maxX || Math.max(s[o]!, s[o + 2]!) < minX) return;
        if (Math.min(s[o + 1]!, s[o + 3]!) > maxY || Math.max(s[o + 1]!, s[o + 3]!) < minY) return;
        visit(index);
      },
    );
  }

  #visit(enter: (node: number) => boolean, visit: (index: number) => void): void {
    if (this.count === 0) return;
    const stack: number[] = [0];
    while (stack.length > 0) {
      const node = stack.pop()!;
      if (!enter(node)) continue;
      if (node < this.#leaves - 1) {
        stack.push(2 * node + 1, 2 * node + 2);
        continue;
      }
      const leaf = node - this.#leaves + 1;
      for (let k = this.#starts[leaf]!; k < this.#starts[leaf + 1]!; k++) visit(k);
    }
  }

  /** Even-odd rule: whether a point, relative to the origin, has an odd number of segments to its east. */
  odd(x: number, y: number): boolean {
    let inside = false;
    const b = this.#boxes;
    const s = this.segments;
    this.#visit(
      (node) => b[node * 4 + 2]! >= x && b[node * 4 + 1]! <= y && b[node * 4 + 3]! >= y,
      (index) => {
        const o = index * 4;
        const ay = s[o + 1]!;
        const by = s[o + 3]!;
        if (ay > y === by > y) return;
        if (x < ((s[o + 2]! - s[o]!) * (y - ay)) / (by - ay) + s[o]!) inside = !inside;
      },
    );
    return inside;
  }
}
