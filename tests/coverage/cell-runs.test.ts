import { describe, expect, it } from "vitest";
import { CoverageRecord } from "../../src/coverage/index.js";
import { expectCode } from "../helpers/within.js";

describe("the worked cells as runs", () => {
  const record = new CoverageRecord({ cellSize: 0.5 });
  record.mark(0, 0, 2, 0, 2, 1, 0, 1);
  record.mark(3, 0, 4, 0, 4, 0.5, 3, 0.5);
  record.mark(1, 0, 2, 0, 2, 0.5, 1, 0.5);

  it("are columns from and to, row by row", () => {
    const { rows, starts, ends } = record.cellRuns();
    expect([...rows]).toEqual([0, 1]);
    expect([...starts]).toEqual([0, 2, 3]);
    expect([...ends]).toEqual([0, 4, 6, 8, 0, 4]);
  });

  it("are those worked twice, or within a box, on request", () => {
    expect([...record.cellRuns({ of: "twice" }).ends]).toEqual([2, 4]);
    const within = { minX: 1, minY: 0.5, maxX: 9, maxY: 9 };
    expect([...record.cellRuns({ within }).rows]).toEqual([1]);
    expect([...record.cellRuns({ within }).ends]).toEqual([2, 4]);
    expectCode(() => record.cellRuns({ within: { ...within, minX: Number.NaN } }), "not-finite");
  });

  it("are none of an empty record", () => {
    expect(new CoverageRecord().cellRuns().ends).toHaveLength(0);
  });
});
