import { kml } from "@tmcw/togeojson";
import { FeatureDocument } from "../feature-document.js";
import type { GeoData, GeoField, GeoLine, GeoPoint } from "../geo-data.js";
import { readGeoJson } from "../geojson/read-geojson.js";
import { xmlError, type XmlPlace } from "../scan-xml.js";
import type { Coordinates } from "./kml-coordinates.js";

/** One shape of a placemark, checked. */
export interface KmlShape {
  readonly type: "Point" | "LineString" | "Polygon";
  /** of a polygon the outer ring, then the inner ones; else one */
  readonly rings: readonly Coordinates[];
  /** what altitudes are measured from */
  readonly mode: string;
  /** s of each position of a track, null where it is not known */
  readonly times?: readonly (number | null)[];
}

/** A placemark, checked. */
export interface KmlPlacemark {
  readonly place: XmlPlace;
  readonly id: string | undefined;
  /** elements with a text that is taken over as it is: `name`, `description` */
  readonly texts: ReadonlyMap<string, string>;
  /** attributes that are not such elements */
  readonly more: Readonly<Record<string, unknown>>;
  readonly shapes: readonly KmlShape[];
}

interface Shape {
  readonly type: string;
  readonly coordinates: unknown;
}

/**
 * A placemark as fields, lines and points: by `@tmcw/togeojson`, whose result is held against what was read. It passes over what it
 * can't read, and takes the first ring of a polygon for the outer one; so what it gets is checked and in order.
 */
export function convertPlacemark(placemark: KmlPlacemark): GeoData {
  const source = new FeatureDocument("kml");
  source.open("Placemark", placemark.id === undefined ? {} : { id: placemark.id });
  for (const [name, text] of placemark.texts) source.leaf(name, text);
  if (placemark.shapes.length > 0) source.open("MultiGeometry");
  for (const shape of placemark.shapes) {
    source.open(shape.type);
    if (shape.type !== "Polygon") source.leaf("coordinates", shape.rings[0]!.text);
    else for (const ring of shape.rings) source.open("LinearRing").leaf("coordinates", ring.text).close();
    source.close();
  }
  const [feature] = kml(source.document).features;
  const geometry = feature?.geometry ?? null;
  const shapes: readonly Shape[] =
    geometry === null ? [] : geometry.type === "GeometryCollection" ? (geometry.geometries as Shape[]) : [geometry];
  if (feature === undefined || shapes.length !== placemark.shapes.length) throw lost(placemark);
  shapes.forEach((shape, i) => {
    const expected = placemark.shapes[i]!;
    const rings = (shape.type === "Polygon" ? shape.coordinates : [shape.coordinates]) as unknown[];
    const same =
      shape.type === expected.type &&
      rings.length === expected.rings.length &&
      rings.every((ring, r) => isSame(shape.type === "Point" ? [ring] : ring, expected.rings[r]!.numbers));
    if (!same) throw lost(placemark);
  });

  const properties = { ...feature.properties, ...placemark.more };
  const data = { fields: [] as GeoField[], lines: [] as GeoLine[], points: [] as GeoPoint[], withoutGeometry: 0 };
  const add = (shape: Shape, more: Record<string, unknown>, times?: readonly (number | null)[]): void => {
    const read = readGeoJson(
      {
        type: "Feature",
        properties: { ...properties, ...more },
        geometry: shape,
        ...(feature.id === undefined ? {} : { id: feature.id }),
      },
      { maximumPositions: Number.MAX_SAFE_INTEGER },
    );
    // after, as a copy of so long a list is slow
    const timed = <T extends GeoLine | GeoPoint>(made: T): T =>
      times === undefined ? made : { ...made, properties: { ...made.properties, times } };
    data.fields.push(...read.fields);
    data.lines.push(...read.lines.map(timed));
    data.points.push(...read.points.map(timed));
  };
  // the surfaces of one placemark are the parts of one field
  const parts = shapes.filter(({ type }) => type === "Polygon");
  if (parts.length > 0) {
    const modes = new Set(placemark.shapes.filter(({ type }) => type === "Polygon").map(({ mode }) => mode));
    const mode = modes.size === 1 ? [...modes][0]! : "mixed";
    add({ type: "MultiPolygon", coordinates: parts.map(({ coordinates }) => coordinates) }, modeOf(mode));
  }
  shapes.forEach((shape, i) => {
    const { mode, times } = placemark.shapes[i]!;
    if (shape.type !== "Polygon") add(shape, modeOf(mode), times);
  });
  if (shapes.length === 0) data.withoutGeometry = 1;
  return data;
}

/** Altitudes that play no part, as is usual, are not told. */
function modeOf(mode: string): Record<string, unknown> {
  return mode === "clampToGround" ? {} : { altitudeMode: mode };
}

/** Whether positions are those of flat numbers, one ring's closing aside. */
function isSame(positions: unknown, numbers: readonly number[]): boolean {
  if (!Array.isArray(positions)) return false;
  const count = numbers.length / 3;
  // a ring is closed where it was open
  if (positions.length !== count && positions.length !== count + 1) return false;
  for (let i = 0; i < count; i++) {
    const position = positions[i] as readonly number[];
    const altitude = numbers[3 * i + 2]!;
    if (position[0] !== numbers[3 * i] || position[1] !== numbers[3 * i + 1]) return false;
    if (position[2] !== (Number.isNaN(altitude) ? undefined : altitude)) return false;
  }
  return true;
}

function lost(placemark: KmlPlacemark): Error {
  return xmlError(placemark.place, "a shape of this placemark could not be converted");
}
