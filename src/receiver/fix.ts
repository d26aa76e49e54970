/**
 * One fix of a positioning receiver: everything it said about one instant.
 *
 * A value that is not known is absent, `undefined` or NaN: all three mean the same, so test with `Number.isFinite`. (The
 * reader's fresh fixes hold `undefined`; the one it owns and overwrites holds NaN, so that it makes no garbage.)
 */
export interface Fix {
  /**
   * seconds: since 1970-01-01 UTC where {@link Fix.dated}, else since the midnight before the first fix, counted on over
   * later midnights; NaN where the receiver has not yet said any time
   */
  readonly time: number;
  /** whether a date is known, so that {@link Fix.time} is Unix time */
  readonly dated: boolean;
  /** degrees north, WGS 84 or the frame of the corrections; NaN where there is no position */
  readonly latitude: number;
  /** degrees east, -180 (included) to 180 (excluded); NaN where there is no position */
  readonly longitude: number;
  /** metres above the ellipsoid; not known where the receiver gave no geoid separation */
  readonly altitude?: number | undefined;
  /**
   * quality of the position, as NMEA 0183 GGA and ISO 11783-10 number it: 0 none, 1 autonomous, 2 differential, 3 precise,
   * 4 RTK fixed, 5 RTK float, 6 estimated, 7 manual, 8 simulated; 0 exactly where there is no position
   */
  readonly quality: number;
  /** satellites in use */
  readonly satellites?: number | undefined;
  /** horizontal dilution of precision */
  readonly hdop?: number | undefined;
  /** age of the differential correction, s */
  readonly correctionAge?: number | undefined;
  /** speed over ground, m/s, never negative */
  readonly speed?: number | undefined;
  /** course over ground, degrees clockwise from true north, 0 at least and less than 360 */
  readonly course?: number | undefined;
  /** heading of the machine by two antennas or a compass, degrees clockwise from true north, 0 at least and less than 360 */
  readonly heading?: number | undefined;
  /** horizontal accuracy, m, one sigma: the root of the summed variances north and east (DRMS) */
  readonly horizontalAccuracy?: number | undefined;
  /** roll, degrees, right side down positive; filled by the host, no open NMEA 0183 sentence carries it */
  readonly roll?: number | undefined;
  /** pitch, degrees, nose up positive; filled by the host, no open NMEA 0183 sentence carries it */
  readonly pitch?: number | undefined;
  /**
   * turn rate, degrees/s, clockwise positive, by a gyroscope or by the steered wheels (speed times their curvature); filled by the host. With it the
   * heading is known in reverse too, where one antenna's course alone does not tell it
   */
  readonly yawRate?: number | undefined;
}
