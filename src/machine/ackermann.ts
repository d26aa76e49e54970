import { requireNumber, requireObject } from "../errors/index.js";
import { RADIANS } from "../geometry/angle.js";

/** A front-steered machine with its wheels turned. */
export interface AckermannInput {
  /** from the fixed to the steered axle, metres */
  readonly wheelbase: number;
  /** between the pivots of the two front wheels, metres; default 0 */
  readonly track?: number;
  /** of the inner front wheel, degrees, more than 0 and less than 90 */
  readonly innerAngle: number;
}

/** The circles that its wheels drive, metres, about one centre on the line of the fixed axle. */
export interface AckermannRadius {
  /** of the outer front wheel, degrees */
  readonly outerAngle: number;
  /** of a wheel in the middle of the front axle, degrees */
  readonly middleAngle: number;
  /** of the middle of the fixed axle */
  readonly radius: number;
  /** of the middle of the front axle */
  readonly frontRadius: number;
  /** of the outer front wheel: what is commonly called the turning radius of a vehicle */
  readonly outerRadius: number;
}

/**
 * How tightly a front-steered machine turns when all wheels roll about one centre: cot(outer) - cot(inner) = track / wheelbase.
 *
 * @param input - wheelbase, track, angle of the inner wheel
 * @returns angles and radii
 * @throws `FeeringError` `not-finite` or `out-of-range` with the argument's path
 *
 * @example
 * ```ts
 * ackermannRadius({ wheelbase: 2.8, innerAngle: 30 }); // radius 4.850, frontRadius 5.6
 * ```
 */
export function ackermannRadius(input: AckermannInput): AckermannRadius {
  requireObject(input, "input");
  const wheelbase = requireNumber(input.wheelbase, "input.wheelbase", { above: 0 });
  const track = requireNumber(input.track ?? 0, "input.track", { min: 0 });
  const innerAngle = requireNumber(input.innerAngle, "input.innerAngle", { above: 0, max: 89.999 });
  const inner = wheelbase / Math.tan(innerAngle * RADIANS);
  const radius = inner + track / 2;
  return {
    outerAngle: Math.atan2(wheelbase, inner + track) / RADIANS,
    middleAngle: Math.atan2(wheelbase, radius) / RADIANS,
    radius,
    frontRadius: Math.hypot(wheelbase, radius),
    outerRadius: Math.hypot(wheelbase, inner + track),
  };
}
