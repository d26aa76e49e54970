import { FeeringError, requireObject } from "../../errors/index.js";
import { dateTime, isWritableTime } from "../date-time.js";
import type { GeoData } from "../geo-data.js";
import type { GeoJsonFeature } from "../geojson/geojson-types.js";
import { toGeoJson } from "../geojson/to-geojson.js";
import { isObject } from "../json-value.js";
import { escapeXml, plainNumber } from "../xml-text.js";

/** Options of {@link writeGpx}. */
export interface WriteGpxOptions {
  /** decimals of longitude and latitude, 0 to 15; default 9, 0.1 mm on the ground. Heights keep 4: 0.1 mm */
  readonly decimals?: number;
  /** name of the program that writes, which GPX asks for; default `feering` */
  readonly creator?: string;
}

/**
 * Write fields, lines and points as a GPX 1.1 document.
 *
 * A point is a wpt; a line a trk of one trkseg, or a rte where its property `gpx` is `rte`. GPX has no surfaces: a field is a trk
 * of one closed trkseg for each of its rings, exteriors and holes alike, and is read back as lines.
 *
 * Properties `name`, `cmt`, `desc` (or else `description`), `type`, `sym` (of points), `links`, `times` (of lines: s since 1970 UTC for each
 * position, or null) and `time` (of points) are written, times to 1 ms; all others, and `id`, are left out. Shapes across 180
 * degrees of longitude are written whole.
 *
 * @param data - what to write; a list that is left out is empty
 * @param options - decimals, creator
 * @returns the text, always the same for the same data
 * @throws `FeeringError` as `toGeoJson`; `bad-format` also for a text with a character that no XML document can hold
 * @example
 * ```ts
 * const text = writeGpx({ lines: [{ positions: track, properties: { name: "tramline 3" } }] });
 * ```
 */
export function writeGpx(
  data: Partial<Pick<GeoData, "fields" | "lines" | "points">>,
  options: WriteGpxOptions = {},
): string {
  requireObject(options, "options");
  const { decimals = 9, creator = "feering" } = options;
  if (typeof creator !== "string") {
    throw new FeeringError("bad-format", `options.creator is ${typeof creator}, needs a text`, {
      argument: "options.creator",
      value: creator,
    });
  }
  const { features } = toGeoJson(data, { decimals, antimeridian: "keep" });
  const surfaces = data.fields?.length ?? 0;
  const lines = data.lines?.length ?? 0;
  const written = { wpt: [] as string[], rte: [] as string[], trk: [] as string[] };
  features.forEach((feature, i) => {
    const list = i < surfaces ? "fields" : i < surfaces + lines ? "lines" : "points";
    const index = i < surfaces ? i : i < surfaces + lines ? i - surfaces : i - surfaces - lines;
    const kind = list === "points" ? "wpt" : list === "lines" && feature.properties["gpx"] === "rte" ? "rte" : "trk";
    written[kind].push(element(kind, feature, `${list}[${index}].properties`, decimals));
  });
  return [
    '<?xml version="1.0" encoding="UTF-8"?>',
    `<gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1" creator="${escapeXml(creator, "options.creator")}">`,
    ...written.wpt,
    ...written.rte,
    ...written.trk,
    "</gpx>",
    "",
  ].join("\n");
}

function element(
  kind: "wpt" | "rte" | "trk",
  { geometry, properties }: GeoJsonFeature,
  path: string,
  decimals: number,
): string {
  // in the order of the schema
  const text = (name: string, from: string = name): string => {
    const value = properties[from];
    return typeof value === "string" && value !== "" ? `<${name}>${escapeXml(value, `${path}.${from}`)}</${name}>` : "";
  };
  const described = text("desc") === "" ? text("desc", "description") : text("desc");
  const about = text("name") + text("cmt") + described + links(properties["links"], path);
  if (geometry.type === "Point") {
    return point(kind, geometry.coordinates, properties["time"], decimals, about + text("sym") + text("type"));
  }
  const segments: readonly (readonly number[][])[] =
    geometry.type === "LineString"
      ? [geometry.coordinates]
      : geometry.type === "MultiPolygon"
        ? geometry.coordinates.flat()
        : geometry.coordinates;
  const given = properties["times"];
  const times = Array.isArray(given) && segments.length === 1 && given.length === segments[0]!.length ? given : [];
  const head = about + text("type");
  const points = (list: readonly number[][], name: string): string =>
    list.map((position, i) => point(name, position, times[i], decimals, "")).join("\n");
  if (kind === "rte") return `<rte>${head}\n${points(segments[0]!, "rtept")}\n</rte>`;
  return `<trk>${head}\n${segments.map((list) => `<trkseg>\n${points(list, "trkpt")}\n</trkseg>`).join("\n")}\n</trk>`;
}

function point(
  name: string,
  [longitude, latitude, altitude]: readonly number[],
  time: unknown,
  decimals: number,
  rest: string,
): string {
  // the schema leaves 180 out
  const lon = plainNumber(longitude === 180 ? -180 : longitude!, decimals);
  const start = `<${name} lat="${plainNumber(latitude!, decimals)}" lon="${lon}"`;
  const ele = altitude === undefined ? "" : `<ele>${plainNumber(altitude, 4)}</ele>`;
  const inner = ele + (isWritableTime(time) ? `<time>${dateTime(time)}</time>` : "") + rest;
  return inner === "" ? `${start}/>` : `${start}>${inner}</${name}>`;
}

function links(value: unknown, path: string): string {
  if (!Array.isArray(value)) return "";
  return value
    .map((link: unknown, i) => {
      if (!isObject(link) || typeof link["href"] !== "string") return "";
      const at = `${path}.links[${i}]`;
      const part = (name: string): string => {
        const text = link[name];
        return typeof text === "string" ? `<${name}>${escapeXml(text, at)}</${name}>` : "";
      };
      return `<link href="${escapeXml(link["href"], at)}">${part("text")}${part("type")}</link>`;
    })
    .join("");
}
