/** Leaves, and boxes under one node, of the trees of offset. */
export const FAN = 4;

/** Room for the boxes of a tree over so many items. @internal */
export function boxRoom(items: number): number {
  return 4 * (Math.ceil(items / 3) + 16);
}

/**
 * Boxes of the nodes above the leaves, level by level to the root, four below each.
 *
 * @param boxes - west, south, east, north of each box, leaves first; the others are written behind them
 * @param leaves - how many
 * @param levels - out: first box of each level; the last is the root
 *
 * @internal
 */
export function buildLevels(boxes: Float64Array, leaves: number, levels: number[]): void {
  levels.length = 0;
  let from = 0;
  let width = leaves;
  levels.push(0);
  while (width > 1) {
    const above = from + width;
    const parents = Math.ceil(width / FAN);
    for (let p = 0; p < parents; p++) {
      const first = from + p * FAN;
      const last = Math.min(first + FAN, above);
      let west = Number.POSITIVE_INFINITY;
      let south = Number.POSITIVE_INFINITY;
      let east = Number.NEGATIVE_INFINITY;
      let north = Number.NEGATIVE_INFINITY;
      for (let b = 4 * first; b < 4 * last; b += 4) {
        if (boxes[b]! < west) west = boxes[b]!;
        if (boxes[b + 1]! < south) south = boxes[b + 1]!;
        if (boxes[b + 2]! > east) east = boxes[b + 2]!;
        if (boxes[b + 3]! > north) north = boxes[b + 3]!;
      }
      const at = 4 * (above + p);
      boxes[at] = west;
      boxes[at + 1] = south;
      boxes[at + 2] = east;
      boxes[at + 3] = north;
    }
    levels.push(above);
    from = above;
    width = parents;
  }
}
