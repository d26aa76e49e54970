import { requireNumber, requireObject } from "../errors/index.js";
import type { Point } from "../geometry/types.js";
import { type Ellipsoid, WGS84 } from "./ellipsoid.js";
import { KruegerGrid } from "./krueger-grid.js";
import { wrapLongitude } from "./longitude.js";
import type { GeographicPosition } from "./position.js";

/** What a transverse Mercator grid is made of. */
export interface TransverseMercatorDefinition {
  /** default {@link WGS84} */
  readonly ellipsoid?: Ellipsoid;
  /** degrees east */
  readonly centralMeridian: number;
  /** degrees north of the grid's origin; default 0 */
  readonly originLatitude?: number;
  /** scale on the central meridian, a ratio; default 1 */
  readonly scaleFactor?: number;
  /** metres at the origin; default 0 */
  readonly falseEasting?: number;
  /** metres at the origin; default 0 */
  readonly falseNorthing?: number;
}

/** How a grid lies on the ground at one place. */
export interface GridFactors {
  /** degrees: the true bearing of grid north, clockwise positive, so true heading = grid heading + convergence */
  readonly convergence: number;
  /** grid length over length on the ellipsoid, a ratio */
  readonly scale: number;
}

/**
 * A transverse Mercator grid, by Krueger's series to the sixth order.
 *
 * Good to 1e-8 m within 3900 km of the central meridian. Calls check nothing and throw nothing: NaN in gives NaN out.
 */
export class TransverseMercator {
  /** how the grid is made, with every default filled in */
  readonly definition: Required<TransverseMercatorDefinition>;
  readonly #grid: KruegerGrid;

  /**
   * Use {@link transverseMercator}; this is the same.
   *
   * @param definition - as for {@link transverseMercator}
   */
  constructor(definition: TransverseMercatorDefinition) {
    requireObject(definition, "definition");
    const ellipsoid = definition.ellipsoid ?? WGS84;
    requireObject(ellipsoid, "definition.ellipsoid");
    const a = requireNumber(ellipsoid.semiMajorAxis, "definition.ellipsoid.semiMajorAxis", { above: 0 });
    const f = requireNumber(ellipsoid.flattening, "definition.ellipsoid.flattening", { min: 0, max: 0.02 });
    this.definition = {
      ellipsoid,
      centralMeridian: wrapLongitude(requireNumber(definition.centralMeridian, "definition.centralMeridian")),
      originLatitude: requireNumber(definition.originLatitude ?? 0, "definition.originLatitude", { min: -90, max: 90 }),
      scaleFactor: requireNumber(definition.scaleFactor ?? 1, "definition.scaleFactor", { above: 0 }),
      falseEasting: requireNumber(definition.falseEasting ?? 0, "definition.falseEasting"),
      falseNorthing: requireNumber(definition.falseNorthing ?? 0, "definition.falseNorthing"),
    };
    const d = this.definition;
    this.#grid = new KruegerGrid(
      { semiMajorAxis: a, flattening: f },
      d.centralMeridian,
      d.originLatitude,
      d.scaleFactor,
      d.falseEasting,
      d.falseNorthing,
    );
  }

  /**
   * Grid coordinates of a position.
   *
   * @param position - degrees on the grid's own datum; the altitude plays no part
   * @returns `[easting, northing]`, metres; NaN for what is no place
   */
  toProjected(position: GeographicPosition): Point {
    this.#grid.forward(position.latitude, position.longitude, false);
    return [this.#grid.out[0]!, this.#grid.out[1]!];
  }

  /**
   * Many positions, nothing allocated when `out` is given.
   *
   * @param latLon - `[latitude, longitude, ...]`, degrees
   * @param out - `[easting, northing, ...]`, metres; may be `latLon` itself; pairs that do not fit are left out
   * @returns `out`
   */
  toProjectedBatch(latLon: Float64Array, out: Float64Array = new Float64Array(latLon.length)): Float64Array {
    const last = Math.min(latLon.length, out.length) - 1;
    for (let i = 0; i < last; i += 2) {
      this.#grid.forward(latLon[i]!, latLon[i + 1]!, false);
      out[i] = this.#grid.out[0]!;
      out[i + 1] = this.#grid.out[1]!;
    }
    return out;
  }

  /**
   * Convergence and point scale at a position.
   *
   * @param position - degrees
   * @returns degrees (good to 1e-10) and a ratio; NaN for what is no place
   */
  factors(position: GeographicPosition): GridFactors {
    this.#grid.forward(position.latitude, position.longitude, true);
    return { convergence: this.#grid.out[2]!, scale: this.#grid.out[3]! };
  }

  /**
   * Position of grid coordinates.
   *
   * @param point - `[easting, northing]`, metres
   * @returns degrees, longitude in -180 (included) to 180 (excluded), no altitude; NaN for NaN
   */
  toGeographic(point: Point): GeographicPosition {
    this.#grid.inverse(point[0], point[1]);
    return { latitude: this.#grid.out[0]!, longitude: this.#grid.out[1]! };
  }

  /**
   * Many grid points, nothing allocated when `out` is given.
   *
   * @param xy - `[easting, northing, ...]`, metres
   * @param out - `[latitude, longitude, ...]`, degrees; may be `xy` itself; pairs that do not fit are left out
   * @returns `out`
   */
  toGeographicBatch(xy: Float64Array, out: Float64Array = new Float64Array(xy.length)): Float64Array {
    const last = Math.min(xy.length, out.length) - 1;
    for (let i = 0; i < last; i += 2) {
      this.#grid.inverse(xy[i]!, xy[i + 1]!);
      out[i] = this.#grid.out[0]!;
      out[i + 1] = this.#grid.out[1]!;
    }
    return out;
  }
}

/**
 * A transverse Mercator grid of any ellipsoid: Gauss-Krueger, a national grid, a UTM zone.
 *
 * @param definition - meridian, scale, false origin, ellipsoid
 * @returns the grid
 * @throws `FeeringError` `not-finite` or `out-of-range`, with the field's name
 * @see Karney 2011, Transverse Mercator with an accuracy of a few nanometers, Journal of Geodesy 85
 * @example
 * ```ts
 * const grid = transverseMercator({ centralMeridian: 9, scaleFactor: 0.9996, falseEasting: 500_000, ellipsoid: GRS80 });
 * const [easting, northing] = grid.toProjected({ latitude: 55, longitude: 12 });
 * console.log(easting.toFixed(3), northing.toFixed(3)); // 691875.632 6098907.825
 * ```
 */
export function transverseMercator(definition: TransverseMercatorDefinition): TransverseMercator {
  return new TransverseMercator(definition);
}
