/** Metres in one international foot, exact (NIST Handbook 44, appendix C: the yard is 0.9144 m). */
const FOOT = 0.3048;

/**
 * Metres to international feet.
 *
 * @param metres - m
 * @returns feet; 1 ft is 0.3048 m, exact. The US survey foot (1200/3937 m, retired at the end of 2022) is 2 ppm longer
 */
export function feet(metres: number): number {
  return metres / FOOT;
}

/**
 * International feet to metres.
 *
 * @param length - feet
 * @returns m
 */
export function metresFromFeet(length: number): number {
  return length * FOOT;
}
