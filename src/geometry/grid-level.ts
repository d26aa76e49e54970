/**
 * One level of the grid. A cell without edges holds its winding number doubled; one with edges holds the number of its
 * record doubled, plus one.
 *
 * @internal
 */
export class GridLevel {
  readonly minX: number;
  readonly minY: number;
  readonly perX: number;
  readonly perY: number;
  readonly columns: number;
  readonly rows: number;
  readonly cells: Int32Array;

  constructor(minX: number, minY: number, maxX: number, maxY: number, columns: number, rows: number) {
    this.minX = minX;
    this.minY = minY;
    this.columns = columns;
    this.rows = rows;
    this.perX = columns / (maxX - minX);
    this.perY = rows / (maxY - minY);
    this.cells = new Int32Array(columns * rows);
  }

  column(x: number): number {
    const i = Math.floor((x - this.minX) * this.perX);
    return i < 0 ? 0 : i >= this.columns ? this.columns - 1 : i;
  }

  row(y: number): number {
    const i = Math.floor((y - this.minY) * this.perY);
    return i < 0 ? 0 : i >= this.rows ? this.rows - 1 : i;
  }
}

/**
 * Every cell of a level that an edge passes or comes near, rounding included.
 *
 * @param level - the level
 * @param ends - `[ax, ay, bx, by, ...]` of all edges, metres
 * @param edges - numbers of the edges to enter
 * @param padding - room for rounding, metres
 * @param found - called with each cell and edge, edges in their order
 *
 * @internal
 */
export function eachCell(
  level: GridLevel,
  ends: Float64Array,
  edges: Int32Array,
  padding: number,
  found: (cell: number, edge: number) => void,
): void {
  const height = 1 / level.perY;
  for (let i = 0; i < edges.length; i++) {
    const e = 4 * edges[i]!;
    const up = ends[e + 1]! <= ends[e + 3]!;
    const lowX = ends[up ? e : e + 2]!;
    const lowY = ends[up ? e + 1 : e + 3]!;
    const highX = ends[up ? e + 2 : e]!;
    const highY = ends[up ? e + 3 : e + 1]!;
    const slope = highY > lowY ? (highX - lowX) / (highY - lowY) : 0;
    // padded, so a level edge on the line between two rows stands in both
    const firstRow = level.row(lowY - padding);
    const lastRow = level.row(highY + padding);
    const west = Math.min(lowX, highX);
    const east = Math.max(lowX, highX);
    for (let row = firstRow; row <= lastRow; row++) {
      let from = west;
      let to = east;
      if (lastRow > firstRow && highY > lowY) {
        const bottom = Math.max(lowY, level.minY + row * height - padding);
        const top = Math.min(highY, level.minY + (row + 1) * height + padding);
        const x1 = lowX + slope * (bottom - lowY);
        const x2 = lowX + slope * (top - lowY);
        from = Math.max(west, Math.min(x1, x2));
        to = Math.min(east, Math.max(x1, x2));
      }
      // a nearly level edge multiplies the rounding of its height
      const slack = padding * (1 + Math.min(Math.abs(slope), (east - west) / padding));
      const lastColumn = level.column(Math.min(to + slack, east + padding));
      for (let column = level.column(Math.max(from - slack, west - padding)); column <= lastColumn; column++) {
        found(row * level.columns + column, edges[i]!);
      }
    }
  }
}
