/** How far a steering law looks ahead. */
export interface LookAhead {
  /** of travel to look ahead, s; default 2 */
  readonly time?: number;
  /** metres at least; default 3 */
  readonly minimum?: number;
  /** metres at most; default 20 */
  readonly maximum?: number;
}

/**
 * Look-ahead distance at a speed: so many seconds of travel, within limits.
 *
 * Short distances hold the line more tightly and swing when the steering is slow: the way that the machine drives within the steering's delay and half
 * of its full travel should be a small part of it (common practice, no source). A live call: never throws; NaN in gives NaN out.
 *
 * @param speed - m/s, either sign
 * @param lookAhead - time and limits
 * @returns metres
 *
 * @example
 * ```ts
 * lookAheadDistance(3, { time: 1.5, minimum: 3 }); // 4.5
 * ```
 */
export function lookAheadDistance(speed: number, lookAhead: LookAhead = {}): number {
  const { time = 2, minimum = 3, maximum = 20 } = lookAhead;
  return Math.min(maximum, Math.max(minimum, time * Math.abs(speed)));
}
