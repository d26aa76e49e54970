import { expect, test } from "vitest";
import { CoverageRecord } from "../../src/coverage/index.js";
import { readGeoJson, writeCsv, writeGeoJson } from "../../src/exchange/index.js";
import { localFrame } from "../../src/frames/index.js";
import { boundsOf } from "../../src/geometry/index.js";
import {
  boundaryFromCoverage,
  boundaryFromLap,
  boundaryFromPoints,
  boundaryFromTrack,
  geodesicDistance,
  measurePath,
  measurePolygon,
} from "../../src/survey/index.js";
import { hectares, kilometresPerHour } from "../../src/units/index.js";

test("the examples of the doc comments and pages give what they say", () => {
  expect(
    measurePath([
      [0, 0],
      [30, 0],
      [30, 40],
    ]),
  ).toEqual({ length: 70, direct: 50 });
  const field = boundaryFromPoints([
    [0, 0],
    [200, 0],
    [200, 100],
    [0, 100],
  ]);
  expect(hectares(measurePolygon(field).area)).toBe(2);
  const frame = localFrame({ latitude: 52.1, longitude: 5.3 });
  expect(hectares(measurePolygon(field, { frame }).area).toFixed(10)).toBe("2.0000000006");
  expect(geodesicDistance({ latitude: 52, longitude: 5 }, { latitude: 52, longitude: 5.01 }).toFixed(3)).toBe(
    "686.780",
  );
  const track = [
    [0, -6],
    [0, 0],
    [200, 0],
    [200, 100],
    [0, 100],
    [0, -3],
  ] as const;
  const lap = boundaryFromLap(track);
  expect([lap.closedBy, lap.inRun]).toEqual(["crossing", 6]);
  const beside = boundaryFromLap(track, { lateralOffset: 6, join: "mitre" }).polygon;
  expect(boundsOf(beside.exterior)).toEqual({ minX: -6, minY: -6, maxX: 206, maxY: 106 });
  expect(beside.exterior).toHaveLength(5);
  const record = new CoverageRecord();
  record.mark(0, 0, 12, 0, 12, 100, 0, 100);
  record.mark(12.5, 0, 24.5, 0, 24.5, 100, 12.5, 100);
  const worked = boundaryFromCoverage(record);
  expect(worked.polygons).toHaveLength(1);
  expect(worked.area).toBeGreaterThan(2449);
  expect(worked.area).toBeLessThanOrEqual(2450);
  const strip = boundaryFromTrack(
    [
      [0, 0],
      [0, 5],
      [0, 10],
    ],
    6,
  );
  expect(strip.area).toBeCloseTo(60, 9);
  const { fields } = readGeoJson('{"type":"Polygon","coordinates":[[[5,52],[5.01,52],[5.01,52.01],[5,52]]]}');
  expect(fields[0]?.polygons[0]?.exterior[1]).toEqual({ latitude: 52, longitude: 5.01 });
  expect(
    writeGeoJson({ points: [{ position: { latitude: 52, longitude: 5 }, properties: { name: "gate" } }] }),
  ).toContain('"coordinates":[5,52]');
  const columns = [
    { header: "time_s", value: (row: { t: number; on: boolean }) => row.t, decimals: 2 },
    { header: "on", value: (row: { t: number; on: boolean }) => row.on },
  ];
  expect(writeCsv([{ t: 0.1, on: true }], columns)).toBe("time_s,on\r\n0.10,true\r\n");
  expect(hectares(123_456)).toBe(12.3456);
  expect(kilometresPerHour(2.5)).toBe(9);
});
