/** An ellipsoid of revolution. */
export interface Ellipsoid {
  /** equatorial radius, metres */
  readonly semiMajorAxis: number;
  /** (a - b) / a; 0 for a sphere */
  readonly flattening: number;
}

/** The ellipsoid of WGS 84 (NGA.STND.0036): the one that receivers speak of. */
export const WGS84: Ellipsoid = { semiMajorAxis: 6378137, flattening: 1 / 298.257223563 };

/** GRS 80 (Moritz 1980): the ellipsoid of ETRS89, NAD83, GDA and SIRGAS; 0.1 mm shorter at the pole than {@link WGS84}. */
export const GRS80: Ellipsoid = { semiMajorAxis: 6378137, flattening: 1 / 298.257222101 };
