/** Radians in one degree. */
export const RADIANS: number = Math.PI / 180;

/**
 * Bring an angle into 0 (included) to 360 (excluded).
 *
 * @param angle - degrees, any finite value
 * @returns degrees, 0 at least and less than 360; never `-0`; NaN for NaN
 */
export function wrapHeading(angle: number): number {
  if (angle >= 0 && angle < 360) return angle + 0;
  const turned = angle % 360;
  const wrapped = turned < 0 ? turned + 360 : turned;
  // a tiny negative angle rounds up to 360 itself
  return wrapped >= 360 ? 0 : wrapped + 0;
}

/**
 * Bring a difference of angles into -180 (excluded) to 180 (included).
 *
 * @param angle - degrees, any finite value
 * @returns degrees, more than -180 and at most 180; NaN for NaN
 */
export function wrapDifference(angle: number): number {
  let turned = angle % 360;
  if (turned <= -180) turned += 360;
  else if (turned > 180) turned -= 360;
  return turned + 0;
}

/**
 * How far to turn from one heading to another, the short way.
 *
 * @param from - degrees clockwise from the frame's north
 * @param to - degrees clockwise from the frame's north
 * @returns degrees, more than -180 and at most 180, clockwise positive
 */
export function headingDifference(from: number, to: number): number {
  return wrapDifference(to - from);
}

/**
 * Heading from one point to another.
 *
 * @param from - metres
 * @param to - metres
 * @returns degrees clockwise from north, 0 at least and less than 360; 0 when the points coincide
 */
export function headingBetween(from: readonly [number, number], to: readonly [number, number]): number {
  return wrapHeading(Math.atan2(to[0] - from[0], to[1] - from[1]) / RADIANS);
}
