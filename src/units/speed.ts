/** Metres in one international nautical mile, exact (First International Extraordinary Hydrographic Conference, 1929). */
const NAUTICAL_MILE = 1852;

/** Metres a second in one mile an hour, exact: 1609.344 m over 3600 s. */
const MILE_PER_HOUR = 0.44704;

/**
 * Metres a second to kilometres an hour.
 *
 * @param metresPerSecond - m/s
 * @returns km/h; 1 m/s is 3.6 km/h, exact
 */
export function kilometresPerHour(metresPerSecond: number): number {
  return metresPerSecond * 3.6;
}

/**
 * Kilometres an hour to metres a second.
 *
 * @param speed - km/h
 * @returns m/s
 */
export function metresPerSecondFromKilometresPerHour(speed: number): number {
  return speed / 3.6;
}

/**
 * Metres a second to knots.
 *
 * @param metresPerSecond - m/s
 * @returns knots; 1 kn is 1852 m an hour, exact
 */
export function knots(metresPerSecond: number): number {
  return (metresPerSecond * 3600) / NAUTICAL_MILE;
}

/**
 * Knots to metres a second.
 *
 * @param speed - knots
 * @returns m/s
 */
export function metresPerSecondFromKnots(speed: number): number {
  return (speed * NAUTICAL_MILE) / 3600;
}

/**
 * Metres a second to miles an hour.
 *
 * @param metresPerSecond - m/s
 * @returns mph; 1 mph is 0.44704 m/s, exact
 */
export function milesPerHour(metresPerSecond: number): number {
  return metresPerSecond / MILE_PER_HOUR;
}

/**
 * Miles an hour to metres a second.
 *
 * @param speed - mph
 * @returns m/s
 */
export function metresPerSecondFromMilesPerHour(speed: number): number {
  return speed * MILE_PER_HOUR;
}
