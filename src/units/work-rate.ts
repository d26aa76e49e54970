import { acres, hectares } from "./area.js";

/**
 * Rate of work from square metres a second to hectares an hour.
 *
 * @param squareMetresPerSecond - m²/s: working width times speed, or area over time
 * @returns ha/h; 1 m²/s is 0.36 ha/h, exact
 */
export function hectaresPerHour(squareMetresPerSecond: number): number {
  return hectares(squareMetresPerSecond * 3600);
}

/**
 * Rate of work from square metres a second to international acres an hour.
 *
 * @param squareMetresPerSecond - m²/s
 * @returns acres/h
 */
export function acresPerHour(squareMetresPerSecond: number): number {
  return acres(squareMetresPerSecond * 3600);
}
