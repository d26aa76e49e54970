import { FeeringError, requireList, requireNumber, requireObject } from "../../errors/index.js";
import type { GeographicPosition } from "../../frames/position.js";
import type { GeographicPolygon } from "../../survey/positions.js";
import type { GeoData, GeoProperties } from "../geo-data.js";
import { copyJson } from "../json-value.js";
import { distinctPlaces, healedRing } from "../rings.js";

/** Options of {@link writeGeoJson}. */
export interface WriteGeoJsonOptions {
  /** decimals of longitude and latitude, 0 to 15; default 9, 0.1 mm on the ground. Altitudes keep 4: 0.1 mm */
  readonly decimals?: number;
  /** spaces to indent by, 0 to 10; default 0: all on one line */
  readonly indent?: number;
}

/**
 * Write fields, lines and points as a GeoJSON FeatureCollection (RFC 7946).
 *
 * A field of one part becomes a Polygon, of several a MultiPolygon. Rings are closed, exteriors counter-clockwise,
 * holes clockwise. Coordinates are rounded to `decimals`; `readGeoJson` gives them back to that. A shape across 180
 * degrees of longitude is written whole, with longitudes on both sides: it is not cut there as RFC 7946 3.1.9 advises,
 * and `readGeoJson` reads it back right, but a map may draw it round the Earth.
 *
 * @param data - what to write; a list that is left out is empty
 * @param options - decimals and indentation
 * @returns the text
 * @throws FeeringError `not-finite` or `out-of-range` for a position, `too-few-points` for a line or ring (as rounded),
 * `bad-format` for a property that is no JSON value; each with the path in `data`
 * @see RFC 7946, The GeoJSON Format, 2016
 * @example
 * ```ts
 * writeGeoJson({ points: [{ position: { latitude: 52, longitude: 5 }, properties: { name: "gate" } }] });
 * ```
 */
export function writeGeoJson(
  data: Partial<Pick<GeoData, "fields" | "lines" | "points">>,
  options: WriteGeoJsonOptions = {},
): string {
  requireObject(data, "data");
  requireObject(options, "options");
  const decimals = Math.round(requireNumber(options.decimals ?? 9, "options.decimals", { min: 0, max: 15 }));
  const indent = requireNumber(options.indent ?? 0, "options.indent", { min: 0, max: 10 });
  const features: object[] = [];
  members(data.fields, "fields").forEach((field, i) => {
    const path = `fields[${i}]`;
    requireList(field.polygons, `${path}.polygons`);
    const parts = field.polygons.map((part, j) => rings(part, decimals, `${path}.polygons[${j}]`));
    if (parts.length === 0) throw tooFew(`${path}.polygons`, 0, 1);
    const geometry =
      parts.length === 1 ? { type: "Polygon", coordinates: parts[0] } : { type: "MultiPolygon", coordinates: parts };
    features.push(feature(geometry, field, path));
  });
  members(data.lines, "lines").forEach((line, i) => {
    const path = `lines[${i}]`;
    requireList(line.positions, `${path}.positions`);
    if (line.positions.length < 2) throw tooFew(`${path}.positions`, line.positions.length, 2);
    const coordinates = line.positions.map((p, j) => coordinate(p, decimals, `${path}.positions[${j}]`));
    features.push(feature({ type: "LineString", coordinates }, line, path));
  });
  members(data.points, "points").forEach((point, i) => {
    const path = `points[${i}]`;
    const coordinates = coordinate(point.position, decimals, `${path}.position`);
    features.push(feature({ type: "Point", coordinates }, point, path));
  });
  return JSON.stringify({ type: "FeatureCollection", features }, undefined, indent);
}

function members<T>(list: readonly T[] | undefined, path: string): readonly T[] {
  if (list === undefined) return [];
  requireList(list, path);
  list.forEach((member, i) => requireObject(member, `${path}[${i}]`));
  return list;
}

function feature(
  geometry: object,
  source: { readonly properties: GeoProperties; readonly id?: string | number },
  path: string,
): object {
  return {
    type: "Feature",
    ...(source.id === undefined ? {} : { id: source.id }),
    properties: copyJson(source.properties ?? {}, `${path}.properties`, 0),
    geometry,
  };
}

function rings(polygon: GeographicPolygon, decimals: number, path: string): number[][][] {
  requireObject(polygon, path);
  requireList(polygon.holes, `${path}.holes`);
  const ring = (positions: readonly GeographicPosition[], exterior: boolean, at: string): number[][] => {
    requireList(positions, at);
    const rounded = positions.map((p, i) => {
      const [longitude, latitude, altitude] = coordinate(p, decimals, `${at}[${i}]`);
      return { longitude: longitude!, latitude: latitude!, ...(altitude === undefined ? {} : { altitude }) };
    });
    const distinct = distinctPlaces(rounded);
    if (distinct < 3) throw tooFew(at, distinct, 3);
    return healedRing(rounded, exterior).map((p) =>
      p.altitude === undefined ? [p.longitude, p.latitude] : [p.longitude, p.latitude, p.altitude],
    );
  };
  return [
    ring(polygon.exterior, true, `${path}.exterior`),
    ...polygon.holes.map((hole, i) => ring(hole, false, `${path}.holes[${i}]`)),
  ];
}

function coordinate(position: GeographicPosition, decimals: number, path: string): number[] {
  const latitude = requireNumber(position?.latitude, `${path}.latitude`, { min: -90, max: 90 });
  const longitude = requireNumber(position?.longitude, `${path}.longitude`, { min: -360, max: 360 });
  const turned = longitude > 180 ? longitude - 360 : longitude < -180 ? longitude + 360 : longitude;
  const pair = [round(turned, decimals), round(latitude, decimals)];
  if (position.altitude !== undefined) {
    pair.push(round(requireNumber(position.altitude, `${path}.altitude`), 4));
  }
  return pair;
}

// by way of the decimal text, so that what is written has no more digits than asked for; never -0
function round(value: number, decimals: number): number {
  return Number(value.toFixed(decimals)) + 0;
}

function tooFew(path: string, found: number, needed: number): FeeringError {
  return new FeeringError("too-few-points", `${path} has ${found} distinct members, needs ${needed}`, {
    argument: path,
    value: found,
  });
}
