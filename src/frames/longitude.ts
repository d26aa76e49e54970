/**
 * Bring a longitude into -180 (included) to 180 (excluded), without rounding: the remainder of a division by 360 and
 * the one subtraction after it are exact in floating point.
 *
 * @param longitude - degrees east, any finite value
 * @returns degrees, -180 at least and less than 180; never `-0`; NaN for NaN and infinities
 */
export function wrapLongitude(longitude: number): number {
  if (longitude >= -180 && longitude < 180) return longitude + 0;
  const turned = longitude % 360;
  if (turned >= 180) return turned - 360;
  if (turned < -180) {
    const wrapped = turned + 360;
    return wrapped >= 180 ? -180 : wrapped;
  }
  return turned + 0;
}

/**
 * The difference of two longitudes the short way, rounded once: also across 180 degrees, where the plain difference
 * of 359.99 and what is taken off it afterwards would leave 6 nanometres.
 *
 * @param from - degrees east, in -180 to 180
 * @param to - degrees east, in -180 to 180
 * @returns degrees, -180 to 180, eastward positive
 * @see Karney 2013, Algorithms for geodesics, section 6 (differences of longitudes); Knuth's two-sum
 */
export function longitudeDifference(from: number, to: number): number {
  // hot
  const sum = to - from;
  if (sum >= -180 && sum <= 180) return sum;
  // what the rounding of the sum lost, by two-sum
  const part = sum - to;
  const lost = to - (sum - part) - (from + part);
  return (sum > 0 ? sum - 360 : sum + 360) + lost;
}
