import type { GeographicPosition } from "../frames/position.js";
import type { LocalFrame } from "../frames/index.js";
import type { Point, Polygon } from "../geometry/types.js";
import type { GeographicPolygon } from "../survey/positions.js";

/**
 * A line of positions in a frame. Altitudes play no part: each position lies at the frame's own altitude, as fixes do.
 *
 * @param frame - the field's frame
 * @param positions - degrees
 * @returns metres, in the same order; NaN for what is no place
 */
export function toLocalLine(frame: LocalFrame, positions: readonly GeographicPosition[]): Point[] {
  return positions.map(({ latitude, longitude }) => frame.toLocal({ latitude, longitude }));
}

/**
 * A polygon of positions in a frame, ring by ring as they stand. Altitudes play no part.
 *
 * @param frame - the field's frame
 * @param polygon - degrees
 * @returns metres; NaN for what is no place
 * @example
 * ```ts
 * const { fields } = readGeoJson(text);
 * const polygons = fields[0]!.polygons.map((part) => toLocalPolygon(frame, part));
 * ```
 */
export function toLocalPolygon(frame: LocalFrame, polygon: GeographicPolygon): Polygon {
  return {
    exterior: toLocalLine(frame, polygon.exterior),
    holes: polygon.holes.map((hole) => toLocalLine(frame, hole)),
  };
}

/**
 * A line of a frame as positions, without altitude.
 *
 * @param frame - the field's frame
 * @param line - metres
 * @returns degrees, in the same order
 */
export function toGeographicLine(frame: LocalFrame, line: readonly Point[]): GeographicPosition[] {
  return line.map((point) => {
    const { latitude, longitude } = frame.toGeodetic(point);
    return { latitude, longitude };
  });
}

/**
 * A polygon of a frame as positions, ring by ring as they stand, without altitude.
 *
 * @param frame - the field's frame
 * @param polygon - metres
 * @returns degrees
 */
export function toGeographicPolygon(frame: LocalFrame, polygon: Polygon): GeographicPolygon {
  return {
    exterior: toGeographicLine(frame, polygon.exterior),
    holes: polygon.holes.map((hole) => toGeographicLine(frame, hole)),
  };
}
