import { describe, expect, test } from "vitest";
import { COUNTS, measureSavings } from "../../bench/sections-savings.js";
import { hasData } from "../helpers/data.js";

const here = ["NL", "DK", "DE-SH"].every((country) => hasData(`parcels/${country}.geojson`));

describe("overlap over real parcels", () => {
  // direction: Precision Agriculture 2015, doi 10.1007/s11119-015-9404-y: seven sections save more overlap the more boundary a field has for its area
  test.skipIf(!here)("falls with the number of sections, and is saved most where there is much boundary", () => {
    const rows = measureSavings({ each: 7, largest: 50_000, cell: 0.5, rate: 4 });
    expect(rows.length).toBeGreaterThanOrEqual(20);
    const median = (values: number[]) => values.sort((a, b) => a - b)[values.length >> 1]!;
    const medians = COUNTS.map((_, k) => median(rows.map((row) => row.overlap[k]!)));
    for (let k = 1; k < medians.length; k++) expect(medians[k]).toBeLessThan(medians[k - 1]!);
    const saved = [...rows]
      .sort((a, b) => a.perimeterArea - b.perimeterArea)
      .map((row) => row.overlap[0]! - row.overlap[1]!);
    const half = rows.length >> 1;
    expect(median(saved.slice(half))).toBeGreaterThan(median(saved.slice(0, half)));
  });
});
