import { FeeringError } from "../../errors/index.js";
import { describe, isObject } from "../json-value.js";

/**
 * Names under which the format of 2008 spoke of WGS 84, after its prefixes are taken off. EPSG 4326 has latitude first
 * by its authority, but GeoJSON has always written longitude first under it.
 */
const WGS84_NAMES: ReadonlySet<string> = new Set(["CRS84", "CRS84H", "4326", "4979"]);

/**
 * Refuse a `crs` member that is not WGS 84 longitude and latitude. RFC 7946 (section 4) took the member out: every
 * document is WGS 84; older writers still set it, and a document that says otherwise must not be read as if it did not.
 */
export function requireWgs84(crs: unknown, path: string): void {
  if (crs === undefined || crs === null) return;
  const properties = isObject(crs) ? crs["properties"] : undefined;
  const name = isObject(properties) ? properties["name"] : undefined;
  if (typeof name === "string" && name.length < 100) {
    const last = name.slice(Math.max(name.lastIndexOf(":"), name.lastIndexOf("/")) + 1).toUpperCase();
    if (WGS84_NAMES.has(last)) return;
  }
  const said = name === undefined ? describe(crs) : describe(name);
  throw new FeeringError(
    "unknown-crs",
    `${path} says ${said}; GeoJSON is WGS 84 longitude and latitude (RFC 7946, section 4): export it again as ` +
      "EPSG:4326, or bring its coordinates over with projectedCrs of feering/frames and leave the member out",
    { argument: path, value: name ?? crs },
  );
}
