const A = 0x41;
const D = 0x44;
const E = 0x45;
const F = 0x46;
const M = 0x4d;
const P = 0x50;
const R = 0x52;
const S = 0x53;

/** how good each of the qualities 0 to 8 is, to find the best: RTK fixed, RTK float, precise, differential, autonomous, ... */
const RANK = Uint8Array.of(0, 4, 5, 6, 8, 7, 3, 2, 1);

/**
 * Quality of the whole by GNS's modes, one for each satellite system: the best of them, as GGA beside it has it.
 *
 * @param bytes - holds the modes
 * @param from - index of the first
 * @param to - index after the last
 * @returns quality, 0 to 8
 */
export function qualityOfModes(bytes: Uint8Array, from: number, to: number): number {
  let best = 0;
  for (let i = from; i < to; i++) {
    const quality = qualityOfMode(bytes[i]!);
    if (RANK[quality]! > RANK[best]!) best = quality;
  }
  return best;
}

/**
 * Quality by the mode indicator of RMC, GLL and GNS; a letter that no edition has is no position.
 *
 * @param mode - code of the letter
 * @returns quality as in GGA, 0 to 8
 * @see gpsd, NMEA.adoc (2020), "FAA mode indicator"
 */
export function qualityOfMode(mode: number): number {
  switch (mode) {
    case A:
      return 1;
    case D:
      return 2;
    case P:
      return 3;
    case R:
      return 4;
    case F:
      return 5;
    case E:
      return 6;
    case M:
      return 7;
    case S:
      return 8;
    default:
      return 0;
  }
}
