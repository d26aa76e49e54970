import proj4 from "proj4";
import { FeeringError, requireNumber, requireObject, requirePoint } from "../errors/index.js";
import type { Point } from "../geometry/types.js";
import {
  acceptedAccuracy,
  type CrsAccuracy,
  judgeCrs,
  PROJECTION_METRES,
  type ProjectedCrsOptions,
} from "./crs-accuracy.js";
import { parseCrs } from "./crs-definition.js";
import { type Ellipsoid, WGS84 } from "./ellipsoid.js";
import { geocentricToGeodetic, geodeticToGeocentric } from "./geocentric.js";
import { helmert, type HelmertParameters, inverseHelmert } from "./helmert.js";
import { wrapLongitude } from "./longitude.js";
import type { GeographicPosition } from "./position.js";

/**
 * A national grid: plane coordinates for exchange with maps and files, not for driving.
 *
 * x is the easting and y the northing, whatever order the authority has, always metres, whatever unit the definition has.
 */
export class ProjectedCrs {
  /** code and name of the built-in table, or the proj string as given */
  readonly name: string;
  /** how near it comes, and why */
  readonly accuracy: CrsAccuracy;
  readonly #converter: proj4.Converter;
  readonly #shift: HelmertParameters | undefined;
  readonly #ellipsoid: Ellipsoid;

  /**
   * Use {@link projectedCrs}; this is the same.
   *
   * @param definition - as for {@link projectedCrs}
   * @param options - as for {@link projectedCrs}
   */
  constructor(definition: string, options: ProjectedCrsOptions = {}) {
    const parsed = parseCrs(definition);
    const accept = acceptedAccuracy(options.acceptAccuracy);
    const { accuracy, shift } = judgeCrs(parsed, options);
    if (accuracy.metres !== null && accuracy.metres > accept) {
      throw new FeeringError(
        "inaccurate-crs",
        `${parsed.name} is good to ${accuracy.metres} m only, ${accept} m accepted: ${accuracy.reason}; ` +
          "name the parameters (options.shift), say that positions are in its own datum (options.positions) " +
          "or accept the figure (options.acceptAccuracy)",
        { argument: "definition", value: definition },
      );
    }
    this.name = parsed.name;
    this.accuracy = accuracy;
    this.#shift = shift;
    try {
      // datum none on both sides: proj4 projects and does nothing else
      const geographic = `+proj=longlat ${parsed.ellipsoid} +datum=none`;
      this.#converter = proj4(geographic, `${parsed.projection} +datum=none`);
      this.#ellipsoid = ellipsoidOf(geographic);
    } catch (cause) {
      throw unusable(definition, "is not understood by proj4", cause);
    }
    const { semiMajorAxis, flattening } = this.#ellipsoid;
    // for a name that it does not know proj4 quietly takes WGS 84
    const quiet = /\+ellps=(?!wgs84\b)/i.test(parsed.ellipsoid);
    if (!(semiMajorAxis > 0 && flattening >= 0 && flattening < 1) || (quiet && flattening === WGS84.flattening)) {
      throw unusable(definition, `has an ellipsoid that is none: ${parsed.ellipsoid}`);
    }
    this.#probe(definition);
  }

  /**
   * Grid coordinates of a position.
   *
   * @param position - degrees; the altitude plays no part (it would move a point by 2 cm at 1000 m, in a datum 100 m away)
   * @returns `[easting, northing]`, metres
   * @throws `FeeringError` `not-finite`; `out-of-range` for a latitude beyond 90 degrees and for a place that the projection
   * cannot show
   */
  toProjected(position: GeographicPosition): Point {
    requireObject(position, "position");
    const latitude = requireNumber(position.latitude, "position.latitude", { min: -90, max: 90 });
    const longitude = requireNumber(position.longitude, "position.longitude");
    const point = this.#forward(latitude, longitude);
    if (Number.isNaN(point[0])) throw outside("position", position, this.name);
    return point;
  }

  /**
   * Position of grid coordinates: the inverse of {@link ProjectedCrs.toProjected} to 1e-8 m.
   *
   * @param point - `[easting, northing]`, metres
   * @returns degrees, longitude in -180 (included) to 180 (excluded)
   * @throws `FeeringError` `not-finite`; `out-of-range` where no place has these coordinates
   */
  toGeographic(point: Point): GeographicPosition {
    requirePoint(point, "point");
    const [latitude, longitude] = this.#inverse(point[0], point[1]);
    if (Number.isNaN(latitude)) throw outside("point", point, this.name);
    return { latitude, longitude };
  }

  /**
   * Many positions; nothing is thrown.
   *
   * @param latLon - `[latitude, longitude, ...]`, degrees
   * @param out - `[easting, northing, ...]`, metres; may be `latLon` itself; pairs that do not fit are left out
   * @returns `out`; NaN for what is no place or cannot be shown
   */
  toProjectedBatch(latLon: Float64Array, out: Float64Array = new Float64Array(latLon.length)): Float64Array {
    const last = Math.min(latLon.length, out.length) - 1;
    for (let i = 0; i < last; i += 2) {
      const point = this.#forward(latLon[i]!, latLon[i + 1]!);
      out[i] = point[0];
      out[i + 1] = point[1];
    }
    return out;
  }

  /**
   * Many grid points; nothing is thrown.
   *
   * @param xy - `[easting, northing, ...]`, metres
   * @param out - `[latitude, longitude, ...]`, degrees; may be `xy` itself; pairs that do not fit are left out
   * @returns `out`; NaN where no place has these coordinates
   */
  toGeographicBatch(xy: Float64Array, out: Float64Array = new Float64Array(xy.length)): Float64Array {
    const last = Math.min(xy.length, out.length) - 1;
    for (let i = 0; i < last; i += 2) {
      const found = this.#inverse(xy[i]!, xy[i + 1]!);
      out[i] = found[0];
      out[i + 1] = found[1];
    }
    return out;
  }

  #forward(latitude: number, longitude: number): readonly [x: number, y: number] {
    // proj4 throws for NaN and gives numbers for a latitude of 95 degrees
    if (!(latitude >= -90 && latitude <= 90 && Number.isFinite(longitude))) return NOWHERE;
    let lonLat: [number, number] = [wrapLongitude(longitude), latitude];
    if (this.#shift !== undefined) {
      const moved = inverseHelmert(geodeticToGeocentric({ latitude, longitude }), this.#shift);
      const own = geocentricToGeodetic(moved, this.#ellipsoid);
      lonLat = [own.longitude, own.latitude];
    }
    try {
      const [x, y] = this.#converter.forward(lonLat);
      return Number.isFinite(x) && Number.isFinite(y) ? [x, y] : NOWHERE;
    } catch {
      return NOWHERE;
    }
  }

  #inverse(x: number, y: number): readonly [latitude: number, longitude: number] {
    // proj4's inverse alone is off by up to 2 mm (equal area): the rest is fed back until it is gone
    let askX = x;
    let askY = y;
    let rest = 0;
    let place = NOWHERE;
    for (let step = 0; step < 8; step++) {
      place = this.#rawInverse(askX, askY);
      const [thereX, thereY] = this.#forward(place[0], place[1]);
      rest = Math.abs(x - thereX) + Math.abs(y - thereY);
      if (rest < CLOSED) return place;
      // NaN, or farther off than the inverse of any place is
      if (!(rest < 1000)) return NOWHERE;
      askX += x - thereX;
      askY += y - thereY;
    }
    return rest < PROJECTION_METRES ? place : NOWHERE;
  }

  #rawInverse(x: number, y: number): readonly [latitude: number, longitude: number] {
    let lonLat = [Number.NaN, Number.NaN];
    try {
      lonLat = this.#converter.inverse([x, y]);
    } catch {
      return NOWHERE;
    }
    const longitude = lonLat[0]!;
    const latitude = lonLat[1]!;
    if (this.#shift === undefined) return [latitude, wrapLongitude(longitude)];
    const own = geodeticToGeocentric({ latitude, longitude }, this.#ellipsoid);
    const found = geocentricToGeodetic(helmert(own, this.#shift));
    return [found.latitude, found.longitude];
  }

  /** A definition that proj4 reads and that still gives no numbers (a misspelt parameter) is found out at set-up. */
  #probe(definition: string): void {
    for (let latitude = -80; latitude <= 80; latitude += 20) {
      for (let longitude = -180; longitude < 180; longitude += 15) {
        if (!Number.isNaN(this.#forward(latitude + 0.5, longitude + 0.5)[0])) return;
      }
    }
    throw unusable(definition, "gives no finite coordinates anywhere");
  }
}

const NOWHERE: readonly [number, number] = [Number.NaN, Number.NaN];
/** metres: there and back closes so well; northings of 1e7 m are rounded to 2e-9 */
const CLOSED = 5e-9;

/**
 * A national grid or map projection, by an EPSG code of the built-in table or a proj string.
 *
 * Built in: 2056, 2154, 2157, 2180, 2193, 3006, 3035, 3067, 3857, 4647, 5070, 5514, 27700, 28992, 31370, 5343-5349,
 * 7846-7859, 25828-25838, 26901-26923, 28348-28358, 31466-31469, 31978-31985, 32601-32660, 32701-32760. A proj string may
 * name parameters by `+towgs84`; a `+datum` other than WGS84 and NAD83 brings none, grids of shifts are not read.
 *
 * @param definition - `"EPSG:25832"` or `"+proj=..."`
 * @param options - what positions are in, parameters of the shift, the accuracy accepted
 * @returns the grid; read its `accuracy`
 * @throws `FeeringError` `unknown-crs` for what is no projected grid; `inaccurate-crs` for a shift of datum that is
 * missing or is stated to be worse than accepted (1 m by default)
 * @example
 * ```ts
 * const crs = projectedCrs("EPSG:28992");
 * console.log(crs.accuracy.metres, crs.accuracy.kind); // 0.25 helmert
 * const [x, y] = crs.toProjected({ latitude: 52.1, longitude: 5.3 });
 * console.log(x.toFixed(1), y.toFixed(1)); // 149024.9 456865.1
 * ```
 */
export function projectedCrs(definition: string, options: ProjectedCrsOptions = {}): ProjectedCrs {
  return new ProjectedCrs(definition, options);
}

/** The ellipsoid as proj4 reads it. */
function ellipsoidOf(geographic: string): Ellipsoid {
  const { a, b, rf } = new proj4.Proj(geographic) as unknown as { a: number; b: number; rf?: number };
  return { semiMajorAxis: a, flattening: rf === undefined ? (a - b) / a : 1 / rf };
}

function unusable(definition: string, why: string, cause?: unknown): FeeringError {
  return new FeeringError("unknown-crs", `definition ${JSON.stringify(definition.slice(0, 80))} ${why}`, {
    argument: "definition",
    value: definition,
    ...(cause === undefined ? {} : { cause }),
  });
}

function outside(argument: string, value: unknown, name: string): FeeringError {
  return new FeeringError("out-of-range", `${argument} ${JSON.stringify(value)} has no counterpart in ${name}`, {
    argument,
    value,
  });
}
