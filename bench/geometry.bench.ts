import { booleanPointInPolygon } from "@turf/boolean-point-in-polygon";
import { nearestPointOnLine } from "@turf/nearest-point-on-line";
import IndexedPointInAreaLocator from "jsts/org/locationtech/jts/algorithm/locate/IndexedPointInAreaLocator.js";
import Coordinate from "jsts/org/locationtech/jts/geom/Coordinate.js";
import GeometryFactory from "jsts/org/locationtech/jts/geom/GeometryFactory.js";
import DistanceOp from "jsts/org/locationtech/jts/operation/distance/DistanceOp.js";
import IndexedFacetDistance from "jsts/org/locationtech/jts/operation/distance/IndexedFacetDistance.js";
import { checkPolygon, LineIndex, nearestOnLine, type Point, PolygonIndex } from "../src/geometry/index.js";
import { compare } from "./harness.js";
import { random } from "../tests/helpers/random.js";

const factory = new GeometryFactory();
const toCoordinate = ([x, y]: Point): Coordinate => new Coordinate(x, y);
// the peers that think in degrees get the same shape at a scale of degrees
const DEGREE = 111_000;
const toDegrees = ([x, y]: Point): [number, number] => [x / DEGREE, y / DEGREE];

nearest(1e4);
nearest(1e5);
inside(1e2);
inside(1e4);
building();

function track(count: number): Point[] {
  const next = random(1);
  let x = 0;
  let y = 0;
  let heading = 0;
  return Array.from({ length: count }, (): Point => {
    heading = 0.999 * heading + (next() - 0.5) * 0.2;
    x += Math.cos(heading);
    y += Math.sin(heading);
    return [x, y];
  });
}

/** A drive along the line, a step a query, at a distance from it. */
function drive(line: readonly Point[], count: number, step: number, beside: number): Float64Array {
  const xy = new Float64Array(2 * count);
  for (let k = 0; k < count; k++) {
    const at = (k * step) % (line.length - 2);
    const i = Math.floor(at);
    const a = line[i]!;
    const b = line[i + 1]!;
    xy[2 * k] = a[0] + (b[0] - a[0]) * (at - i) - (b[1] - a[1]) * beside;
    xy[2 * k + 1] = a[1] + (b[1] - a[1]) * (at - i) + (b[0] - a[0]) * beside;
  }
  return xy;
}

function nearest(count: number): void {
  const line = track(count);
  const index = new LineIndex(line);
  const next = random(2);
  const scattered = new Float64Array(20_000);
  for (let k = 0; k < scattered.length; k += 2) {
    const p = line[Math.floor(next() * count)]!;
    scattered[k] = p[0] + (next() - 0.5) * 40;
    scattered[k + 1] = p[1] + (next() - 0.5) * 40;
  }
  const along = drive(line, 20_000, 0.15, 0.05);
  const beside = drive(line, 20_000, 0.15, 24);
  const queries =
    (xy: Float64Array, calls: number): (() => number) =>
    () => {
      let sum = 0;
      for (let k = 0; k < 2 * calls; k += 2) sum += index.nearest(xy[k]!, xy[k + 1]!).signedDistance;
      return sum;
    };
  const geometry = factory.createLineString(line.map(toCoordinate));
  const facets = new IndexedFacetDistance(geometry);
  const points = Array.from({ length: 50 }, (_, k) =>
    factory.createPoint(new Coordinate(scattered[2 * k]!, scattered[2 * k + 1]!)),
  );
  const degrees = { type: "LineString" as const, coordinates: line.map(toDegrees) };
  compare(
    `nearest point on a line of ${count} vertices, scattered points`,
    [
      { name: "LineIndex", calls: 10_000, run: queries(scattered, 10_000) },
      {
        name: "every segment (nearestOnLine)",
        calls: 10,
        run: () => {
          let sum = 0;
          for (let k = 0; k < 10; k++) sum += nearestOnLine(line, [scattered[2 * k]!, scattered[2 * k + 1]!]).distance;
          return sum;
        },
      },
      {
        name: "jsts IndexedFacetDistance",
        calls: 50,
        run: () => points.reduce<number>((sum, point) => sum + facets.distance(point), 0),
      },
      {
        name: "jsts DistanceOp",
        calls: 5,
        run: () => points.slice(0, 5).reduce<number>((sum, point) => sum + DistanceOp.distance(geometry, point), 0),
      },
      {
        name: "@turf/nearest-point-on-line",
        calls: 1,
        run: () => nearestPointOnLine(degrees, toDegrees([scattered[0]!, scattered[1]!])).properties.pointDistance,
      },
    ],
    7,
  );
  compare(`nearest point on a line of ${count} vertices, 3 m/s at 20 Hz`, [
    { name: "LineIndex, on the line", calls: 20_000, run: queries(along, 20_000) },
    { name: "LineIndex, 24 m beside it", calls: 20_000, run: queries(beside, 20_000) },
    { name: "LineIndex, scattered points", calls: 10_000, run: queries(scattered, 10_000) },
  ]);
}

function field(count: number): Point[] {
  const ring = Array.from({ length: count }, (_, i): Point => {
    const angle = (i / count) * 2 * Math.PI;
    const radius = 300 * (1 + 0.3 * Math.sin(5 * angle)) + (i % 2) * 0.05;
    return [radius * Math.cos(angle), radius * Math.sin(angle)];
  });
  return [...ring, ring[0]!];
}

function inside(count: number): void {
  const ring = field(count);
  const index = new PolygonIndex({ exterior: ring, holes: [] });
  const locator = new IndexedPointInAreaLocator(
    factory.createPolygon(factory.createLinearRing(ring.map(toCoordinate))),
  );
  const next = random(3);
  const points = Array.from({ length: 5000 }, (): Point => [(next() - 0.5) * 800, (next() - 0.5) * 800]);
  const coordinates = points.map(toCoordinate);
  const pairs = points.map(([x, y]): [number, number] => [x, y]);
  const peer = { type: "Polygon" as const, coordinates: [ring.map(([x, y]): [number, number] => [x, y])] };
  const few = count > 1000 ? 100 : 5000;
  compare(`point in a polygon of ${count} vertices`, [
    {
      name: "PolygonIndex.contains",
      calls: 5000,
      run: () => points.reduce((sum, p) => sum + (index.contains(p[0], p[1]) ? 1 : 0), 0),
    },
    {
      name: "jsts IndexedPointInAreaLocator",
      calls: 5000,
      run: () => coordinates.reduce((sum, c) => sum + locator.locate(c), 0),
    },
    {
      name: "@turf/boolean-point-in-polygon",
      calls: few,
      run: () => pairs.slice(0, few).reduce((sum, p) => sum + (booleanPointInPolygon(p, peer) ? 1 : 0), 0),
    },
    {
      name: "PolygonIndex.insideShare of 3 m",
      calls: 5000,
      run: () => points.reduce((sum, p) => sum + index.insideShare(p[0], p[1], p[0] + 2, p[1] + 2.2), 0),
    },
    {
      name: "PolygonIndex.distanceToBoundary",
      calls: 5000,
      run: () => points.reduce((sum, p) => sum + index.distanceToBoundary(p[0], p[1]), 0),
    },
  ]);
}

function building(): void {
  const line = track(1e5);
  const ring = field(1e5);
  const star = Array.from({ length: 1e5 }, (_, i): Point => {
    const angle = (i / 1e5) * 2 * Math.PI;
    const radius = i % 2 === 0 ? 50 : 100;
    return [radius * Math.cos(angle), radius * Math.sin(angle)];
  });
  compare(
    "set-up for 100 000 vertices",
    [
      { name: "LineIndex", calls: 1, run: () => new LineIndex(line).length },
      { name: "PolygonIndex", calls: 1, run: () => new PolygonIndex({ exterior: ring, holes: [] }).bounds.maxX },
      { name: "checkPolygon", calls: 1, run: () => checkPolygon({ exterior: ring, holes: [] }).exterior.length },
      {
        name: "checkPolygon of a star",
        calls: 1,
        run: () => checkPolygon({ exterior: star, holes: [] }).exterior.length,
      },
    ],
    5,
  );
}
