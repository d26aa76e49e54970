/** What a list of errors comes to, metres. */
export interface ErrorMeasures {
  /** how many errors */
  readonly points: number;
  /** signed mean; NaN of none, like all that follows */
  readonly mean: number;
  /** root of the mean square */
  readonly rms: number;
  /** standard deviation about the mean, with n - 1; 0 of one error */
  readonly standardDeviation: number;
  /** 95 % of the errors are no larger, whichever sign: of the sorted sizes, interpolated between the two about rank 0.95 (n - 1) */
  readonly percentile95: number;
  /** largest size */
  readonly maximum: number;
}

/**
 * Measures of errors.
 *
 * @param errors - metres; those that are no numbers are left out
 * @returns the measures
 */
export function errorMeasures(errors: ArrayLike<number>): ErrorMeasures {
  const sizes = new Float64Array(errors.length);
  let n = 0;
  let sum = 0;
  for (let i = 0; i < errors.length; i++) {
    const error = errors[i]!;
    if (!Number.isFinite(error)) continue;
    sizes[n++] = Math.abs(error);
    sum += error;
  }
  if (n === 0) {
    const none = Number.NaN;
    return { points: 0, mean: none, rms: none, standardDeviation: none, percentile95: none, maximum: none };
  }
  const mean = sum / n;
  let squares = 0;
  let about = 0;
  for (let i = 0; i < errors.length; i++) {
    const error = errors[i]!;
    if (!Number.isFinite(error)) continue;
    squares += error * error;
    about += (error - mean) * (error - mean);
  }
  const sorted = sizes.subarray(0, n).sort();
  const rank = 0.95 * (n - 1);
  const low = Math.floor(rank);
  const high = Math.min(n - 1, low + 1);
  return {
    points: n,
    mean,
    rms: Math.sqrt(squares / n),
    standardDeviation: n === 1 ? 0 : Math.sqrt(about / (n - 1)),
    percentile95: sorted[low]! + (rank - low) * (sorted[high]! - sorted[low]!),
    maximum: sorted[n - 1]!,
  };
}
