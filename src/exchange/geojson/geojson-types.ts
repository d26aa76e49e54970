/**
 * A geometry that {@link toGeoJson} makes. Compatible with `@types/geojson` (`Polygon`, `MultiPolygon`, `LineString`,
 * `MultiLineString`, `Point`), without needing it.
 */
export type GeoJsonGeometry =
  | {
      /** one surface */
      type: "Polygon";
      /** rings of longitude, latitude and altitude: the exterior, then holes */
      coordinates: number[][][];
    }
  | {
      /** one surface in several parts */
      type: "MultiPolygon";
      /** parts of rings */
      coordinates: number[][][][];
    }
  | {
      /** one line */
      type: "LineString";
      /** longitude, latitude and altitude of each vertex */
      coordinates: number[][];
    }
  | {
      /** one line in several parts */
      type: "MultiLineString";
      /** parts of vertices */
      coordinates: number[][][];
    }
  | {
      /** one place */
      type: "Point";
      /** longitude, latitude and altitude */
      coordinates: number[];
    };

/** A feature that {@link toGeoJson} makes, compatible with `Feature` of `@types/geojson`. */
export interface GeoJsonFeature {
  /** always so */
  type: "Feature";
  /** identifier, where it has one */
  id?: string | number;
  /** attributes */
  properties: Record<string, unknown>;
  /** where it is */
  geometry: GeoJsonGeometry;
}

/** What {@link toGeoJson} makes, compatible with `FeatureCollection` of `@types/geojson`. */
export interface GeoJsonFeatureCollection {
  /** always so */
  type: "FeatureCollection";
  /** fields, lines and points, in that order */
  features: GeoJsonFeature[];
}
