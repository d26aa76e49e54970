/** A square cell: its middle, half its side, and what it may hold at best. */
export type Cell = readonly [x: number, y: number, half: number, most: number];

/** Cells by what they promise, the largest on top. */
export class CellHeap {
  readonly #cells: Cell[] = [];

  /** how many cells there are */
  get size(): number {
    return this.#cells.length;
  }

  /** Put a cell in. */
  push(cell: Cell): void {
    const cells = this.#cells;
    let at = cells.push(cell) - 1;
    while (at > 0) {
      const parent = (at - 1) >> 1;
      if (cells[parent]![3] >= cell[3]) break;
      cells[at] = cells[parent]!;
      at = parent;
    }
    cells[at] = cell;
  }

  /** Take out the cell that promises most; there must be one. */
  pop(): Cell {
    const cells = this.#cells;
    const top = cells[0]!;
    const last = cells.pop()!;
    const count = cells.length;
    if (count === 0) return top;
    let at = 0;
    for (;;) {
      let child = 2 * at + 1;
      if (child >= count) break;
      if (child + 1 < count && cells[child + 1]![3] > cells[child]![3]) child++;
      if (cells[child]![3] <= last[3]) break;
      cells[at] = cells[child]!;
      at = child;
    }
    cells[at] = last;
    return top;
  }
}
