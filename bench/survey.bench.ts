import geographic from "geographiclib-geodesic";
import ArrayList from "jsts/java/util/ArrayList.js";
import Coordinate from "jsts/org/locationtech/jts/geom/Coordinate.js";
import GeometryFactory from "jsts/org/locationtech/jts/geom/GeometryFactory.js";
import BufferOp from "jsts/org/locationtech/jts/operation/buffer/BufferOp.js";
import UnaryUnionOp from "jsts/org/locationtech/jts/operation/union/UnaryUnionOp.js";
import { CoverageRecord } from "../src/coverage/index.js";
import { readGeoJson, writeGeoJson } from "../src/exchange/index.js";
import { localFrame } from "../src/frames/index.js";
import type { Point } from "../src/geometry/types.js";
import { union } from "../src/geometry/index.js";
import { offsetPolygon } from "../src/offset/index.js";
import {
  boundaryFromCoverage,
  boundaryFromLap,
  boundaryFromTrack,
  measurePolygon,
  measurePolygonGeodesic,
} from "../src/survey/index.js";
import { compare } from "./harness.js";
import { random } from "../tests/helpers/random.js";

const frame = localFrame({ latitude: 52.1, longitude: 5.3 });
const uniform = random(1);
const ring = Array.from({ length: 400 }, (_, i): Point => {
  const a = (i * 2 * Math.PI) / 400;
  const r = 150 + 20 * uniform();
  return [300 + r * Math.cos(a), 200 + r * Math.sin(a)];
});
const positions = ring.map((p) => frame.toGeodetic(p));
const plane = { exterior: ring, holes: [] };
const geodesic = { exterior: positions, holes: [] };

compare("area and perimeter of 400 vertices", [
  {
    name: "measurePolygon with a frame (geodesic)",
    calls: 200,
    run: () => repeat(200, () => measurePolygon(plane, { frame }).area),
  },
  { name: "measurePolygon on the plane", calls: 200, run: () => repeat(200, () => measurePolygon(plane).area) },
  { name: "measurePolygonGeodesic", calls: 4, run: () => repeat(4, () => measurePolygonGeodesic(geodesic).area) },
  {
    name: "geographiclib-geodesic Polygon",
    calls: 4,
    run: () =>
      repeat(4, () => {
        const polygon = geographic.Geodesic.WGS84.Polygon(false);
        for (const p of positions) polygon.AddPoint(p.latitude, p.longitude);
        return polygon.Compute(false, true).area ?? 0;
      }),
  },
]);

const text = writeGeoJson({
  fields: Array.from({ length: 500 }, (_, i) => ({ polygons: [geodesic], properties: { name: `field ${i}` } })),
});
const megabytes = text.length / 1e6;
const rates = compare(
  `GeoJSON of ${megabytes.toFixed(1)} MB, 200 000 positions`,
  [
    { name: "readGeoJson", calls: 1, run: () => readGeoJson(text).fields.length },
    { name: "JSON.parse alone", calls: 1, run: () => (JSON.parse(text) as { features: unknown[] }).features.length },
    { name: "writeGeoJson of the same", calls: 1, run: () => writeGeoJson(readGeoJson(text)).length },
  ],
  7,
);
for (const { name, nanoseconds } of rates)
  console.log(`  ${name.padEnd(44)} ${((megabytes / nanoseconds) * 1e9).toFixed(1)} MB/s`);

const lap = drivenLap();
compare("boundary from a lap of 800 m, 10 Hz, one stop of 10 minutes", [
  { name: `boundaryFromLap, ${lap.length} fixes`, calls: 1, run: () => boundaryFromLap(lap).polygon.exterior.length },
  {
    name: "the same, with the edge 6 m to the right",
    calls: 1,
    run: () => boundaryFromLap(lap, { lateralOffset: 6 }).polygon.exterior.length,
  },
]);

worked(100);
worked(1000);

/** 15 passes of 24 m, 500 m long at 37 degrees, gaps of 0.2 m between them, in quads of a few metres. */
function worked(quadsOfPass: number): void {
  const quads: Point[][] = [];
  const c = Math.cos(0.65);
  const s = Math.sin(0.65);
  for (let pass = 0; pass < 15; pass++) {
    for (let k = 0; k < quadsOfPass; k++) {
      const [x, y, h] = [24.2 * pass, (500 * k) / quadsOfPass, 500 / quadsOfPass];
      const corners: Point[] = [
        [x, y],
        [x + 24, y],
        [x + 24, y + h],
        [x, y + h],
      ];
      quads.push(corners.map(([u, v]): Point => [u * c - v * s, u * s + v * c]));
    }
  }
  const mark = (): CoverageRecord => {
    const record = new CoverageRecord();
    for (const [p, q, r, t] of quads) record.mark(p![0], p![1], q![0], q![1], r![0], r![1], t![0], t![1]);
    return record;
  };
  const record = mark();
  const polygons = quads.map((exterior) => ({ exterior, holes: [] }));
  const factory = new GeometryFactory();
  const areas = new Map<string, number>();
  const note = (name: string, area: number): number => {
    areas.set(name, area);
    return area;
  };
  compare(
    `field of 18 ha from ${quads.length} swept quads, gaps of 1 m closed`,
    [
      {
        name: "boundaryFromCoverage, record kept live",
        calls: 1,
        run: () => note("boundaryFromCoverage", boundaryFromCoverage(record).area),
      },
      {
        name: "boundaryFromCoverage, gaps of 20 m closed",
        calls: 1,
        run: () => boundaryFromCoverage(record, { closing: 20 }).area,
      },
      { name: "marking all, and boundaryFromCoverage", calls: 1, run: () => boundaryFromCoverage(mark()).area },
      {
        name: "jsts: union, buffer out and in by 0.5 m",
        calls: 1,
        run: () => {
          const list = new ArrayList();
          for (const quad of quads) {
            const ring = [...quad, quad[0]!].map(([x, y]) => new Coordinate(x, y));
            list.add(factory.createPolygon(factory.createLinearRing(ring)));
          }
          return note("jsts", BufferOp.bufferOp(BufferOp.bufferOp(UnaryUnionOp.union(list), 0.5), -0.5).getArea());
        },
      },
      ...(quads.length > 2000
        ? []
        : [
            {
              name: "union and offsetPolygon out and in",
              calls: 1,
              run: () =>
                note(
                  "offset",
                  offsetPolygon(offsetPolygon(union(polygons), 0.5), -0.5).reduce(
                    (sum, polygon) => sum + measurePolygon(polygon).area,
                    0,
                  ),
                ),
            },
          ]),
    ],
    5,
  );
  const exact = (15 * 24 + 14 * 0.2) * 500;
  for (const [name, area] of areas) {
    console.log(`  area by ${name.padEnd(36)} ${(100 * (area / exact - 1)).toFixed(4)} % off`);
  }
}

const passes: Point[] = [];
for (let pass = 0; pass < 15; pass++) {
  for (let k = 0; k <= 1000; k++) passes.push([24 * pass, pass % 2 === 0 ? k / 2 : 500 - k / 2]);
}
compare("boundary from a track of 15 passes of 500 m, 24 m wide", [
  {
    name: `boundaryFromTrack, ${passes.length} fixes`,
    calls: 1,
    run: () => boundaryFromTrack(passes, 24, { maximumStep: 30 }).area,
  },
]);

function drivenLap(): Point[] {
  const corners: Point[] = [
    [0, 0],
    [250, 0],
    [250, 150],
    [0, 150],
    [0, -10],
  ];
  const noise = (): number => 0.02 * (uniform() + uniform() + uniform() + uniform() - 2);
  const track: Point[] = Array.from({ length: 6000 }, (): Point => [noise(), noise()]);
  for (let i = 1; i < corners.length; i++) {
    const [ax, ay] = corners[i - 1]!;
    const [bx, by] = corners[i]!;
    const n = Math.round(Math.hypot(bx - ax, by - ay) / 0.25);
    for (let k = 1; k <= n; k++) track.push([ax + ((bx - ax) * k) / n + noise(), ay + ((by - ay) * k) / n + noise()]);
  }
  return track;
}

function repeat(times: number, call: () => number): number {
  let sum = 0;
  for (let i = 0; i < times; i++) sum += call();
  return sum;
}
