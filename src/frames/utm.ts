import { FeeringError, requireNumber, requireObject } from "../errors/index.js";
import { WGS84 } from "./ellipsoid.js";
import { KruegerGrid } from "./krueger-grid.js";
import { longitudeDifference, wrapLongitude } from "./longitude.js";
import type { GeographicPosition } from "./position.js";

/** A position in Universal Transverse Mercator coordinates on WGS 84. */
export interface UtmPosition {
  /** 1 to 60 */
  readonly zone: number;
  /** the southern one has 10 000 000 m added to its northings */
  readonly hemisphere: "north" | "south";
  /** metres, 500 000 on the zone's central meridian */
  readonly easting: number;
  /** metres from the equator, 10 000 000 more in the southern hemisphere */
  readonly northing: number;
  /** metres above the ellipsoid, as given; absent where none was given */
  readonly altitude?: number | undefined;
}

/** What {@link toUtm} gives: the position, and how the grid lies there. */
export interface UtmResult extends UtmPosition {
  /** degrees: the true bearing of grid north, clockwise positive, so true heading = grid heading + convergence */
  readonly convergence: number;
  /** grid length over length on the ellipsoid: 0.9996 on the central meridian */
  readonly scale: number;
}

/** Options of {@link toUtm}. */
export interface UtmOptions {
  /** a zone to keep to, for a field that crosses the edge of two; default the position's own */
  readonly zone?: number;
}

const SOUTH = 1e7;
/** one grid serves every zone: only the longitude's difference from the central meridian counts */
const GRID: KruegerGrid = /* @__PURE__ */ new KruegerGrid(WGS84, 0, 0, 0.9996, 500e3, 0);
/** degrees from the central meridian to which a zone may be stretched */
const STRETCH = 30;

/**
 * The UTM zone of a position, with the exceptions of south-west Norway (zone 32) and of Svalbard (31, 33, 35, 37).
 *
 * @param position - degrees, latitude -80 to 84
 * @returns 1 to 60
 * @throws `FeeringError` `not-finite`; `out-of-range` beyond 80°S and 84°N, where UTM is not defined
 * @see NGA.STND.0037 (2014), The universal grids
 */
export function utmZone(position: GeographicPosition): number {
  requireObject(position, "position");
  const latitude = requireNumber(position.latitude, "position.latitude", { min: -80, max: 84 });
  const longitude = wrapLongitude(requireNumber(position.longitude, "position.longitude"));
  if (latitude >= 56 && latitude < 64 && longitude >= 3 && longitude < 12) return 32;
  if (latitude >= 72 && longitude >= 0 && longitude < 42) {
    if (longitude < 9) return 31;
    if (longitude < 21) return 33;
    return longitude < 33 ? 35 : 37;
  }
  return Math.floor((longitude + 180) / 6) + 1;
}

/**
 * UTM coordinates of a position on WGS 84, with convergence and point scale.
 *
 * Good to 1e-8 m. UTM is for exchange, not for driving: its scale of 0.9996 alone costs 40 cm a kilometre.
 *
 * @param position - degrees, latitude -80 to 84; the altitude is handed through
 * @param options - a zone to keep to
 * @returns the coordinates; on the equator the northern hemisphere's
 * @throws `FeeringError` `not-finite`; `out-of-range` beyond 80°S and 84°N, for a zone that is none, and more than 30 degrees
 * from the central meridian of a zone asked for
 * @see Karney 2011, Journal of Geodesy 85; NGA.STND.0037 (2014)
 * @example
 * ```ts
 * const p = toUtm({ latitude: 52.1, longitude: 5.3 });
 * console.log(p.zone, p.hemisphere, p.easting.toFixed(3), p.northing.toFixed(3)); // 31 north 657533.832 5774656.193
 * ```
 */
export function toUtm(position: GeographicPosition, options: UtmOptions = {}): UtmResult {
  const own = utmZone(position);
  requireObject(options, "options");
  if (position.altitude !== undefined) requireNumber(position.altitude, "position.altitude");
  const zone = options.zone === undefined ? own : requireZone(options.zone, "options.zone");
  const { latitude, altitude } = position;
  const longitude = longitudeDifference(6 * zone - 183, wrapLongitude(position.longitude));
  if (Math.abs(longitude) > STRETCH) {
    throw new FeeringError(
      "out-of-range",
      `position.longitude ${position.longitude} is ${Math.abs(longitude)} degrees from the meridian of zone ${zone}, needs ${STRETCH} at most`,
      { argument: "position.longitude", value: position.longitude },
    );
  }
  GRID.forward(latitude, longitude, true);
  const northing = GRID.out[1]!;
  const south = latitude < 0;
  return {
    zone,
    hemisphere: south ? "south" : "north",
    easting: GRID.out[0]!,
    northing: south ? northing + SOUTH : northing,
    ...(altitude === undefined ? {} : { altitude }),
    convergence: GRID.out[2]!,
    scale: GRID.out[3]!,
  };
}

/**
 * Position of UTM coordinates on WGS 84.
 *
 * @param utm - zone, hemisphere, easting and northing in metres; the altitude is handed through
 * @returns degrees, longitude in -180 (included) to 180 (excluded); good to 1e-8 m
 * @throws `FeeringError` `not-finite`; `out-of-range` for a zone or hemisphere that is none and for coordinates that are on
 * no zone's map
 */
export function fromUtm(utm: UtmPosition): GeographicPosition {
  requireObject(utm, "utm");
  const zone = requireZone(utm.zone, "utm.zone");
  if (utm.hemisphere !== "north" && utm.hemisphere !== "south") {
    throw new FeeringError("out-of-range", `utm.hemisphere is ${String(utm.hemisphere)}, needs "north" or "south"`, {
      argument: "utm.hemisphere",
      value: utm.hemisphere,
    });
  }
  const easting = requireNumber(utm.easting, "utm.easting", { min: -3.4e6, max: 4.4e6 });
  const northing = requireNumber(utm.northing, "utm.northing", { min: -1e7, max: 2e7 });
  if (utm.altitude !== undefined) requireNumber(utm.altitude, "utm.altitude");
  GRID.inverse(easting, utm.hemisphere === "south" ? northing - SOUTH : northing);
  return {
    latitude: GRID.out[0]!,
    longitude: wrapLongitude(GRID.out[1]! + (6 * zone - 183)),
    ...(utm.altitude === undefined ? {} : { altitude: utm.altitude }),
  };
}

function requireZone(zone: unknown, argument: string): number {
  const value = requireNumber(zone, argument, { min: 1, max: 60 });
  if (!Number.isInteger(value)) {
    throw new FeeringError("out-of-range", `${argument} is ${value}, needs a whole number`, { argument, value });
  }
  return value;
}
