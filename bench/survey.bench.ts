import geographic from "geographiclib-geodesic";
import { readGeoJson, writeGeoJson } from "../src/exchange/index.js";
import { localFrame } from "../src/frames/index.js";
import type { Point } from "../src/geometry/types.js";
import { boundaryFromLap, measurePolygon, measurePolygonGeodesic } from "../src/survey/index.js";
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
