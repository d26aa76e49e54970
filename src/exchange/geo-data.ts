import type { GeographicPosition } from "../frames/position.js";
import type { GeographicPolygon } from "../survey/positions.js";

/** Free attributes of a feature: JSON values by name. */
export type GeoProperties = Readonly<Record<string, unknown>>;

/** A field, or any other surface: one feature, in one or more parts. */
export interface GeoField {
  /** its parts: rings closed, exterior counter-clockwise, holes clockwise */
  readonly polygons: readonly GeographicPolygon[];
  /** attributes; empty where there are none */
  readonly properties: GeoProperties;
  /** identifier of the feature, where it has one */
  readonly id?: string | number;
}

/** A line: a boundary walked in part, a pass, a track. */
export interface GeoLine {
  /** two positions or more, in order */
  readonly positions: readonly GeographicPosition[];
  /** attributes; empty where there are none */
  readonly properties: GeoProperties;
  /** identifier of the feature, where it has one */
  readonly id?: string | number;
}

/** A single place: a gate, a flag, a switching point. */
export interface GeoPoint {
  /** where */
  readonly position: GeographicPosition;
  /** attributes; empty where there are none */
  readonly properties: GeoProperties;
  /** identifier of the feature, where it has one */
  readonly id?: string | number;
}

/** What `readGeoJson` gives and `writeGeoJson` takes. */
export interface GeoData {
  /** surfaces, in the order of the document */
  readonly fields: readonly GeoField[];
  /** lines, in the order of the document */
  readonly lines: readonly GeoLine[];
  /** places, in the order of the document */
  readonly points: readonly GeoPoint[];
  /** how many features have no geometry (null, or empty coordinates); RFC 7946 allows that */
  readonly withoutGeometry: number;
}
