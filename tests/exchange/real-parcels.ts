import type { FeatureCollection, MultiPolygon, Polygon } from "geojson";
import type { GeoField } from "../../src/exchange/index.js";
import { type GeographicPosition, projectedCrs } from "../../src/frames/index.js";
import { readData } from "../helpers/data.js";

/** real parcels in metres: NL RVO/PDOK (CC0-1.0), DK and DE-SH of the test data of the fiboa converters */
export const parcels = [
  ["DE-SH", "EPSG:25832"],
  ["DK", "EPSG:25832"],
  ["NL", "EPSG:28992"],
] as const;
export const fileOf = (country: string): string => `parcels/${country}.geojson`;

/** Parcels of a country as fields, degrees. */
export function parcelsOf(country: string, crs: string): GeoField[] {
  const grid = projectedCrs(crs);
  const { features } = JSON.parse(Buffer.from(readData(fileOf(country))).toString("utf8")) as FeatureCollection<
    Polygon | MultiPolygon
  >;
  const at = ([x, y]: number[]): GeographicPosition => {
    // the zone in front of the easting
    const { latitude, longitude } = grid.toGeographic([x! > 32e6 ? x! - 32e6 : x!, y!]);
    return { latitude, longitude };
  };
  return features.map(({ geometry, properties }) => {
    const parts = geometry.type === "Polygon" ? [geometry.coordinates] : geometry.coordinates;
    return {
      polygons: parts.map(([exterior, ...holes]) => ({
        exterior: exterior!.map(at),
        holes: holes.map((hole) => hole.map(at)),
      })),
      properties: properties ?? {},
    };
  });
}
