import type { GeographicPosition } from "../../src/frames/position.js";

/** A line of `tests/reference/geodesy/polygons.jsonl`. */
export interface PolygonRow {
  readonly id: number;
  readonly class: string;
  readonly perimeter_m: string;
  readonly area_m2: string;
  readonly area_m2_independent?: string;
  readonly lonlat: readonly (readonly [number, number])[];
}

/** Its ring as positions, open. */
export function ringOf(row: PolygonRow): GeographicPosition[] {
  return row.lonlat.map(([longitude, latitude]) => ({ latitude, longitude }));
}
