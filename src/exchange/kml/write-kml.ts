import { requireObject } from "../../errors/index.js";
import { dateTime, isWritableTime } from "../date-time.js";
import type { GeoData } from "../geo-data.js";
import type { GeoJsonFeature, GeoJsonGeometry } from "../geojson/geojson-types.js";
import { toGeoJson } from "../geojson/to-geojson.js";
import { escapeXml, plainNumber } from "../xml-text.js";
import { ALTITUDE_MODES } from "./altitude-modes.js";

/** Options of {@link writeKml}. */
export interface WriteKmlOptions {
  /** decimals of longitude and latitude, 0 to 15; default 9, 0.1 mm on the ground. Altitudes keep 4: 0.1 mm */
  readonly decimals?: number;
  /** name of the document; default none */
  readonly name?: string;
}

/**
 * Write fields, lines and points as a KML document (OGC 12-007r2, in its namespace 2.2): a Placemark each.
 *
 * A field is a Polygon, or a MultiGeometry of them, with its holes as inner boundaries. A line with a property `times` (s since 1970 UTC for
 * each position, or null) is a `gx:Track`, else a LineString. Properties `name`, `description`, `address`, `phoneNumber`, `styleUrl`,
 * `visibility`, `open`, `time`, `begin` and `end` become the elements that `readKml` takes them from (times rounded to 1 ms),
 * `altitudeMode` that of the shape; all others go into ExtendedData with a Schema: numbers, truth values and texts come back as such, unless a name has
 * values of several kinds, which all come back as texts; lists and objects are written as JSON and come back as texts, null is left
 * out. An `id` is kept where it is a name of XML, and once.
 *
 * Without `altitudeMode` altitudes are kept and play no part (`clampToGround`). Shapes across 180 degrees of longitude are written whole.
 *
 * @param data - what to write; a list that is left out is empty
 * @param options - decimals, name
 * @returns the text, always the same for the same data
 * @throws `FeeringError` as `toGeoJson`; `bad-format` also for a text with a character that no XML document can hold
 * @example
 * ```ts
 * const text = writeKml(fieldFeatures(frame, { name: "Long Acre", field }), { name: "Long Acre" });
 * ```
 */
export function writeKml(
  data: Partial<Pick<GeoData, "fields" | "lines" | "points">>,
  options: WriteKmlOptions = {},
): string {
  requireObject(options, "options");
  const { decimals = 9, name } = options;
  const { features } = toGeoJson(data, { decimals, antimeridian: "keep" });
  const counts = [data.fields?.length ?? 0, data.lines?.length ?? 0] as const;
  const placemarks = features.map((feature, i) => {
    const path =
      i < counts[0]
        ? `fields[${i}]`
        : i < counts[0] + counts[1]
          ? `lines[${i - counts[0]}]`
          : `points[${i - counts[0] - counts[1]}]`;
    return sorted(feature, `${path}.properties`);
  });
  const types = typesOf(placemarks);
  const lines = [
    '<?xml version="1.0" encoding="UTF-8"?>',
    '<kml xmlns="http://www.opengis.net/kml/2.2" xmlns:gx="http://www.google.com/kml/ext/2.2">',
    "<Document>",
  ];
  if (name !== undefined) lines.push(`<name>${escapeXml(String(name), "options.name")}</name>`);
  if (types.size > 0) {
    lines.push('<Schema name="properties" id="properties">');
    for (const [field, type] of types) {
      lines.push(`<SimpleField type="${type}" name="${escapeXml(field, `properties.${field.slice(0, 40)}`)}"/>`);
    }
    lines.push("</Schema>");
  }
  const ids = new Set<string>();
  for (const placemark of placemarks) {
    const { feature, elements, extended, path } = placemark;
    const id = typeof feature.id === "string" && isName(feature.id) && !ids.has(feature.id) ? feature.id : undefined;
    if (id !== undefined) ids.add(id);
    lines.push(id === undefined ? "<Placemark>" : `<Placemark id="${id}">`, ...elements);
    if (extended.size > 0) {
      lines.push('<ExtendedData><SchemaData schemaUrl="#properties">');
      for (const [field, value] of extended) {
        const at = `${path}.${field.slice(0, 40)}`;
        const text = typeof value === "string" ? value : JSON.stringify(value);
        lines.push(`<SimpleData name="${escapeXml(field, at)}">${escapeXml(text, at)}</SimpleData>`);
      }
      lines.push("</SchemaData></ExtendedData>");
    }
    lines.push(shape(placemark, decimals), "</Placemark>");
  }
  lines.push("</Document>", "</kml>", "");
  return lines.join("\n");
}

/** A feature with its properties sorted by where they go. */
interface Sorted {
  readonly feature: GeoJsonFeature;
  readonly path: string;
  /** in the order of the schema */
  readonly elements: readonly string[];
  readonly extended: ReadonlyMap<string, unknown>;
  readonly mode: string | undefined;
  readonly times: readonly (number | null)[] | undefined;
}

function sorted(feature: GeoJsonFeature, path: string): Sorted {
  const extended = new Map<string, unknown>();
  for (const [name, value] of Object.entries(feature.properties)) if (value !== null) extended.set(name, value);
  const elements: string[] = [];
  const take = (name: string, textOf: (value: unknown) => string | undefined): string | undefined => {
    const text = textOf(extended.get(name));
    if (text !== undefined) extended.delete(name);
    return text;
  };
  const element = (name: string, textOf: (value: unknown) => string | undefined): void => {
    const text = take(name, textOf);
    if (text !== undefined) elements.push(`<${name}>${escapeXml(text, `${path}.${name}`)}</${name}>`);
  };
  // an element without a text says nothing
  const words = (value: unknown): string | undefined => (typeof value === "string" && value !== "" ? value : undefined);
  const moment = (value: unknown): string | undefined => (isWritableTime(value) ? dateTime(value) : undefined);
  element("name", words);
  element("visibility", (value) => (typeof value === "boolean" ? (value ? "1" : "0") : undefined));
  element("open", (value) => (value === "0" || value === "1" ? value : undefined));
  element("address", words);
  element("phoneNumber", words);
  element("description", words);
  const begin = take("begin", moment);
  const end = take("end", moment);
  const time = begin === undefined && end === undefined ? take("time", moment) : undefined;
  if (time !== undefined) elements.push(`<TimeStamp><when>${time}</when></TimeStamp>`);
  else if (begin !== undefined || end !== undefined) {
    const part = (name: string, text: string | undefined): string =>
      text === undefined ? "" : `<${name}>${text}</${name}>`;
    elements.push(`<TimeSpan>${part("begin", begin)}${part("end", end)}</TimeSpan>`);
  }
  element("styleUrl", words);
  const mode = take("altitudeMode", (value) =>
    typeof value === "string" && ALTITUDE_MODES.has(value) && value !== "clampToGround" ? value : undefined,
  );
  const times = timesOf(extended.get("times"), feature.geometry);
  if (times !== undefined) extended.delete("times");
  return { feature, path, elements, extended, mode, times };
}

function timesOf(value: unknown, geometry: GeoJsonGeometry): readonly (number | null)[] | undefined {
  const count =
    geometry.type === "Point" ? 1 : geometry.type === "LineString" ? geometry.coordinates.length : Number.NaN;
  if (!Array.isArray(value) || value.length !== count) return undefined;
  return value.every((time) => time === null || isWritableTime(time)) ? (value as (number | null)[]) : undefined;
}

/** A type for each name: that of its values, where they agree. */
function typesOf(placemarks: readonly Sorted[]): Map<string, string> {
  const types = new Map<string, string>();
  for (const { extended } of placemarks) {
    for (const [name, value] of extended) {
      const type = typeof value === "number" ? "double" : typeof value === "boolean" ? "bool" : "string";
      const before = types.get(name);
      types.set(name, before === undefined || before === type ? type : "string");
    }
  }
  return types;
}

function shape({ feature, mode, times }: Sorted, decimals: number): string {
  const { geometry } = feature;
  const height = mode === undefined ? "" : `<altitudeMode>${mode}</altitudeMode>`;
  const position = ([longitude, latitude, altitude]: readonly number[], between: string): string => {
    const pair = plainNumber(longitude!, decimals) + between + plainNumber(latitude!, decimals);
    return altitude === undefined ? pair : pair + between + plainNumber(altitude, 4);
  };
  const coordinates = (list: readonly (readonly number[])[]): string =>
    `<coordinates>${list.map((p) => position(p, ",")).join(" ")}</coordinates>`;
  const polygon = (rings: readonly (readonly number[][])[]): string =>
    `<Polygon>${height}${rings
      .map((ring, i) => {
        const side = i === 0 ? "outerBoundaryIs" : "innerBoundaryIs";
        return `<${side}><LinearRing>${coordinates(ring)}</LinearRing></${side}>`;
      })
      .join("")}</Polygon>`;
  if (times !== undefined) {
    const list = geometry.type === "Point" ? [geometry.coordinates] : (geometry.coordinates as number[][]);
    const whens = times.map((time) => (time === null ? "<when/>" : `<when>${dateTime(time)}</when>`)).join("\n");
    return `<gx:Track>${height}\n${whens}\n${list.map((p) => `<gx:coord>${position(p, " ")}</gx:coord>`).join("\n")}\n</gx:Track>`;
  }
  switch (geometry.type) {
    case "Point":
      return `<Point>${height}${coordinates([geometry.coordinates])}</Point>`;
    case "LineString":
      return `<LineString>${height}${coordinates(geometry.coordinates)}</LineString>`;
    case "MultiLineString":
      return `<MultiGeometry>${geometry.coordinates.map((line) => `<LineString>${height}${coordinates(line)}</LineString>`).join("")}</MultiGeometry>`;
    case "Polygon":
      return polygon(geometry.coordinates);
    case "MultiPolygon":
      return `<MultiGeometry>\n${geometry.coordinates.map(polygon).join("\n")}\n</MultiGeometry>`;
  }
}

/** Whether a text can be an identifier of XML (NCName), of ASCII alone. */
function isName(text: string): boolean {
  return text.length <= 200 && /^[A-Za-z_][\w.-]*$/.test(text);
}
