import { FeeringError, requireList, requireNumber, requireObject } from "../../errors/index.js";
import type { GeographicPosition } from "../../frames/position.js";
import type { GeographicPolygon } from "../../survey/positions.js";
import type { GeoData, GeoProperties } from "../geo-data.js";
import { copyJson } from "../json-value.js";
import { distinctPlaces, healedRing } from "../rings.js";
import { cutLine, cutPolygon } from "./antimeridian-cut.js";
import type { GeoJsonFeature, GeoJsonFeatureCollection, GeoJsonGeometry } from "./geojson-types.js";

/** Options of {@link toGeoJson}. */
export interface ToGeoJsonOptions {
  /** decimals of longitude and latitude, 0 to 15; default 9, 0.1 mm on the ground. Altitudes keep 4: 0.1 mm */
  readonly decimals?: number;
  /**
   * what to do with shapes across 180 degrees of longitude: `cut` them there, as RFC 7946 3.1.9 asks, or `keep` them whole, with
   * longitudes of both signs. Default `cut`
   */
  readonly antimeridian?: "cut" | "keep";
}

/**
 * Fields, lines and points as a GeoJSON FeatureCollection (RFC 7946), as an object.
 *
 * A field of one part becomes a Polygon, of several a MultiPolygon. Rings are closed, exteriors counter-clockwise,
 * holes clockwise. Coordinates are rounded to `decimals`; `readGeoJson` gives them back to that.
 *
 * Neighbouring positions are joined by the short way round the Earth. A line across 180 degrees of longitude becomes a
 * MultiLineString, a field there a MultiPolygon, cut where the straight line in degrees crosses, holes too; the latitude of
 * a cut is not rounded, by which `readGeoJson` knows it and joins the parts again. A polygon that goes round a pole, or whose rings cross each other or have spikes there, is written whole: no cut at 180 degrees
 * makes parts of it.
 *
 * @param data - what to write; a list that is left out is empty
 * @param options - decimals and cutting
 * @returns an object that shares nothing with `data`, compatible with `@types/geojson`
 * @throws `FeeringError` `not-finite` or `out-of-range` for a position or option, `too-few-points` for a line or ring (as
 * rounded), `bad-format` for a property that is no JSON value; each with the path in `data`
 * @see RFC 7946, The GeoJSON Format, 2016
 * @example
 * ```ts
 * const { features } = toGeoJson({ lines: [{ positions: track, properties: { name: "tramline" } }] });
 * ```
 */
export function toGeoJson(
  data: Partial<Pick<GeoData, "fields" | "lines" | "points">>,
  options: ToGeoJsonOptions = {},
): GeoJsonFeatureCollection {
  requireObject(data, "data");
  requireObject(options, "options");
  const decimals = Math.round(requireNumber(options.decimals ?? 9, "options.decimals", { min: 0, max: 15 }));
  const { antimeridian = "cut" } = options;
  if (antimeridian !== "cut" && antimeridian !== "keep") {
    throw new FeeringError("out-of-range", 'options.antimeridian is neither "cut" nor "keep"', {
      argument: "options.antimeridian",
      value: antimeridian,
    });
  }
  const cut = antimeridian === "cut";
  const features: GeoJsonFeature[] = [];
  members(data.fields, "fields").forEach((field, i) => {
    const path = `fields[${i}]`;
    requireList(field.polygons, `${path}.polygons`);
    if (field.polygons.length === 0) throw tooFew(`${path}.polygons`, 0, 1);
    const parts = field.polygons.flatMap((part, j) => {
      const whole = rings(part, decimals, `${path}.polygons[${j}]`);
      return cut ? cutPolygon(whole) : [whole];
    });
    features.push(
      feature(
        parts.length === 1 ? { type: "Polygon", coordinates: parts[0]! } : { type: "MultiPolygon", coordinates: parts },
        field,
        path,
      ),
    );
  });
  members(data.lines, "lines").forEach((line, i) => {
    const path = `lines[${i}]`;
    requireList(line.positions, `${path}.positions`);
    if (line.positions.length < 2) throw tooFew(`${path}.positions`, line.positions.length, 2);
    const coordinates = line.positions.map((p, j) => coordinate(p, decimals, `${path}.positions[${j}]`));
    const parts = cut ? cutLine(coordinates) : [coordinates];
    features.push(
      feature(
        parts.length === 1
          ? { type: "LineString", coordinates: parts[0]! }
          : { type: "MultiLineString", coordinates: parts },
        line,
        path,
      ),
    );
  });
  members(data.points, "points").forEach((point, i) => {
    const path = `points[${i}]`;
    const coordinates = coordinate(point.position, decimals, `${path}.position`);
    features.push(feature({ type: "Point", coordinates }, point, path));
  });
  return { type: "FeatureCollection", features };
}

function members<T>(list: readonly T[] | undefined, path: string): readonly T[] {
  if (list === undefined) return [];
  requireList(list, path);
  list.forEach((member, i) => requireObject(member, `${path}[${i}]`));
  return list;
}

function feature(
  geometry: GeoJsonGeometry,
  source: { readonly properties: GeoProperties; readonly id?: string | number },
  path: string,
): GeoJsonFeature {
  return {
    type: "Feature",
    ...(source.id === undefined ? {} : { id: source.id }),
    properties: copyJson(source.properties ?? {}, `${path}.properties`, 0) as Record<string, unknown>,
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
