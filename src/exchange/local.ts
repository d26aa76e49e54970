import { FeeringError, requireList, requireNumber, requireObject, requirePoints } from "../errors/index.js";
import type { GeographicPosition } from "../frames/position.js";
import type { LocalFrame } from "../frames/index.js";
import { normalisePolygon } from "../geometry/normalise-polygon.js";
import type { Point, Polygon } from "../geometry/types.js";
import { mapEvery } from "./json-value.js";
import type { GeographicPolygon } from "../survey/positions.js";

/**
 * A line of positions in a frame. Altitudes play no part: each position lies at the frame's own altitude, as fixes do.
 *
 * @param frame - the field's frame
 * @param positions - degrees
 * @returns metres, in the same order
 * @throws `FeeringError` `not-finite` or `out-of-range` with the path of what is no place, `too-few-points` for what is no list
 */
export function toLocalLine(frame: LocalFrame, positions: readonly GeographicPosition[]): Point[] {
  return line(frame, positions, "positions");
}

/**
 * A polygon of positions in a frame: rings closed, exterior counter-clockwise, holes clockwise, however they stand. Altitudes play no
 * part.
 *
 * @param frame - the field's frame
 * @param polygon - degrees
 * @returns metres
 * @throws as {@link toLocalLine}
 * @example
 * ```ts
 * const { fields } = readGeoJson(text);
 * const polygons = fields[0]!.polygons.map((part) => toLocalPolygon(frame, part));
 * ```
 */
export function toLocalPolygon(frame: LocalFrame, polygon: GeographicPolygon): Polygon {
  requireObject(polygon, "polygon");
  requireList(polygon.holes, "polygon.holes");
  return normalisePolygon({
    exterior: line(frame, polygon.exterior, "polygon.exterior"),
    holes: mapEvery(polygon.holes, (hole, i) => line(frame, hole, `polygon.holes[${i}]`)),
  });
}

/**
 * A line of a frame as positions, without altitude.
 *
 * @param frame - the field's frame
 * @param line - metres
 * @returns degrees, in the same order
 * @throws `FeeringError` `not-finite` with the index of a point that is none, `too-few-points` for what is no list, `out-of-range` for a
 * point beside the Earth
 */
export function toGeographicLine(frame: LocalFrame, line: readonly Point[]): GeographicPosition[] {
  return positions(frame, line, "line");
}

/**
 * A polygon of a frame as positions without altitude: rings closed, exterior counter-clockwise, holes clockwise, however they stand.
 *
 * @param frame - the field's frame
 * @param polygon - metres
 * @returns degrees
 * @throws as {@link toGeographicLine}
 */
export function toGeographicPolygon(frame: LocalFrame, polygon: Polygon): GeographicPolygon {
  const { exterior, holes } = normalisePolygon(polygon);
  return {
    exterior: positions(frame, exterior, "polygon.exterior"),
    holes: holes.map((hole, i) => positions(frame, hole, `polygon.holes[${i}]`)),
  };
}

function line(frame: LocalFrame, places: unknown, argument: string): Point[] {
  requireList(places, argument);
  return mapEvery(places as readonly unknown[], (item, i) => {
    const at = `${argument}[${i}]`;
    requireObject(item, at);
    const place = item as GeographicPosition;
    const latitude = requireNumber(place.latitude, `${at}.latitude`, { min: -90, max: 90 });
    return frame.toLocal({ latitude, longitude: requireNumber(place.longitude, `${at}.longitude`) });
  });
}

function positions(frame: LocalFrame, points: readonly Point[], argument: string): GeographicPosition[] {
  requirePoints(points, argument, 0);
  return points.map((point, index) => {
    const { latitude, longitude } = frame.toGeodetic(point);
    if (Number.isNaN(latitude)) {
      throw new FeeringError("out-of-range", `${argument}[${index}] is [${point[0]}, ${point[1]}], beside the Earth`, {
        argument,
        index,
        value: point,
      });
    }
    return { latitude, longitude };
  });
}
