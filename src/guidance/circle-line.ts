import { FeeringError } from "../errors/feering-error.js";
import { requireNumber, requireObject } from "../errors/require.js";
import { wrapHeading } from "../geometry/angle.js";
import type { Point } from "../geometry/types.js";
import { copyLabels } from "./labels.js";
import type { CircleLine, LineLabels, Rotation } from "./reference-line.js";
import { requireNear } from "./require-near.js";
import { requireOneOf } from "./require-one-of.js";

/** Settings of {@link circleLine}, and what rides along. */
export interface CircleOptions extends LineLabels {
  /** which way round it is walked (ISO 11783-10 GPN attribute D); right is inside when walked clockwise. Default `"clockwise"` */
  readonly rotation?: Rotation;
  /** where it starts: direction from the centre, degrees clockwise from the frame's north; default 0 */
  readonly start?: number;
  /** where it ends, as `start`, for an arc; default a full circle */
  readonly end?: number;
}

/**
 * A circle about a centre, or an arc of it: the track of a pivot, for one.
 *
 * Guidance on it is exact, whatever the radius. Passes inside end before the centre. A full circle has no ends; an arc has
 * two, which a pattern extends along their tangents as it says.
 *
 * @param centre - metres in the local frame
 * @param radius - metres, 1 mm to 50 000 km
 * @param options - direction, start and end, labels
 * @returns a plain object of kind `"pivot"`
 * @throws `FeeringError` `not-finite`, `out-of-range`, or `degenerate` for an arc that starts where it ends
 * @example
 * ```ts
 * const pivot = circleLine([0, 0], 400, { rotation: "counter-clockwise" });
 * ```
 */
export function circleLine(centre: Point, radius: number, options: CircleOptions = {}): CircleLine {
  requireNear(centre, "centre");
  requireObject(options, "options");
  requireNumber(radius, "radius", { min: SMALLEST_RADIUS, max: 5e7 });
  const rotation = requireRotation(options.rotation ?? "clockwise", "options.rotation");
  const start = wrapHeading(requireNumber(options.start ?? 0, "options.start"));
  const { end } = options;
  const to = end === undefined ? undefined : wrapHeading(requireNumber(end, "options.end"));
  if (to === start) {
    throw new FeeringError(
      "degenerate",
      `an arc from ${start} to ${to} degrees has no length; leave end out for a circle`,
      {
        argument: "options.end",
        value: end,
      },
    );
  }
  return {
    kind: "pivot",
    points: [[centre[0] + 0, centre[1] + 0]],
    radius,
    rotation,
    start,
    ...(to === undefined ? {} : { end: to }),
    ...copyLabels(options),
  };
}

/** Smallest radius of a circle or of a pass about its centre, metres. */
export const SMALLEST_RADIUS = 1e-3;

const ROTATIONS: readonly Rotation[] = ["clockwise", "counter-clockwise"];

/** Check a rotation. */
export function requireRotation(value: unknown, argument: string): Rotation {
  return requireOneOf(value, ROTATIONS, argument);
}
