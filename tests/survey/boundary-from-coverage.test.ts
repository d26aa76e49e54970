import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { CoverageRecord } from "../../src/coverage/index.js";
import { nearestOnLine, polygonArea } from "../../src/geometry/index.js";
import type { Point } from "../../src/geometry/types.js";
import { boundaryFromCoverage } from "../../src/survey/index.js";
import { expectCode, expectWithin } from "../helpers/within.js";
import { expectSound, hausdorff, markBox, markQuad, ringsOf } from "./worked.js";

const EVERYTHING = { closing: 0, smallestHole: 0, smallestPart: 0, tolerance: 0 };

/** A frame of ground: a box with a box-shaped hole. */
function markFrame(record: CoverageRecord, outer: number, inner: number, at: Point = [0, 0]): void {
  markBox(record, [-outer, -outer, outer, -inner], 0, at);
  markBox(record, [-outer, inner, outer, outer], 0, at);
  markBox(record, [-outer, -inner, -inner, inner], 0, at);
  markBox(record, [inner, -inner, outer, inner], 0, at);
}

describe("gaps", () => {
  test("one up to the width is closed at any angle, one four cells wider stays", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 180, noNaN: true }),
        fc.double({ min: 0.05, max: 3, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.constantFrom(0.1, 0.25),
        (degrees, gap, shift, cellSize) => {
          const record = new CoverageRecord({ cellSize });
          const at: Point = [shift, -shift / 3];
          markBox(record, [-10, 0, 0, 30], degrees, at);
          markBox(record, [gap, 0, 10, 30], degrees, at);
          const closed = boundaryFromCoverage(record, { closing: gap });
          expect(closed.polygons).toHaveLength(1);
          expect(closed.polygons[0]!.holes).toHaveLength(0);
          // in the gap's middle third everything is field
          expectWithin(closed.area, 20 * 30, 0.05 * (100 + 20 * gap) + 1.3 * gap * gap, "area, m²");
          const wide = gap - 4 * cellSize;
          if (wide >= 0) expect(boundaryFromCoverage(record, { closing: wide }).polygons).toHaveLength(2);
        },
      ),
      { numRuns: 60 },
    );
  });

  test("a gap that opens to the outside is closed up to an arc, an inward corner too, outward corners are kept", () => {
    const record = new CoverageRecord({ cellSize: 0.05 });
    markBox(record, [0, 0, 40, 20]);
    markBox(record, [0, 20, 20, 40]);
    const r = 5 + Math.SQRT2 * 0.05;
    const { report, polygons } = boundaryFromCoverage(record, { closing: 10, tolerance: 0.05 });
    // the corner of a square of side r less its quarter disc
    expectWithin(report.closed, r * r * (1 - Math.PI / 4), 0.2, "fillet, m²");
    const points = polygons[0]!.exterior;
    for (const corner of [
      [0, 0],
      [40, 0],
      [40, 20],
      [0, 40],
      [20, 40],
    ] as const) {
      expect(points).toContainEqual(corner);
    }
  });

  test("a dropout in the middle of a pass is closed by a width that reaches along it", () => {
    const record = new CoverageRecord();
    for (let pass = 0; pass < 5; pass++) {
      if (pass !== 2) markBox(record, [24 * pass, 0, 24 * pass + 24, 150]);
      else
        for (const [from, to] of [
          [0, 60],
          [78, 150],
        ] as const)
          markBox(record, [48, from, 72, to]);
    }
    const open = boundaryFromCoverage(record);
    expect(open.polygons[0]!.holes).toHaveLength(1);
    // its corners are rounded by the closing, and its sides drawn within the tolerance
    expectWithin(open.area, 120 * 150 - 24 * 18, 0.075 * 84, "with the hole, m²");
    const closed = boundaryFromCoverage(record, { closing: 18 });
    expect(closed.polygons[0]!.holes).toHaveLength(0);
    expectWithin(closed.area, 120 * 150, 1e-6, "without, m²");
    expectWithin(closed.report.closed, 24 * 18, 1e-6, "closed, m²");
  });
});

describe("holes and parts", () => {
  test("a hole of the size asked for stays, a smaller one is filled and counted", () => {
    const record = new CoverageRecord();
    markFrame(record, 20, 4);
    markFrame(record, 10, 2, [60, 0]);
    const both = boundaryFromCoverage(record, { closing: 0, smallestHole: 16, smallestPart: 0 });
    expect(both.polygons.map(({ holes }) => holes.length)).toEqual([1, 1]);
    const one = boundaryFromCoverage(record, { closing: 0, smallestHole: 16.1, smallestPart: 0 });
    expect(one.polygons.map(({ holes }) => holes.length)).toEqual([1, 0]);
    expect(one.report).toMatchObject({ filledHoles: 1, droppedParts: 0 });
    expectWithin(one.report.filled, 16, 1e-9, "filled, m²");
    expectSound(one, 0.15);
  });

  test("a part of the size asked for stays, a smaller one is left out with its holes", () => {
    const record = new CoverageRecord();
    markBox(record, [0, 0, 30, 30]);
    markFrame(record, 4, 1, [60, 0]);
    const both = boundaryFromCoverage(record, { closing: 0, smallestHole: 0, smallestPart: 64 });
    expect(both.polygons.map(polygonArea)).toEqual([900, 60]);
    const one = boundaryFromCoverage(record, { closing: 0, smallestHole: 0, smallestPart: 64.1 });
    expect(one.polygons).toHaveLength(1);
    expect(one.report).toMatchObject({ droppedParts: 1, filledHoles: 0 });
    expectWithin(one.report.dropped, 60, 1e-9, "dropped, m²");
    expectSound(one, 0.15);
  });

  test("a part in a hole that is filled becomes part of the field, in a hole that stays it is a part of its own", () => {
    const record = new CoverageRecord();
    markFrame(record, 30, 10);
    markFrame(record, 6, 2);
    markBox(record, [-0.5, -0.5, 0.5, 0.5]);
    const kept = boundaryFromCoverage(record, { ...EVERYTHING });
    expect(kept.polygons.map(polygonArea)).toEqual([3200, 128, 1]);
    const filled = boundaryFromCoverage(record, { ...EVERYTHING, smallestHole: 401 });
    expect(filled.polygons.map(polygonArea)).toEqual([3600]);
    expectWithin(filled.report.filled, 400 - 128 - 1, 1e-9, "filled, m²");
    expect(filled.report.filledHoles).toBe(1);
    expectSound(filled, 0);
    const inner = boundaryFromCoverage(record, { ...EVERYTHING, smallestHole: 17, smallestPart: 150 });
    expect(inner.polygons.map(polygonArea)).toEqual([3200]);
    // the frame went with its hole and what filled it
    expectSound(inner, 0);
  });

  test("ground that meets corner to corner is two parts, and one where gaps are closed", () => {
    const record = new CoverageRecord();
    markBox(record, [0, 0, 20, 20]);
    markBox(record, [20, 20, 40, 40]);
    expect(boundaryFromCoverage(record, { closing: 0 }).polygons).toHaveLength(2);
    const joined = boundaryFromCoverage(record, { closing: 1 });
    expect(joined.polygons).toHaveLength(1);
    expectSound(joined, 0.15);
  });

  test("nothing worked, or nothing large enough, gives none and says which", () => {
    const record = new CoverageRecord();
    const none = boundaryFromCoverage(record);
    expect(none).toMatchObject({ polygons: [], reason: "nothing-worked", area: 0, worked: 0 });
    markBox(record, [0, 0, 5, 5]);
    expect(boundaryFromCoverage(record)).toMatchObject({
      polygons: [],
      reason: "parts-too-small",
      area: 0,
      worked: 25,
    });
    expectSound(boundaryFromCoverage(record), 0);
  });

  test("bad options are named, the record stays as it is", () => {
    const record = new CoverageRecord();
    markBox(record, [0, 0, 20, 20]);
    const hash = record.hash();
    for (const name of ["closing", "smallestHole", "smallestPart", "tolerance"]) {
      expect(expectCode(() => boundaryFromCoverage(record, { [name]: -1 }), "out-of-range").argument).toBe(
        `options.${name}`,
      );
      expectCode(() => boundaryFromCoverage(record, { [name]: Number.NaN }), "not-finite");
    }
    expectCode(() => boundaryFromCoverage(record, { closing: 401 }), "out-of-range");
    boundaryFromCoverage(record, { closing: 5 });
    expect(record.hash()).toBe(hash);
  });
});

describe("any ground", () => {
  const quads = fc.array(
    fc.record({
      x: fc.double({ min: -12, max: 12, noNaN: true }),
      y: fc.double({ min: -12, max: 12, noNaN: true }),
      length: fc.double({ min: 0.5, max: 12, noNaN: true }),
      width: fc.double({ min: 0.3, max: 4, noNaN: true }),
      degrees: fc.double({ min: 0, max: 180, noNaN: true }),
    }),
    { minLength: 1, maxLength: 12 },
  );
  const options = fc.record({
    closing: fc.constantFrom(0, 0.3, 1, 2.5),
    smallestHole: fc.constantFrom(0, 1, 8),
    smallestPart: fc.constantFrom(0, 2, 10),
    tolerance: fc.constantFrom(0, 0.3, 0.6, 2),
  });

  test("gives valid polygons, a true account, and no corner of the cells farther off than the tolerance", () => {
    fc.assert(
      fc.property(quads, options, (boxes, setting) => {
        const record = new CoverageRecord({ cellSize: 0.2 });
        for (const { x, y, length, width, degrees } of boxes) markBox(record, [0, 0, length, width], degrees, [x, y]);
        const boundary = boundaryFromCoverage(record, setting);
        expectSound(boundary, setting.tolerance);
        const raw = boundaryFromCoverage(record, { ...setting, tolerance: 0 });
        expect(raw.polygons.length).toBe(boundary.polygons.length);
        const rings = ringsOf(boundary.polygons);
        for (const ring of ringsOf(raw.polygons)) {
          for (const corner of ring) {
            const off = Math.min(...rings.map((other) => nearestOnLine(other, corner).distance));
            expect(off).toBeLessThanOrEqual(setting.tolerance + 1e-9);
          }
        }
      }),
      { numRuns: 80 },
    );
  });

  test("moved by whole cells, it gives the same boundary moved", () => {
    fc.assert(
      fc.property(quads, options, (boxes, setting) => {
        const [here, there] = [0, 4096].map((move) => {
          const record = new CoverageRecord({ cellSize: 0.25 });
          // whole sixteenths, so that moving rounds nothing
          const q = (v: number): number => Math.round(v * 16) / 16;
          for (const { x, y, length, width } of boxes) {
            const [ax, ay, bx, by] = [q(x), q(y), q(x + length), q(y + width)].map((v) => v + move) as [
              number,
              number,
              number,
              number,
            ];
            markQuad(record, [
              [ax, ay],
              [bx, ay],
              [bx, by],
              [ax, by],
            ]);
          }
          return boundaryFromCoverage(record, setting);
        });
        const moved = there!.polygons.map(({ exterior }) => exterior.map(([x, y]) => [x - 4096, y - 4096]));
        expect(moved).toEqual(here!.polygons.map(({ exterior }) => exterior));
        expect(there!.report.closed).toBe(here!.report.closed);
      }),
      { numRuns: 40 },
    );
  });

  test("a field worked at an angle keeps its area to a tenth of a percent and its edge to two cells", () => {
    for (const degrees of [0, 11, 37, 45, 83]) {
      const record = new CoverageRecord();
      for (let pass = 0; pass < 8; pass++) {
        for (let y = 0; y < 200; y += 0.5) markBox(record, [24.2 * pass, y, 24.2 * pass + 24, y + 0.5], degrees);
      }
      const boundary = boundaryFromCoverage(record);
      const corners: Point[] = [
        [0, 0],
        [193.4, 0],
        [193.4, 200],
        [0, 200],
        [0, 0],
      ];
      const a = (degrees * Math.PI) / 180;
      const field = corners.map(
        ([x, y]): Point => [x * Math.cos(a) - y * Math.sin(a), x * Math.sin(a) + y * Math.cos(a)],
      );
      expect(boundary.polygons).toHaveLength(1);
      expectWithin(boundary.area, 193.4 * 200, 0.001 * 193.4 * 200, "area, m²");
      expect(hausdorff(ringsOf(boundary.polygons), [field])).toBeLessThan(0.25);
    }
  });
});
