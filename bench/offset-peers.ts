import { createRequire } from "node:module";
import type { Point, Polygon } from "../src/geometry/index.js";
import { CHORDS, type Engine, isLine, isPolygon, ours, ringOf, sagitta } from "./offset-engines.js";

interface Geos {
  GEOSBuffer(g: number, width: number, quadrantSegments: number): number;
  GEOSOffsetCurve(g: number, width: number, quadrantSegments: number, join: number, limit: number): number;
  GEOSUnaryUnion(g: number): number;
  GEOSGeom_destroy(g: number): void;
}
interface GeosHelpers {
  geojsonToGeosGeom(geojson: unknown, geos: Geos): number;
  geosGeomToGeojson(g: number, geos: Geos): { type: string; coordinates: unknown };
}

/** Import that may fail: a peer need not be installed. Through a variable, so that the compiler does not look for types. */
async function optional<Module>(name: string): Promise<Module | undefined> {
  try {
    return (await import(name)) as Module;
  } catch (error) {
    console.log(`skipped: ${name} is not installed (${(error as { code?: string }).code ?? String(error)})`);
    return undefined;
  }
}

async function geosEngine(): Promise<Engine | undefined> {
  const module = await optional<{ default: () => Promise<Geos> }>("geos-wasm");
  const helpers = await optional<GeosHelpers>("geos-wasm/helpers");
  if (module === undefined || helpers === undefined) return undefined;
  const geos = await module.default();
  const coordinates = (polygon: Polygon): Point[][] => [polygon.exterior, ...polygon.holes].map(ringOf);
  const ROUND = 1;
  return {
    name: "geos-wasm",
    load: (source) =>
      helpers.geojsonToGeosGeom(
        isPolygon(source)
          ? { type: "Polygon", coordinates: coordinates(source) }
          : isLine(source)
            ? { type: "LineString", coordinates: source }
            : { type: "MultiPolygon", coordinates: source.map(coordinates) },
        geos,
      ),
    rings: (source, distances) => distances.map((d) => geos.GEOSBuffer(source as number, -d, CHORDS)),
    chained: (source, steps) => {
      let previous = source as number;
      return steps.map((step) => (previous = geos.GEOSBuffer(previous, -step, CHORDS)));
    },
    sides: (source, distances) =>
      [...distances, ...distances.map((d) => -d)].map((d) =>
        geos.GEOSOffsetCurve(source as number, d, CHORDS, ROUND, 5),
      ),
    union: (source) => geos.GEOSUnaryUnion(source as number),
    chains: (result) => {
      const { type, coordinates } = helpers.geosGeomToGeojson(result as number, geos);
      if (type === "LineString") return [coordinates as Point[]];
      if (type === "MultiLineString" || type === "Polygon") return coordinates as Point[][];
      return type === "MultiPolygon" ? (coordinates as Point[][][]).flat() : [];
    },
    free: (results) => {
      for (const result of results) geos.GEOSGeom_destroy(result as number);
    },
  };
}

interface JstsGeometry {
  getNumGeometries(): number;
  getGeometryN(i: number): JstsGeometry;
  getExteriorRing(): JstsGeometry;
  getNumInteriorRing(): number;
  getInteriorRingN(i: number): JstsGeometry;
  getCoordinates(): { x: number; y: number }[];
}
interface JstsFactory {
  createLinearRing(coordinates: readonly unknown[]): unknown;
  createLineString(coordinates: readonly unknown[]): unknown;
  createPolygon(shell: unknown, holes: readonly unknown[]): unknown;
  createMultiPolygon(polygons: readonly unknown[]): unknown;
}
interface JstsParameters {
  setQuadrantSegments(chords: number): void;
  setSingleSided(one: boolean): void;
}

async function jstsEngine(): Promise<Engine | undefined> {
  const jts = "jsts/org/locationtech/jts/";
  const factoryModule = await optional<{ default: new () => JstsFactory }>(`${jts}geom/GeometryFactory.js`);
  const coordinateModule = await optional<{ default: new (x: number, y: number) => unknown }>(
    `${jts}geom/Coordinate.js`,
  );
  const bufferModule = await optional<{
    default: { bufferOp(g: unknown, distance: number, parameters: JstsParameters): JstsGeometry };
  }>(`${jts}operation/buffer/BufferOp.js`);
  const parametersModule = await optional<{ default: new () => JstsParameters }>(
    `${jts}operation/buffer/BufferParameters.js`,
  );
  const unionModule = await optional<{ default: { union(g: unknown): JstsGeometry } }>(
    `${jts}operation/union/UnaryUnionOp.js`,
  );
  if (!factoryModule || !coordinateModule || !bufferModule || !parametersModule || !unionModule) return undefined;
  const factory = new factoryModule.default();
  const { default: Coordinate } = coordinateModule;
  const { default: BufferOp } = bufferModule;
  const { default: UnaryUnionOp } = unionModule;
  const points = (list: readonly Point[]): unknown[] => list.map(([x, y]) => new Coordinate(x, y));
  const polygon = (p: Polygon): unknown =>
    factory.createPolygon(
      factory.createLinearRing(points(ringOf(p.exterior))),
      p.holes.map((hole) => factory.createLinearRing(points(ringOf(hole)))),
    );
  const parameters = (singleSided: boolean): JstsParameters => {
    const out = new parametersModule.default();
    out.setQuadrantSegments(CHORDS);
    out.setSingleSided(singleSided);
    return out;
  };
  const whole = parameters(false);
  const oneSide = parameters(true);
  const tuples = (g: JstsGeometry): Point[] => g.getCoordinates().map(({ x, y }): Point => [x, y]);
  return {
    name: "jsts",
    load: (source) =>
      isPolygon(source)
        ? polygon(source)
        : isLine(source)
          ? factory.createLineString(points(source))
          : factory.createMultiPolygon(source.map(polygon)),
    rings: (source, distances) => distances.map((d) => BufferOp.bufferOp(source, -d, whole)),
    chained: (source, steps) => {
      let previous = source;
      return steps.map((step) => (previous = BufferOp.bufferOp(previous, -step, whole)));
    },
    sides: (source, distances) =>
      [...distances, ...distances.map((d) => -d)].map((d) => BufferOp.bufferOp(source, d, oneSide)),
    union: (source) => UnaryUnionOp.union(source),
    chains: (result) => {
      const g = result as JstsGeometry;
      const out: Point[][] = [];
      for (let i = 0; i < g.getNumGeometries(); i++) {
        const part = g.getGeometryN(i);
        if (part.getCoordinates().length === 0) continue;
        out.push(tuples(part.getExteriorRing()));
        for (let k = 0; k < part.getNumInteriorRing(); k++) out.push(tuples(part.getInteriorRingN(k)));
      }
      return out;
    },
    band: "one-sided bands",
    free: () => undefined,
  };
}

interface ClipperPath {
  size(): number;
  get(i: number): { x: number; y: number };
}
interface ClipperPaths {
  size(): number;
  get(i: number): ClipperPath;
  push_back(path: ClipperPath): void;
  delete(): void;
}
interface Clipper {
  PathsD: new () => ClipperPaths;
  MakePathD(flat: number[]): ClipperPath;
  JoinType: { Round: unknown };
  EndType: { Polygon: unknown; Butt: unknown };
  FillRule: { NonZero: unknown };
  InflatePathsD(
    paths: ClipperPaths,
    delta: number,
    join: unknown,
    end: unknown,
    mitreLimit: number,
    precision: number,
    arcTolerance: number,
  ): ClipperPaths;
  UnionSelfD(paths: ClipperPaths, rule: unknown, precision: number): ClipperPaths;
}

async function clipperEngine(): Promise<Engine | undefined> {
  // its CommonJS build finds its binary beside itself; the other one does not under Node
  let start: () => Promise<Clipper>;
  try {
    const loaded = createRequire(import.meta.url)("clipper2-wasm") as { default: () => Promise<Clipper> };
    start = loaded.default;
  } catch (error) {
    console.log(`skipped: clipper2-wasm is not installed (${(error as { code?: string }).code ?? String(error)})`);
    return undefined;
  }
  const clipper = await start();
  // digits behind the point: 0.1 mm
  const PRECISION = 4;
  const paths = (rings: readonly (readonly Point[])[]): ClipperPaths => {
    const out = new clipper.PathsD();
    for (const ring of rings) out.push_back(clipper.MakePathD(ring.flatMap(([x, y]) => [x, y])));
    return out;
  };
  // exterior counter-clockwise, holes clockwise: it goes by winding
  const turned = (ring: readonly Point[], counterClockwise: boolean): readonly Point[] => {
    let twice = 0;
    ring.forEach((p, i) => {
      const q = ring[(i + 1) % ring.length]!;
      twice += p[0] * q[1] - p[1] * q[0];
    });
    return twice > 0 === counterClockwise ? ring : [...ring].reverse();
  };
  const inflate = (source: ClipperPaths, delta: number, end: unknown): ClipperPaths =>
    clipper.InflatePathsD(source, delta, clipper.JoinType.Round, end, 2, PRECISION, sagitta(delta));
  return {
    name: "clipper2-wasm",
    load: (source) =>
      isPolygon(source)
        ? paths([turned(source.exterior, true), ...source.holes.map((hole) => turned(hole, false))])
        : isLine(source)
          ? paths([source])
          : paths(source.map((polygon) => polygon.exterior)),
    rings: (source, distances) => distances.map((d) => inflate(source as ClipperPaths, -d, clipper.EndType.Polygon)),
    chained: (source, steps) => {
      let previous = source as ClipperPaths;
      return steps.map((step) => (previous = inflate(previous, -step, clipper.EndType.Polygon)));
    },
    sides: (source, distances) => distances.map((d) => inflate(source as ClipperPaths, d, clipper.EndType.Butt)),
    union: (source) => clipper.UnionSelfD(source as ClipperPaths, clipper.FillRule.NonZero, PRECISION),
    chains: (result) => {
      const list = result as ClipperPaths;
      return Array.from({ length: list.size() }, (_, i) => {
        const path = list.get(i);
        const ring = Array.from({ length: path.size() }, (_point, k): Point => [path.get(k).x, path.get(k).y]);
        return ringOf(ring);
      });
    },
    band: "one two-sided band",
    free: (results) => {
      for (const result of results) (result as ClipperPaths).delete();
    },
  };
}

/** polygon-clipping can only unite. */
async function polygonClippingEngine(): Promise<Engine | undefined> {
  const module = await optional<{ default: { union(first: unknown, ...rest: unknown[]): Point[][][] } }>(
    "polygon-clipping",
  );
  if (module === undefined) return undefined;
  const none = (): never => {
    throw new Error("polygon-clipping has no offset");
  };
  return {
    name: "polygon-clipping",
    load: (source) => (source as readonly Polygon[]).map((polygon) => [ringOf(polygon.exterior)]),
    rings: none,
    chained: none,
    sides: none,
    union: (source) => {
      const [first, ...rest] = source as unknown[];
      return module.default.union(first, ...rest);
    },
    chains: (result) => (result as Point[][][]).flat(),
    free: () => undefined,
  };
}

export type EngineName = "feering" | "fine" | "geos" | "jsts" | "clipper" | "polygon-clipping";

export async function engineOf(name: EngineName): Promise<Engine | undefined> {
  switch (name) {
    case "feering":
      return ours(false);
    case "fine":
      return ours(true);
    case "geos":
      return geosEngine();
    case "jsts":
      return jstsEngine();
    case "clipper":
      return clipperEngine();
    case "polygon-clipping":
      return polygonClippingEngine();
  }
}
