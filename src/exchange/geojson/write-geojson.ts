import { requireNumber, requireObject } from "../../errors/index.js";
import type { GeoData } from "../geo-data.js";
import { toGeoJson, type ToGeoJsonOptions } from "./to-geojson.js";

/** Options of {@link writeGeoJson}. */
export interface WriteGeoJsonOptions extends ToGeoJsonOptions {
  /** spaces to indent by, 0 to 10; default 0: all on one line */
  readonly indent?: number;
}

/**
 * Write fields, lines and points as a GeoJSON FeatureCollection (RFC 7946): the text of what {@link toGeoJson} makes.
 *
 * @param data - what to write; a list that is left out is empty
 * @param options - decimals, cutting and indentation
 * @returns the text
 * @throws `FeeringError` as {@link toGeoJson}
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
  requireObject(options, "options");
  const indent = requireNumber(options.indent ?? 0, "options.indent", { min: 0, max: 10 });
  return JSON.stringify(toGeoJson(data, options), undefined, indent);
}
