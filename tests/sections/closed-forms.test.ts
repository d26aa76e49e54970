import { describe, expect, test } from "vitest";
import { CoverageRecord } from "../../src/coverage/index.js";
import { boom, evenSections, SectionControl } from "../../src/sections/index.js";
import { expectWithin } from "../helpers/within.js";
import { type Path, run } from "./drive.js";
import { some } from "../helpers/light.js";

/** Drive north over a worked edge tilted by phi; gives overlap and skip against the edge, m². */
function tilted(
  width: number,
  count: number,
  phi: number,
  tolerance: number,
  cell: number,
  shift: number,
  aside: number,
) {
  const slope = Math.tan((phi * Math.PI) / 180);
  const coverage = new CoverageRecord({ cellSize: cell });
  // worked ground: north of y = edge + slope x, well beyond the boom's ends; not along the cells' diagonals
  const w = width / 2 + 2;
  const edge = 30 + 0.61 * aside;
  const far = edge + slope * w + 15;
  coverage.mark(-w, edge - slope * w, w, edge + slope * w, w, far, -w, far);
  const before = coverage.areas();
  const control = new SectionControl({
    boom: boom({ sections: evenSections(width, count), x: -3, turnOnTime: 0.5, turnOffTime: 0.4 }),
    coverage,
    settings: { overlapTolerance: tolerance },
  });
  const path: Path = { x: aside, y: shift, heading: 0, speed: 2, yawRate: 0 };
  // past the edge over the whole width, not out of the worked ground again
  run(control, path, 0, (edge + slope * (width / 2) + 8 + 3 - shift) / 2, 20);
  const after = coverage.areas();
  const worked = after.worked - before.worked;
  const overlap = after.marked - after.worked - (before.marked - before.worked);
  // ground of the boom's width from where it came on to the edge, on average over the width
  const from = shift - 3 + 0.5 * 2;
  const whole = width * (edge + slope * aside - from);
  return { overlap, skip: whole - worked };
}

/** Mean over several offsets against the tick and the cells, so that neither's phase counts. */
function mean(width: number, count: number, phi: number, tolerance: number, cell: number) {
  let overlap = 0;
  let skip = 0;
  const n = 7;
  for (let k = 0; k < n; k++) {
    const one = tilted(width, count, phi, tolerance, cell, -20.003 + 0.1 * (k / n), 0.013 + 0.0377 * k);
    overlap += one.overlap / n;
    skip += one.skip / n;
  }
  return { overlap, skip };
}

describe("at a worked edge tilted by 45 degrees", () => {
  // closed form: overlap = W² tan(phi) / (2 N), off when wholly covered
  test.for([
    [1, 288],
    [7, 41.142857],
    [30, 9.6],
    [48, 6],
  ] as const)("a boom of 24 m in %d sections overlaps by %d m²", ([count, expected]) => {
    expectWithin((24 * 24) / (2 * count), expected, 1e-6);
    for (const cell of some([0.1, 0.05, 0.025])) {
      const { overlap, skip } = mean(24, count, 45, 1, cell);
      // half a cell over the whole width: what the record can tell along a section
      expectWithin(overlap, expected, 24 * 0.5 * cell + 0.3, `overlap at cells of ${cell} m`);
      expectWithin(skip, 0, 24 * 0.5 * cell + 0.3, "skip");
    }
  });

  // closed form: overlap = u² s² tan(phi) / 2, skip = (1 - u)² s² tan(phi) / 2
  test.for([
    [0, 0, 4.5],
    [0.25, 0.28125, 2.53125],
    [0.5, 1.125, 1.125],
    [1, 4.5, 0],
  ] as const)("a section of 3 m that goes off at %d covered overlaps by %d m² and skips %d m²", ([u, over, left]) => {
    expectWithin((u * u * 9) / 2, over, 1e-12);
    for (const cell of some([0.1, 0.05])) {
      const sections = 8;
      const { overlap, skip } = mean(24, sections, 45, u, cell);
      expectWithin(overlap / sections, over, 3 * 0.7 * cell + 0.05, "overlap a section");
      expectWithin(skip / sections, left, 3 * 0.7 * cell + 0.05, "skip a section");
    }
  });

  test("half covered has the least of both together", () => {
    const sum = (u: number) => {
      const { overlap, skip } = mean(24, 8, 45, u, 0.05);
      return overlap + skip;
    };
    expect(sum(0.5)).toBeLessThan(sum(0.25));
    expect(sum(0.5)).toBeLessThan(sum(0.75));
  });
});
