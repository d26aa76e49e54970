/** The two numbers of a `GuidanceState` that a deviation is made of. */
export interface LineDeviation {
  /** metres, machine right of the line in the line's own direction positive */
  readonly crossTrackError: number;
  /** whether the machine drives in the line's own direction */
  readonly sameDirection: boolean;
}

/**
 * Cross-track error as the Guidance Line Deviation of ISO 11783-11 (DDI 513), whose sign is the opposite one and depends on
 * the driving direction: positive when the line is to the right of the machine, seen in driving direction.
 *
 * @param state - cross-track error and direction; a `GuidanceState` will do
 * @returns whole millimetres within 32 bits, never `-0`; NaN for a cross-track error that is NaN
 * @see ISO 11783-11 data dictionary, DDI 513
 */
export function toGuidanceLineDeviation(state: LineDeviation): number {
  const millimetres = 1000 * (state.sameDirection ? -state.crossTrackError : state.crossTrackError);
  // half a millimetre away from zero, so that both directions give the same magnitude
  const whole = millimetres < 0 ? -Math.round(-millimetres) : Math.round(millimetres);
  return Math.min(2147483647, Math.max(-2147483648, whole)) + 0;
}

/**
 * Guidance Line Deviation of ISO 11783-11 (DDI 513) as cross-track error.
 *
 * @param deviation - millimetres, line to the right of the machine positive, seen in driving direction
 * @param direction - whether the machine drives in the line's own direction
 * @returns metres, machine right of the line in the line's own direction positive
 */
export function fromGuidanceLineDeviation(deviation: number, direction: Pick<LineDeviation, "sameDirection">): number {
  return (direction.sameDirection ? -deviation : deviation) / 1000 + 0;
}
