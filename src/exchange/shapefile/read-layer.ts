import type { GeographicPosition } from "../../frames/position.js";
import type { GeographicPolygon } from "../../survey/positions.js";
import type { GeoField, GeoLine, GeoPoint, GeoProperties } from "../geo-data.js";
import { joinLines, joinPolygons } from "../geojson/antimeridian-join.js";
import { DbfTable } from "./dbf-table.js";
import { type FileCrs, fileCrs } from "./file-crs.js";
import type { ReadShapefileOptions } from "./read-shapefile.js";
import { nestRings } from "./ring-nesting.js";
import { refused } from "./shapefile-error.js";
import type { ShapefileLayer, ShapefileParts } from "./shapefile-types.js";
import { ShpFile } from "./shp-file.js";

/**
 * Read one shapefile.
 *
 * @param name - path without ending, empty where parts were given
 * @param parts - its files
 * @param options - as given to `readShapefile`
 * @param maximumPositions - most positions that are read
 * @param used - told how many there were
 */
export function readLayer(
  name: string,
  parts: ShapefileParts,
  options: ReadShapefileOptions,
  maximumPositions: number,
  used?: (positions: number) => void,
): ShapefileLayer {
  const file = (ending: string): string => (name === "" ? ending : `${name}.${ending}`);
  const shp = new ShpFile(parts.shp, file("shp"), maximumPositions);
  const prj = typeof parts.prj === "object" ? prjText(parts.prj) : parts.prj;
  const crs = fileCrs(options.crs, prj, options.acceptAccuracy, file("shp"));
  const table = parts.dbf === undefined ? undefined : new DbfTable(parts.dbf, parts.cpg, options.encoding, file("dbf"));
  const builder = new LayerBuilder(shp, crs);
  let deleted = 0;
  while (shp.next()) {
    const row = shp.record - 1;
    if (table !== undefined && row >= table.rows) continue;
    if (table !== undefined && !table.has(row)) deleted++;
    else builder.add(table === undefined ? {} : table.properties(row));
  }
  if (table !== undefined && table.rows !== shp.record) {
    throw refused(file("dbf"), `has ${table.rows} rows for ${shp.record} shapes`, { value: table.rows });
  }
  used?.(builder.positions);
  return {
    name,
    shapeType: shp.type.name,
    fields: builder.fields,
    lines: builder.lines,
    points: builder.points,
    withoutGeometry: builder.withoutGeometry,
    crs: crs.crs,
    columns: table?.columns ?? [],
    encoding: table?.encoding ?? "",
    deleted,
    measures: shp.measures,
    rewound: builder.rewound,
  };
}

/** Text of a `.prj` file: UTF-8, or what came before it. */
function prjText(bytes: Uint8Array): string {
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder("windows-1252").decode(bytes);
  }
}

class LayerBuilder {
  readonly fields: GeoField[] = [];
  readonly lines: GeoLine[] = [];
  readonly points: GeoPoint[] = [];
  withoutGeometry = 0;
  rewound = 0;
  positions = 0;
  readonly #shp: ShpFile;
  readonly #crs: FileCrs;
  #latLon: Float64Array = new Float64Array(64);
  #areas: Float64Array = new Float64Array(16);
  /** whether the record has a position at 180 degrees of longitude */
  #seam = false;

  constructor(shp: ShpFile, crs: FileCrs) {
    this.#shp = shp;
    this.#crs = crs;
  }

  /** Take the record that the file stands at. */
  add(properties: GeoProperties): void {
    const shp = this.#shp;
    if (shp.points === 0) {
      this.withoutGeometry++;
      return;
    }
    this.positions += shp.points;
    this.#convert();
    if (shp.kind === "polygon") this.#polygon(properties);
    else if (shp.kind === "line") this.#line(properties);
    else for (let i = 0; i < shp.points; i++) this.points.push({ position: this.#position(i), properties });
  }

  #convert(): void {
    const { points, xy } = this.#shp;
    if (this.#latLon.length < 2 * points) this.#latLon = new Float64Array(xy.length);
    const latLon = this.#latLon;
    this.#crs.toPositions(xy.subarray(0, 2 * points), latLon.subarray(0, 2 * points));
    this.#seam = false;
    for (let i = 0; i < points; i++) {
      const longitude = latLon[2 * i + 1]!;
      if (Number.isNaN(latLon[2 * i]!) || Number.isNaN(longitude)) throw this.#nowhere(i);
      if (longitude === 180 || longitude === -180) this.#seam = true;
    }
  }

  #nowhere(i: number): Error {
    const { name, record, xy } = this.#shp;
    const { kind, name: crs } = this.#crs.crs;
    const hint =
      kind === "geographic" ? ", needs degrees; are these metres of a grid (options.crs)?" : ` has no place in ${crs}`;
    const problem = `record ${record}, point ${i}: [${xy[2 * i]}, ${xy[2 * i + 1]}]${hint}`;
    return refused(name, problem, { index: record, code: "out-of-range" });
  }

  #position(i: number): GeographicPosition {
    const latitude = this.#latLon[2 * i]!;
    const longitude = this.#latLon[2 * i + 1]!;
    const shp = this.#shp;
    if (!shp.type.z) return { latitude, longitude };
    const altitude = shp.z[i]!;
    return Number.isNaN(altitude)
      ? { latitude, longitude }
      : { latitude, longitude, altitude: altitude * this.#crs.altitude + 0 };
  }

  #line(properties: GeoProperties): void {
    const { starts, parts } = this.#shp;
    const lines: GeographicPosition[][] = [];
    for (let part = 0; part < parts; part++) {
      const from = starts[part]!;
      const to = starts[part + 1]!;
      if (to - from < 2) throw this.#bad(part, `has ${to - from} points, a line needs 2`);
      lines.push(this.#positions(from, to));
    }
    for (const positions of this.#seam ? joinLines(lines) : lines) this.lines.push({ positions, properties });
  }

  #polygon(properties: GeoProperties): void {
    const shp = this.#shp;
    const { parts } = shp;
    if (this.#areas.length < parts) this.#areas = new Float64Array(2 * parts);
    const areas = this.#areas;
    for (let part = 0; part < parts; part++) {
      if (this.#crs.crs.kind === "geographic") this.#unroll(part);
      areas[part] = this.#signedArea(part);
    }
    if (parts === 1) {
      if (areas[0]! > 0) this.rewound++;
      const polygon = { exterior: this.#ring(0, areas[0]! < 0), holes: [] };
      this.fields.push({ polygons: this.#seam ? joinPolygons([polygon]) : [polygon], properties });
      return;
    }
    const starts = shp.starts.subarray(0, parts + 1);
    const { parents, depths } = nestRings(shp.xy.subarray(0, 2 * shp.points), starts, areas.subarray(0, parts));
    const polygons: GeographicPolygon[] = [];
    const holesOf = new Map<number, GeographicPosition[][]>();
    for (let part = 0; part < parts; part++) {
      if (depths[part]! % 2 === 1) continue;
      if (areas[part]! > 0) this.rewound++;
      const holes: GeographicPosition[][] = [];
      holesOf.set(part, holes);
      polygons.push({ exterior: this.#ring(part, areas[part]! < 0), holes });
    }
    for (let part = 0; part < parts; part++) {
      if (depths[part]! % 2 === 0) continue;
      if (areas[part]! < 0) this.rewound++;
      holesOf.get(parents[part]!)!.push(this.#ring(part, areas[part]! > 0));
    }
    this.fields.push({ polygons: this.#seam ? joinPolygons(polygons) : polygons, properties });
  }

  /** A ring that goes over 180 degrees of longitude by the short way made one piece, for area and nesting alone. */
  #unroll(part: number): void {
    const { xy, starts } = this.#shp;
    let turn = 0;
    for (let i = starts[part]! + 1; i < starts[part + 1]!; i++) {
      const step = xy[2 * i]! + turn - xy[2 * i - 2]!;
      if (step > 180) turn -= 360;
      else if (step < -180) turn += 360;
      if (turn !== 0) xy[2 * i] = xy[2 * i]! + turn;
    }
  }

  /** Twice the area in the file's plane, relative to the ring's first point; counter-clockwise positive. */
  #signedArea(part: number): number {
    // hot
    const { xy, starts } = this.#shp;
    const from = starts[part]!;
    const to = starts[part + 1]!;
    const x0 = xy[2 * from]!;
    const y0 = xy[2 * from + 1]!;
    let twice = 0;
    let px = 0;
    let py = 0;
    // distinct places, up to three: the first, another, and one that is neither
    let second = -1;
    let third = false;
    for (let i = from + 1; i < to; i++) {
      const x = xy[2 * i]! - x0;
      const y = xy[2 * i + 1]! - y0;
      twice += px * y - x * py;
      px = x;
      py = y;
      if (third || (x === 0 && y === 0)) continue;
      if (second < 0) second = i;
      else third = xy[2 * i] !== xy[2 * second] || xy[2 * i + 1] !== xy[2 * second + 1];
    }
    if (!third) throw this.#bad(part, `has ${second < 0 ? 1 : 2} distinct points, a ring needs 3`);
    return twice;
  }

  #ring(part: number, turn: boolean): GeographicPosition[] {
    const { xy, starts } = this.#shp;
    const from = starts[part]!;
    let to = starts[part + 1]!;
    const closed = xy[2 * from] === xy[2 * to - 2] && xy[2 * from + 1] === xy[2 * to - 1];
    if (closed) to--;
    const ring = this.#positions(from, to);
    const first = ring[0]!;
    if (turn) {
      ring.reverse();
      ring.pop();
      ring.unshift(first);
    }
    ring.push(first);
    return ring;
  }

  #positions(from: number, to: number): GeographicPosition[] {
    // hot
    const latLon = this.#latLon;
    const positions: GeographicPosition[] = [];
    if (this.#shp.type.z) for (let i = from; i < to; i++) positions.push(this.#position(i));
    else for (let i = 2 * from; i < 2 * to; i += 2) positions.push({ latitude: latLon[i]!, longitude: latLon[i + 1]! });
    return positions;
  }

  #bad(part: number, problem: string): Error {
    const { name, record } = this.#shp;
    return refused(name, `record ${record}, part ${part} ${problem}`, { index: record });
  }
}
