import type { FlatSource } from "./flat-source.js";

/** Rounding that counts as a tie, as a share of extent and distance. */
const TIE = 4e-15;

/** Lengths that differ by no more than this are equal, metres: ties survive. @internal */
export function tieAt(source: FlatSource, d: number): number {
  return TIE * (source.extent + d);
}
