/**
 * A place on the Earth, in the names of the W3C Geolocation interface: WGS 84.
 */
export interface GeographicPosition {
  /** degrees north, -90 to 90 */
  readonly latitude: number;
  /** degrees east; any turn is accepted, given back in -180 (included) to 180 (excluded) */
  readonly longitude: number;
  /** metres above the ellipsoid (not above sea level); 0 or the frame's own where absent */
  readonly altitude?: number | undefined;
}

/** A {@link GeographicPosition} whose altitude is always there: what conversions give. */
export interface GeodeticPosition {
  /** degrees north, -90 to 90 */
  readonly latitude: number;
  /** degrees east, -180 (included) to 180 (excluded) */
  readonly longitude: number;
  /** metres above the ellipsoid */
  readonly altitude: number;
}
