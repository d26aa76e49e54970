/**
 * Coefficients of Krueger's series in the third flattening n, to the sixth order, index 1 to 6; 0 stands in place 0.
 *
 * @see Karney 2011, Transverse Mercator with an accuracy of a few nanometers, equations 14, 35 and 36
 */

/** From conformal to rectified coordinates (equation 35). */
export function alphas(n: number): Float64Array {
  return Float64Array.of(
    0,
    series(n, 1, [1 / 2, -2 / 3, 5 / 16, 41 / 180, -127 / 288, 7891 / 37800]),
    series(n, 2, [13 / 48, -3 / 5, 557 / 1440, 281 / 630, -1983433 / 1935360]),
    series(n, 3, [61 / 240, -103 / 140, 15061 / 26880, 167603 / 181440]),
    series(n, 4, [49561 / 161280, -179 / 168, 6601661 / 7257600]),
    series(n, 5, [34729 / 80640, -3418889 / 1995840]),
    series(n, 6, [212378941 / 319334400]),
  );
}

/** And back (equation 36). */
export function betas(n: number): Float64Array {
  return Float64Array.of(
    0,
    series(n, 1, [1 / 2, -2 / 3, 37 / 96, -1 / 360, -81 / 512, 96199 / 604800]),
    series(n, 2, [1 / 48, 1 / 15, -437 / 1440, 46 / 105, -1118711 / 3870720]),
    series(n, 3, [17 / 480, -37 / 840, -209 / 4480, 5569 / 90720]),
    series(n, 4, [4397 / 161280, -11 / 504, -830251 / 7257600]),
    series(n, 5, [4583 / 161280, -108847 / 3991680]),
    series(n, 6, [20648693 / 638668800]),
  );
}

/** Radius of the circle as long as the meridian (equation 14), metres. */
export function rectifyingRadius(a: number, n: number): number {
  const n2 = n * n;
  return (a / (1 + n)) * (1 + n2 * (1 / 4 + n2 * (1 / 64 + n2 / 256)));
}

/** n to the power `first` times a polynomial in n. */
function series(n: number, first: number, coefficients: readonly number[]): number {
  let sum = 0;
  for (let i = coefficients.length - 1; i >= 0; i--) sum = sum * n + coefficients[i]!;
  return sum * n ** first;
}
