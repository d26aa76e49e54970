/**
 * Speed of a place on the boom in a turn: `v (1 - kappa y)`.
 *
 * At the inner end of a turn tighter than the boom is wide it is negative: that place runs backwards.
 *
 * @param speed - of the reference point, m/s, negative when reversing
 * @param curvature - 1/m, right turn positive
 * @param offset - place on the boom, metres, right of the machine positive
 * @returns m/s along the machine's heading; NaN for NaN
 *
 * @see ISO 8855, rigid body: velocity of a point from that of the origin and the yaw rate
 */
export function sectionSpeed(speed: number, curvature: number, offset: number): number {
  return speed * (1 - curvature * offset);
}

/**
 * Dose at a place on the boom in a turn against the dose at the reference point, where every section gives the same flow:
 * `1 / (1 - kappa y)`.
 *
 * @param curvature - 1/m, right turn positive
 * @param offset - place on the boom, metres, right of the machine positive
 * @returns more than 1 inside the turn, less outside; Infinity where the place stands still, negative where it runs backwards
 */
export function doseRatio(curvature: number, offset: number): number {
  return 1 / (1 - curvature * offset);
}
