import { FeeringError, requireList, requireNumber, requireObject } from "../../errors/index.js";
import type { GeographicPosition } from "../../frames/position.js";
import type { GeoField, GeoLine, GeoPoint } from "../geo-data.js";
import { type Coordinate, cutLine, cutPolygon } from "../geojson/antimeridian-cut.js";
import { distinctPlaces, healedRing } from "../rings.js";

/** A shape to be written: its parts, longitude, latitude and, where known, altitude of each point. */
export type Shape = readonly (readonly Coordinate[])[];

/** Kinds of shapes, by what is written. */
export type Written = "fields" | "lines" | "points";

/** shape types of the white paper: plain and with Z */
const TYPES = { fields: [5, 15], lines: [3, 13], points: [1, 11] } as const;
/** what the white paper takes for no measure: any number below -1e38 */
const NO_MEASURE = -Number.MAX_VALUE;

/** A field's rings: each exterior clockwise, its holes behind it counter-clockwise. */
export function fieldShape(field: GeoField, path: string): Shape {
  requireList(field.polygons, `${path}.polygons`);
  if (field.polygons.length === 0) throw tooFew(`${path}.polygons`, 0, 1);
  return field.polygons.flatMap((polygon, i) => {
    const at = `${path}.polygons[${i}]`;
    requireObject(polygon, at);
    requireList(polygon.holes, `${at}.holes`);
    const rings = [
      ringOf(polygon.exterior, true, `${at}.exterior`),
      ...polygon.holes.map((hole, j) => ringOf(hole, false, `${at}.holes[${j}]`)),
    ];
    // the white paper winds them the other way round
    return cutPolygon(rings).flatMap((part) => part.map((ring) => [...ring].reverse()));
  });
}

/** A line's parts: one, or more where it goes over 180 degrees of longitude. */
export function lineShape(line: GeoLine, path: string): Shape {
  requireList(line.positions, `${path}.positions`);
  if (line.positions.length < 2) throw tooFew(`${path}.positions`, line.positions.length, 2);
  return cutLine(line.positions.map((position, i) => coordinate(position, `${path}.positions[${i}]`)));
}

/** A point. */
export function pointShape(point: GeoPoint, path: string): Shape {
  return [[coordinate(point.position, `${path}.position`)]];
}

/**
 * Main file and index.
 *
 * @param kind - what the shapes are
 * @param shapes - checked
 * @param z - whether to write altitudes, which all points then have
 * @param path - for messages
 */
export function writeShapes(
  kind: Written,
  shapes: readonly Shape[],
  z: boolean,
  path: string,
): { shp: Uint8Array; shx: Uint8Array } {
  let size = 100;
  for (const shape of shapes) size += 8 + contentLength(kind, shape, z);
  if (size > 0x7fffffff) {
    throw new FeeringError("too-large", `${path} would have ${size} bytes of shapes, at most 2^31 fit`, {
      argument: path,
      value: size,
    });
  }
  const shp = new Uint8Array(size);
  const shx = new Uint8Array(100 + 8 * shapes.length);
  const view = new DataView(shp.buffer);
  const index = new DataView(shx.buffer);
  const type = TYPES[kind][z ? 1 : 0];
  const whole = new Box();
  let at = 100;
  shapes.forEach((shape, i) => {
    const length = contentLength(kind, shape, z);
    view.setInt32(at, i + 1, false);
    view.setInt32(at + 4, length / 2, false);
    index.setInt32(100 + 8 * i, at / 2, false);
    index.setInt32(104 + 8 * i, length / 2, false);
    view.setInt32(at + 8, type, true);
    if (kind === "points") writePoint(view, at + 12, shape[0]![0]!, z, whole);
    else writeParts(view, at + 12, shape, z, whole);
    at += 8 + length;
  });
  for (const [header, bytes] of [[view, size] as const, [index, shx.length] as const]) {
    header.setInt32(0, 9994, false);
    header.setInt32(24, bytes / 2, false);
    header.setInt32(28, 1000, true);
    header.setInt32(32, type, true);
    if (shapes.length === 0) continue;
    whole.write(header, 36);
    if (z) whole.writeAltitudes(header, 68);
  }
  return { shp, shx };
}

function contentLength(kind: Written, shape: Shape, z: boolean): number {
  if (kind === "points") return z ? 36 : 20;
  let points = 0;
  for (const part of shape) points += part.length;
  return 44 + 4 * shape.length + 16 * points + (z ? 16 + 8 * points : 0);
}

function writePoint(view: DataView, at: number, point: Coordinate, z: boolean, whole: Box): void {
  whole.take(point);
  view.setFloat64(at, point[0]!, true);
  view.setFloat64(at + 8, point[1]!, true);
  if (!z) return;
  view.setFloat64(at + 16, point[2]!, true);
  view.setFloat64(at + 24, NO_MEASURE, true);
}

function writeParts(view: DataView, at: number, shape: Shape, z: boolean, whole: Box): void {
  const box = new Box();
  let points = 0;
  const first = at + 40 + 4 * shape.length;
  shape.forEach((part, i) => {
    view.setInt32(at + 40 + 4 * i, points, true);
    for (const point of part) {
      box.take(point);
      view.setFloat64(first + 16 * points, point[0]!, true);
      view.setFloat64(first + 16 * points + 8, point[1]!, true);
      points++;
    }
  });
  box.write(view, at);
  view.setInt32(at + 32, shape.length, true);
  view.setInt32(at + 36, points, true);
  whole.add(box);
  if (!z) return;
  let altitude = first + 16 * points;
  box.writeAltitudes(view, altitude);
  altitude += 16;
  for (const part of shape) {
    for (const point of part) {
      view.setFloat64(altitude, point[2]!, true);
      altitude += 8;
    }
  }
}

/** Ranges of longitude, latitude and altitude. */
class Box {
  readonly #least = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY];
  readonly #most = [Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY];

  take(point: Coordinate): void {
    for (let i = 0; i < point.length; i++) {
      if (point[i]! < this.#least[i]!) this.#least[i] = point[i]!;
      if (point[i]! > this.#most[i]!) this.#most[i] = point[i]!;
    }
  }

  add(box: Box): void {
    this.take(box.#least);
    this.take(box.#most);
  }

  write(view: DataView, at: number): void {
    view.setFloat64(at, this.#least[0]!, true);
    view.setFloat64(at + 8, this.#least[1]!, true);
    view.setFloat64(at + 16, this.#most[0]!, true);
    view.setFloat64(at + 24, this.#most[1]!, true);
  }

  writeAltitudes(view: DataView, at: number): void {
    view.setFloat64(at, this.#least[2]!, true);
    view.setFloat64(at + 8, this.#most[2]!, true);
  }
}

function ringOf(positions: readonly GeographicPosition[], exterior: boolean, path: string): Coordinate[] {
  requireList(positions, path);
  const checked = positions.map((position, i) => {
    const [longitude, latitude, altitude] = coordinate(position, `${path}[${i}]`);
    return { longitude: longitude!, latitude: latitude!, ...(altitude === undefined ? {} : { altitude }) };
  });
  const distinct = distinctPlaces(checked);
  if (distinct < 3) throw tooFew(path, distinct, 3);
  return healedRing(checked, exterior).map(({ longitude, latitude, altitude }) =>
    altitude === undefined ? [longitude, latitude] : [longitude, latitude, altitude],
  );
}

function coordinate(position: GeographicPosition, path: string): Coordinate {
  const latitude = requireNumber(position?.latitude, `${path}.latitude`, { min: -90, max: 90 });
  const longitude = requireNumber(position?.longitude, `${path}.longitude`, { min: -360, max: 360 });
  const turned = longitude > 180 ? longitude - 360 : longitude < -180 ? longitude + 360 : longitude;
  const pair = [turned + 0, latitude + 0];
  if (position.altitude !== undefined) {
    // lower ones are no data by the white paper
    pair.push(requireNumber(position.altitude, `${path}.altitude`, { min: -1e38 }) + 0);
  }
  return pair;
}

function tooFew(path: string, found: number, needed: number): FeeringError {
  return new FeeringError("too-few-points", `${path} has ${found} distinct members, needs ${needed}`, {
    argument: path,
    value: found,
  });
}
