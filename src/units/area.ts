/** Square metres in one hectare, exact (BIPM, The International System of Units, 9th ed. 2019, table 8). */
const HECTARE = 10_000;

/**
 * Square metres in one international acre, exact: 43 560 square feet of 0.3048 m (NIST Handbook 44, appendix C).
 * The US survey acre, 4046.872 609 87 m², is 4 ppm larger and was retired with the survey foot at the end of 2022.
 */
const ACRE = 4046.8564224;

/**
 * Square metres to hectares.
 *
 * @param squareMetres - m²
 * @returns ha; 1 ha is 10 000 m², exact
 */
export function hectares(squareMetres: number): number {
  return squareMetres / HECTARE;
}

/**
 * Square metres to international acres.
 *
 * @param squareMetres - m²
 * @returns acres; 1 acre is 4046.8564224 m², exact
 */
export function acres(squareMetres: number): number {
  return squareMetres / ACRE;
}

/**
 * Hectares to square metres.
 *
 * @param area - ha
 * @returns m²
 */
export function squareMetresFromHectares(area: number): number {
  return area * HECTARE;
}

/**
 * International acres to square metres.
 *
 * @param area - acres
 * @returns m²
 */
export function squareMetresFromAcres(area: number): number {
  return area * ACRE;
}
