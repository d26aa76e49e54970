import { FeeringError } from "../errors/index.js";
import { WGS84 } from "../frames/ellipsoid.js";
import type { GeographicPosition } from "../frames/position.js";
import { RADIANS } from "../geometry/angle.js";

/** What a measure takes of a frame: where it touches the Earth. Any `LocalFrame` fits. */
export interface MeasureFrame {
  /** where the frame's axes start: degrees, metres above the ellipsoid */
  readonly origin: GeographicPosition;
}

/** The ellipsoid about a frame's origin to second order, and the frame's metres brought down to it. */
export interface Curvature {
  /** radius across the meridian, N, metres */
  readonly across: number;
  /** radius along the meridian, M, metres */
  readonly along: number;
  /** metres on the ellipsoid for one metre east at the frame's altitude */
  readonly scaleEast: number;
  /** metres on the ellipsoid for one metre north at the frame's altitude */
  readonly scaleNorth: number;
}

/** Radii of curvature at a frame's origin (Torge and Müller 2012, Geodesy, 4th ed., 4.1.3). */
export function curvatureAt(frame: MeasureFrame, argument: string): Curvature {
  const origin = (frame as Partial<MeasureFrame> | null)?.origin;
  const latitude = origin?.latitude;
  const altitude = origin?.altitude ?? 0;
  if (!Number.isFinite(latitude) || !Number.isFinite(altitude)) {
    throw new FeeringError("not-finite", `${argument} has no origin of finite latitude and altitude`, {
      argument,
      value: frame,
    });
  }
  const e2 = WGS84.flattening * (2 - WGS84.flattening);
  const sin = Math.sin(latitude! * RADIANS);
  const w2 = 1 - e2 * sin * sin;
  const across = WGS84.semiMajorAxis / Math.sqrt(w2);
  const along = (across * (1 - e2)) / w2;
  return { across, along, scaleEast: across / (across + altitude), scaleNorth: along / (along + altitude) };
}
