import { describe, expect, test } from "vitest";
import { fromPartfield, toPartfield, toShiftData } from "../../../src/exchange/task-content/index.js";
import {
  type Partfield,
  readTaskData,
  type TaskDataRead,
  type TaskPolygon,
  writeTaskData,
} from "../../../src/exchange/task-data/index.js";
import { localFrame } from "../../../src/frames/index.js";
import { normalisePolygon, polygonArea, type Polygon, ringLength } from "../../../src/geometry/index.js";
import { toLocalPolygon } from "../../../src/exchange/index.js";
import { guidancePattern, straightLine } from "../../../src/guidance/index.js";
import { hasData } from "../../helpers/data.js";
import { some } from "../../helpers/light.js";
import { expectCode, expectWithin } from "../../helpers/within.js";
import { field, frame } from "../pond-farm.js";
import { fileOf, parcels, parcelsOf } from "../real-parcels.js";

const area = (polygons: readonly Polygon[]): number => polygons.reduce((sum, p) => sum + polygonArea(p), 0);
const written = (...partfields: Partfield[]): TaskDataRead =>
  readTaskData(writeTaskData({ origin: "management", partfields }));
const square = (x: number, y: number, size: number): Polygon => ({
  exterior: [
    [x, y],
    [x + size, y],
    [x + size, y + size],
    [x, y + size],
    [x, y],
  ],
  holes: [],
});

function expectSamePolygons(actual: readonly Polygon[], expected: readonly Polygon[]): void {
  expect(actual).toHaveLength(expected.length);
  actual.forEach(({ exterior, holes }, i) => {
    const rings = [exterior, ...holes];
    const normal = normalisePolygon(expected[i]!);
    const others = [normal.exterior, ...normal.holes];
    expect(rings.map((ring) => ring.length)).toEqual(others.map((ring) => ring.length));
    rings.forEach((ring, k) => {
      ring.forEach(([x, y], j) => {
        // 9 decimals of a degree
        expectWithin(x, others[k]![j]![0], 1e-4);
        expectWithin(y, others[k]![j]![1], 1e-4);
      });
    });
  });
}

describe("a field goes out and comes back", () => {
  const pattern = guidancePattern(straightLine([20, 0], [30, 300], { name: "Ditch side" }), {
    swathWidth: 36,
    shift: { east: 0.2, north: -0.1 },
  });
  const content = {
    name: "Pond Piece",
    field: [...field, square(600, 0, 50)],
    headland: [square(0, 0, 20)],
    mainfield: [square(50, 50, 20)],
    bufferZones: [square(80, 80, 5)],
    patterns: [pattern],
  };
  const partfield = toPartfield(frame, content, { partfield: "PFD3", group: "GGP2", patterns: ["GPN8"] });

  test("with its headland, mainfield, buffer zones and patterns", () => {
    const data = written(partfield);
    expect(data.problems).toEqual([]);
    expect(data.partfields[0]).toMatchObject({
      id: "PFD3",
      guidanceGroups: [{ id: "GGP2", patterns: [{ id: "GPN8" }] }],
    });
    expectWithin(data.partfields[0]!.area, area(content.field), 0.5, "area");
    const found = fromPartfield(frame, data.partfields[0]!);
    expect(found.name).toBe("Pond Piece");
    for (const name of ["field", "headland", "mainfield", "bufferZones"] as const) {
      expectSamePolygons(found[name], content[name]);
    }
    expect(found.refused).toEqual([]);
    expect(found.patterns).toMatchObject([{ id: "GPN8", group: "GGP2", pattern: { shift: { east: 0, north: 0 } } }]);
  });

  test("a task's move of the pattern, or of its group, is put into it", () => {
    const [read] = written(partfield).partfields;
    const shift = toShiftData(frame, pattern, { pattern: "GPN8", group: "GGP2" })!;
    const allocation = (shifts: object[]): never =>
      [{ group: "GGP2", stamps: [], shifts: shifts.map((made) => ({ stamps: [], ...made })) }] as never;
    // to 0.1 mm: the frame's north is true north at its origin, not quite 20 m beside it
    const moved = (shifts: object[]): object => {
      const { pattern: made } = fromPartfield(frame, read!, { allocations: allocation(shifts) }).patterns[0]!;
      const { east, north } = made.shift;
      return { east: Number(east.toFixed(4)) + 0, north: Number(north.toFixed(4)) + 0 };
    };
    expect(moved([shift])).toEqual({ east: 0.2, north: -0.1 });
    expect(moved([{ east: 1 }])).toEqual({ east: 1, north: 0 });
    // its own goes before its group's; the last one counts; others are none of its business
    expect(moved([{ pattern: "GPN8", north: 2 }, { east: 1 }])).toEqual({ east: 0, north: 2 });
    expect(moved([{ east: 1 }, { east: 3 }, { pattern: "GPN9", east: 7 }, { group: "GGP9", east: 8 }])).toEqual({
      east: 3,
      north: 0,
    });
  });

  test("without ids, groups or patterns where there are none", () => {
    const bare = toPartfield(frame, { name: "x", field });
    expect(bare.id).toBeUndefined();
    expect(bare.guidanceGroups).toEqual([]);
    expect(written(bare).partfields[0]!.id).toBe("PFD1");
  });

  test("bad shapes are refused with their path", () => {
    const bad = { name: "x", field: [{ exterior: [[0, 0]], holes: [] }] } as never;
    expect(expectCode(() => toPartfield(frame, bad), "too-few-points").argument).toContain("content.field[0]");
    expectCode(() => toPartfield(frame, { name: "x" } as never), "too-few-points");
    expectCode(() => toPartfield(frame, null as never), "not-finite");
    expectCode(() => fromPartfield(frame, {} as never), "too-few-points");
    const crooked = { ...content, patterns: [{ ...pattern, swathWidth: -1 }] };
    expect(expectCode(() => toPartfield(frame, crooked), "out-of-range").argument).toContain("content.patterns[0]");
  });
});

describe("fields of others", () => {
  const polygons = (list: readonly (readonly [TaskPolygon["type"], Polygon])[]): Partfield => ({
    ...toPartfield(frame, { name: "x", field: [] }),
    polygons: list.flatMap(([type, polygon]) =>
      toPartfield(frame, { name: "x", field: [polygon] }).polygons.map((made) => ({ ...made, type })),
    ),
  });

  test("obstacles, water and windbreaks are taken out of the boundary", () => {
    // mainfield = boundary - obstacles - water - headland, after a public summary of ISO 11783-10 (secondary)
    const found = fromPartfield(
      frame,
      polygons([
        ["partfield-boundary", square(0, 0, 100)],
        ["obstacle", square(10, 10, 10)],
        ["water-surface", square(90, 90, 20)],
        ["windbreak", square(50, 50, 1)],
        ["treatment-zone", square(0, 0, 50)],
        [77, square(0, 0, 50)],
      ]),
    );
    expectWithin(area(found.field), 10_000 - 100 - 100 - 1, 0.05, "m²");
    expect(found.obstacles).toHaveLength(3);
    expect(found.others.map(({ type }) => type)).toEqual(["treatment-zone", 77]);
  });

  test("a pattern that can't be read keeps nothing else from being read", () => {
    const made = toPartfield(
      frame,
      { name: "x", field, patterns: [guidancePattern(straightLine([0, 0], [0, 9]), { swathWidth: 3 })] },
      { patterns: ["GPN1"] },
    );
    const [group] = made.guidanceGroups;
    const strange = {
      ...made,
      guidanceGroups: [{ ...group!, patterns: [{ ...group!.patterns[0]!, kind: 9 }, ...group!.patterns] }],
    };
    const found = fromPartfield(frame, strange);
    expect(found.patterns).toHaveLength(1);
    expect(found.refused).toEqual([
      { id: "GPN1", reason: "data.kind is 9, no kind of pattern that has a meaning here" },
    ]);
  });
});

describe.skipIf(!parcels.every(([country]) => hasData(fileOf(country))))("real parcels", () => {
  test.for(parcels)("%s come back with their areas, to the format's 9 decimals", ([country, crs]) => {
    const local = some(parcelsOf(country, crs), 10).map(({ polygons }) => {
      const at = localFrame(polygons[0]!.exterior[0]!);
      return { at, shapes: polygons.map((polygon) => toLocalPolygon(at, polygon)) };
    });
    const made = local.map(({ at, shapes }, i) => toPartfield(at, { name: `parcel ${i}`, field: shapes }));
    const data = written(...made);
    expect(data.problems).toEqual([]);
    data.partfields.forEach((partfield, i) => {
      const { at, shapes } = local[i]!;
      const rings = shapes.flatMap(({ exterior, holes }) => [exterior, ...holes]);
      const perimeter = rings.reduce((sum, ring) => sum + ringLength(ring), 0);
      // half of 1e-9 degrees moves a vertex by 0.08 mm at most, the area by that along the perimeter
      expectWithin(area(fromPartfield(at, partfield).field), area(shapes), 8e-5 * perimeter, "m²");
    });
    // a second time nothing moves
    expect(written(...data.partfields).partfields).toEqual(data.partfields);
  });
});
