import { FeeringError, requireNumber } from "../errors/index.js";
import type { GeographicPosition } from "../frames/position.js";

/** A surface on the Earth: rings of positions, accepted open or closed and in either winding. */
export interface GeographicPolygon {
  /** outer boundary */
  readonly exterior: readonly GeographicPosition[];
  /** inner boundaries, obstacles; empty where there are none */
  readonly holes: readonly (readonly GeographicPosition[])[];
}

/** Check a geographic position at set-up: latitude -90 to 90, longitude finite. */
export function requirePosition(position: GeographicPosition, argument: string, index?: number): void {
  const at = index === undefined ? argument : `${argument}[${index}]`;
  if (typeof position !== "object" || position === null) {
    throw new FeeringError("not-finite", `${at} is ${String(position)}, needs { latitude, longitude }`, {
      argument: at,
      value: position,
      ...(index === undefined ? {} : { index }),
    });
  }
  try {
    requireNumber(position.latitude, `${at}.latitude`, { min: -90, max: 90 });
    requireNumber(position.longitude, `${at}.longitude`);
  } catch (error) {
    if (index === undefined || !(error instanceof FeeringError)) throw error;
    throw new FeeringError(error.code, error.message, { argument: error.argument, index, value: error.value });
  }
}

/** Check a list of geographic positions at set-up. */
export function requirePositions(positions: readonly GeographicPosition[], argument: string, minimum: number): void {
  if (!Array.isArray(positions) || positions.length < minimum) {
    const value: unknown = Array.isArray(positions) ? positions.length : positions;
    throw new FeeringError(
      "too-few-points",
      `${argument} has ${Array.isArray(positions) ? positions.length : "no"} positions, needs ${minimum}`,
      { argument, value },
    );
  }
  for (let i = 0; i < positions.length; i++) requirePosition(positions[i] as GeographicPosition, argument, i);
}
