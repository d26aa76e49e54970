import { FeeringError, requireNumber, requireObject } from "../../errors/index.js";
import type { GeoData, GeoField, GeoLine, GeoPoint, GeoProperties } from "../geo-data.js";
import { requireWgs84 } from "./geojson-crs.js";
import { joinLines, joinPolygons } from "./antimeridian-join.js";
import { PositionReader } from "./geojson-positions.js";
import { badFormat, copyJson, describe, isObject, mapEvery, MAXIMUM_DEPTH } from "../json-value.js";
import { utf8Text } from "../utf-8.js";

/** Caps and options of {@link readGeoJson}. */
export interface ReadGeoJsonOptions {
  /** longest input that is read, UTF-16 units of a text or bytes; default 256 million */
  readonly maximumLength?: number;
  /** most positions that are read; default 5 million */
  readonly maximumPositions?: number;
  /**
   * what to do with the parts of one MultiPolygon or MultiLineString that were cut at 180 degrees of longitude (RFC 7946 3.1.9):
   * `join` them again, or `keep` them as they stand. Default `join`
   */
  readonly antimeridian?: "join" | "keep";
}

/**
 * Read a GeoJSON document (RFC 7946): fields with their holes, lines and points, as geographic positions.
 *
 * Takes a FeatureCollection, a Feature, or a bare geometry of any kind. A MultiPolygon is one field of several parts;
 * a MultiLineString or MultiPoint becomes one line or point for each member, and a GeometryCollection's members come
 * singly, each with the feature's properties. Rings that are open are closed, rings wound the wrong way are turned.
 * Longitudes come back in -180 to 180. Parts of a MultiPolygon that lie along each other at 180 degrees become one, as do lines of a
 * MultiLineString that meet there: they were cut as RFC 7946 3.1.9 asks. Vertices that the cut put in, and no others, are taken
 * out again; a vertex at 180 degrees is told as 180 or -180, whichever side the one before it is on. Properties are copied; a property named `__proto__` is left out. `bbox` and
 * foreign members are passed over. Where a name stands twice in one object the last one counts, as in `JSON.parse`.
 *
 * Shapes are not checked for crossings: `boundaryFromPoints` of feering/survey does, once the rings are in a frame
 * (`toLocalPolygon`).
 *
 * Nothing is passed over in silence: what is not GeoJSON throws, with the path in the document.
 *
 * @param input - the text, its bytes (UTF-8), or the parsed document (such as a `GeoJSON` of `@types/geojson`); it is not changed
 * @param options - caps; whether to join what was cut at 180 degrees
 * @returns fields, lines and points in the order of the document
 * @throws `FeeringError` `bad-format` with the path as `argument` (also for a text that is no JSON, bytes that are no UTF-8, nesting deeper than 64
 * levels, and coordinates that are no numbers or out of range), `unknown-crs` for a `crs` member other than WGS 84
 * longitude and latitude, `too-large` beyond a cap
 * @see RFC 7946, The GeoJSON Format, 2016
 * @example
 * ```ts
 * const { fields } = readGeoJson('{"type":"Polygon","coordinates":[[[5,52],[5.01,52],[5.01,52.01],[5,52]]]}');
 * fields[0]?.polygons[0]?.exterior[1]; // { latitude: 52, longitude: 5.01 }
 * ```
 */
export function readGeoJson(input: string | Uint8Array | object, options: ReadGeoJsonOptions = {}): GeoData {
  requireObject(options, "options");
  const { antimeridian = "join" } = options;
  if (antimeridian !== "join" && antimeridian !== "keep") {
    throw new FeeringError("out-of-range", 'options.antimeridian is neither "join" nor "keep"', {
      argument: "options.antimeridian",
      value: antimeridian,
    });
  }
  const maximumLength = requireNumber(options.maximumLength ?? 256e6, "options.maximumLength", { min: 0 });
  const maximum = requireNumber(options.maximumPositions ?? 5e6, "options.maximumPositions", { min: 0 });
  const text = input instanceof Uint8Array ? utf8Text(input, maximumLength) : input;
  const document = typeof text === "string" ? parse(text, maximumLength) : text;
  const reader = new DocumentReader(maximum, antimeridian === "join");
  reader.object(document, "", 0);
  return reader.data;
}

interface Mutable {
  fields: GeoField[];
  lines: GeoLine[];
  points: GeoPoint[];
  withoutGeometry: number;
}

interface Attributes {
  readonly properties: GeoProperties;
  readonly id?: string | number;
}

class DocumentReader {
  readonly data: Mutable = { fields: [], lines: [], points: [], withoutGeometry: 0 };
  readonly #positions: PositionReader;

  readonly #join: boolean;

  constructor(maximumPositions: number, join: boolean) {
    this.#positions = new PositionReader(maximumPositions);
    this.#join = join;
  }

  object(value: unknown, path: string, depth: number): void {
    const object = geoObject(value, path);
    if (object["type"] === "FeatureCollection") {
      const features = object["features"];
      const at = join(path, "features");
      if (!Array.isArray(features)) throw badFormat(at, `is ${describe(features)}, needs a list of features`, features);
      for (let i = 0; i < features.length; i++) this.#feature(geoObject(features[i], `${at}[${i}]`), `${at}[${i}]`);
    } else if (object["type"] === "Feature") this.#feature(object, path);
    else this.#geometry(object, path, depth, { properties: {} });
  }

  #feature(feature: Record<string, unknown>, path: string): void {
    if (feature["type"] !== "Feature") {
      throw badFormat(join(path, "type"), `is ${describe(feature["type"])}, needs "Feature"`, feature["type"]);
    }
    const { properties, id, geometry } = feature;
    if (properties !== null && properties !== undefined && !isObject(properties)) {
      throw badFormat(join(path, "properties"), `is ${describe(properties)}, needs an object or null`, properties);
    }
    if (id !== undefined && id !== null && typeof id !== "string" && !Number.isFinite(id)) {
      throw badFormat(join(path, "id"), `is ${describe(id)}, needs a text or a number`, id);
    }
    const attributes: Attributes = {
      properties: copyJson(properties ?? {}, join(path, "properties"), 0) as GeoProperties,
      ...(id === undefined || id === null ? {} : { id: id as string | number }),
    };
    if (geometry === null) this.data.withoutGeometry++;
    else {
      const at = join(path, "geometry");
      this.#geometry(geoObject(geometry, at), at, 0, attributes);
    }
  }

  #geometry(object: Record<string, unknown>, path: string, depth: number, attributes: Attributes): void {
    if (depth > MAXIMUM_DEPTH) throw badFormat(path, `is nested deeper than ${MAXIMUM_DEPTH} levels`);
    const type = object["type"];
    if (type === "GeometryCollection") {
      const at = join(path, "geometries");
      const members = list(object["geometries"], at, "geometries");
      if (members.length === 0) this.data.withoutGeometry++;
      for (let i = 0; i < members.length; i++) {
        this.#geometry(geoObject(members[i], `${at}[${i}]`), `${at}[${i}]`, depth + 1, attributes);
      }
      return;
    }
    const at = join(path, "coordinates");
    const coordinates = object["coordinates"];
    const positions = this.#positions;
    const { fields, lines, points } = this.data;
    positions.seam = false;
    if (typeof type !== "string" || !GEOMETRIES.has(type)) {
      throw badFormat(join(path, "type"), `is ${describe(type)}, needs a type of RFC 7946`, type);
    }
    if (list(coordinates, at, "coordinates").length === 0) {
      // RFC 7946 3.1: may be taken for a null object
      this.data.withoutGeometry++;
    } else if (type === "Point") points.push({ position: positions.position(coordinates, at), ...attributes });
    else if (type === "MultiPoint") {
      for (const position of positions.positions(coordinates, at)) points.push({ position, ...attributes });
    } else if (type === "LineString") {
      const line = positions.line(coordinates, at);
      lines.push({ positions: this.#join && positions.seam ? joinLines([line])[0]! : line, ...attributes });
    } else if (type === "MultiLineString") {
      const members = mapEvery(list(coordinates, at, "lines"), (member, i) => positions.line(member, `${at}[${i}]`));
      const whole = this.#join && positions.seam ? joinLines(members) : members;
      for (const line of whole) lines.push({ positions: line, ...attributes });
    } else if (type === "Polygon") {
      const polygons = [positions.polygon(coordinates, at)];
      fields.push({ polygons: this.#join && positions.seam ? joinPolygons(polygons) : polygons, ...attributes });
    } else {
      const polygons = mapEvery(list(coordinates, at, "polygons"), (member, i) => {
        const place = `${at}[${i}]`;
        if (list(member, place, "rings").length === 0) throw badFormat(place, "has no rings, needs 1", member);
        return positions.polygon(member, place);
      });
      fields.push({ polygons: this.#join && positions.seam ? joinPolygons(polygons) : polygons, ...attributes });
    }
  }
}

const GEOMETRIES: ReadonlySet<string> = new Set([
  "Point",
  "MultiPoint",
  "LineString",
  "MultiLineString",
  "Polygon",
  "MultiPolygon",
]);

function parse(text: string, maximumLength: number): unknown {
  if (text.length > maximumLength) {
    throw new FeeringError(
      "too-large",
      `input has ${text.length} characters, at most ${maximumLength} are read (options.maximumLength)`,
      { argument: "input", value: text.length },
    );
  }
  try {
    // files saved with a byte order mark are common; RFC 8259 8.1 lets a reader pass over it
    return JSON.parse(text.charCodeAt(0) === 0xfeff ? text.slice(1) : text);
  } catch (cause) {
    const reason = cause instanceof Error ? cause.message : String(cause);
    throw new FeeringError("bad-format", `input is no JSON: ${reason.slice(0, 200)}`, { argument: "input", cause });
  }
}

function geoObject(value: unknown, path: string): Record<string, unknown> {
  if (!isObject(value)) throw badFormat(path, `is ${describe(value)}, needs a GeoJSON object`, value);
  requireWgs84(value["crs"], join(path, "crs"));
  return value;
}

function list(value: unknown, path: string, what: string): readonly unknown[] {
  if (!Array.isArray(value)) throw badFormat(path, `is ${describe(value)}, needs a list of ${what}`, value);
  return value;
}

function join(path: string, name: string): string {
  return path === "" ? name : `${path}.${name}`;
}
