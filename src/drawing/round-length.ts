/** Mantissas of lengths that read well: 1, 2, 5. */
const LENGTHS = [1, 2, 5] as const;

/** Mantissas of map scales: what plans and scale rulers use, close enough together to fill a sheet. */
const SCALES = [1, 1.25, 1.5, 2, 2.5, 3, 4, 5, 7.5] as const;

/** A round number as its mantissa and power of ten, so that halves and multiples print exactly. */
export interface RoundNumber {
  readonly value: number;
  readonly mantissa: number;
  readonly exponent: number;
}

/** The largest of 1, 2, 5 times a power of ten that is not above the given length; the length must be above 0. */
export function roundLengthBelow(length: number): RoundNumber {
  return roundDown(length, LENGTHS);
}

/** The smallest round scale denominator that is not below the given one, and not below 10. */
export function roundScaleAbove(denominator: number): number {
  if (denominator <= 10) return 10;
  for (let exponent = 1; ; exponent++) {
    for (const mantissa of SCALES) {
      const value = mantissa * 10 ** exponent;
      if (value >= denominator) return value;
    }
  }
}

function roundDown(length: number, mantissas: readonly number[]): RoundNumber {
  let exponent = Math.floor(Math.log10(length));
  // the logarithm may be off by a rounding at exact powers of ten
  if (power(exponent + 1) <= length) exponent++;
  if (power(exponent) > length) exponent--;
  let best = mantissas[0]!;
  for (const mantissa of mantissas) if (mantissa * power(exponent) <= length) best = mantissa;
  return { value: best * power(exponent), mantissa: best, exponent };
}

function power(exponent: number): number {
  return exponent < 0 ? 1 / 10 ** -exponent : 10 ** exponent;
}
