import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { type RowRuns, RunsBuilder } from "../../src/coverage/row-runs.js";
import { closeRuns } from "../../src/survey/close-runs.js";

/** Runs of cells drawn as text, the first line the lowest row; `east` and `north` move them. */
function runsOf(lines: readonly string[], east = 0, north = 0): RowRuns {
  const out = new RunsBuilder();
  lines.forEach((line, y) => {
    out.row(north + y);
    [...line].forEach((cell, x) => cell === "#" && out.run(east + x, east + x + 1));
  });
  return out.build();
}

function cellsOf(runs: RowRuns): Set<string> {
  const cells = new Set<string>();
  runs.rows.forEach((row, i) => {
    for (let k = runs.starts[i]!; k < runs.starts[i + 1]!; k++) {
      for (let x = runs.ends[2 * k]!; x < runs.ends[2 * k + 1]!; x++) cells.add(`${x} ${row}`);
    }
  });
  return cells;
}

/** Closing by its definition, cell by cell: in it is what every disc that holds it meets ground with. */
function closedByDefinition(cells: ReadonlySet<string>, radius: number): Set<string> {
  const reach = Math.floor(radius);
  const disc: [number, number][] = [];
  for (let dx = -reach; dx <= reach; dx++) {
    for (let dy = -reach; dy <= reach; dy++) if (dx * dx + dy * dy <= radius * radius) disc.push([dx, dy]);
  }
  const around = (cell: string): string[] => {
    const [x, y] = cell.split(" ").map(Number) as [number, number];
    return disc.map(([dx, dy]) => `${x + dx} ${y + dy}`);
  };
  const dilated = new Set([...cells].flatMap(around));
  return new Set([...dilated].filter((cell) => around(cell).every((other) => dilated.has(other))));
}

const grids = fc
  .tuple(fc.integer({ min: 1, max: 14 }), fc.integer({ min: 1, max: 14 }))
  .chain(([width, height]) =>
    fc.array(fc.array(fc.constantFrom("#", ".", ".", "."), { minLength: width, maxLength: width }), {
      minLength: height,
      maxLength: height,
    }),
  )
  .map((rows) => rows.map((row) => row.join("")));
const radii = fc.constantFrom(1, 1.42, 2, 2.5, 3, 4.7);

describe("closing of runs", () => {
  test("is what its definition gives, wherever the cells lie", () => {
    fc.assert(
      fc.property(
        grids,
        radii,
        fc.integer({ min: -300, max: 300 }),
        fc.integer({ min: -300, max: 300 }),
        (grid, radius, east, north) => {
          const runs = runsOf(grid, east, north);
          expect([...cellsOf(closeRuns(runs, radius))].sort()).toEqual(
            [...closedByDefinition(cellsOf(runs), radius)].sort(),
          );
        },
      ),
      { numRuns: 300 },
    );
  });

  test("adds and never takes away; done twice it is as once", () => {
    fc.assert(
      fc.property(grids, radii, (grid, radius) => {
        const runs = runsOf(grid);
        const closed = closeRuns(runs, radius);
        const cells = cellsOf(closed);
        for (const cell of cellsOf(runs)) expect(cells.has(cell)).toBe(true);
        expect(cellsOf(closeRuns(closed, radius))).toEqual(cells);
      }),
      { numRuns: 200 },
    );
  });

  test("far rows stay apart, and nothing stays nothing", () => {
    const far = new RunsBuilder();
    for (const row of [-1_000_000, 0, 1_000_000]) {
      far.row(row);
      far.run(-50_000_000, -49_999_990);
      far.run(50_000_000, 50_000_010);
    }
    const closed = closeRuns(far.build(), 20.5);
    expect([...closed.rows]).toEqual([-1_000_000, 0, 1_000_000]);
    expect(closed).toEqual(far.build());
    expect(closeRuns(new RunsBuilder().build(), 5).rows).toHaveLength(0);
  });

  test("many runs in a row: a comb of single cells is filled, its outside is not", () => {
    const out = new RunsBuilder();
    for (let row = 0; row < 30; row++) {
      out.row(row);
      for (let k = 0; k < 500; k++) out.run(3 * k, 3 * k + 1);
    }
    const closed = closeRuns(out.build(), 4);
    expect(closed.rows).toHaveLength(30);
    for (let i = 5; i < 25; i++) {
      expect([...closed.ends.subarray(2 * closed.starts[i]!, 2 * closed.starts[i + 1]!)]).toEqual([0, 1498]);
    }
  });
});
