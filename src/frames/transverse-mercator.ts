import { requireNumber } from "../errors/index.js";
import { RADIANS } from "../geometry/angle.js";
import type { Point } from "../geometry/types.js";
import { type Ellipsoid, WGS84 } from "./ellipsoid.js";
import { alphas, betas, rectifyingRadius } from "./krueger.js";
import { longitudeDifference, wrapLongitude } from "./longitude.js";
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
  readonly #e2: number;
  readonly #e: number;
  readonly #radius: number;
  readonly #alpha: Float64Array;
  readonly #beta: Float64Array;
  readonly #meridian: number;
  readonly #north0: number;
  /** results of one call: easting, northing, convergence, scale; or latitude, longitude */
  readonly #out: Float64Array = new Float64Array(4);

  /**
   * Use {@link transverseMercator}; this is the same.
   *
   * @param definition - as for {@link transverseMercator}
   */
  constructor(definition: TransverseMercatorDefinition) {
    const ellipsoid = definition.ellipsoid ?? WGS84;
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
    const n = f / (2 - f);
    this.#e2 = f * (2 - f);
    this.#e = Math.sqrt(this.#e2);
    this.#alpha = alphas(n);
    this.#beta = betas(n);
    this.#radius = rectifyingRadius(a, n) * this.definition.scaleFactor;
    this.#meridian = this.definition.centralMeridian;
    this.#north0 = 0;
    this.#forward(this.definition.originLatitude, this.#meridian, false);
    this.#north0 = this.definition.falseNorthing - this.#out[1]!;
  }

  /**
   * Grid coordinates of a position.
   *
   * @param position - degrees on the grid's own datum; the altitude plays no part
   * @returns `[easting, northing]`, metres; NaN for what is no place
   */
  toProjected(position: GeographicPosition): Point {
    this.#forward(position.latitude, position.longitude, false);
    return [this.#out[0]!, this.#out[1]!];
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
      this.#forward(latLon[i]!, latLon[i + 1]!, false);
      out[i] = this.#out[0]!;
      out[i + 1] = this.#out[1]!;
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
    this.#forward(position.latitude, position.longitude, true);
    return { convergence: this.#out[2]!, scale: this.#out[3]! };
  }

  /**
   * Position of grid coordinates.
   *
   * @param point - `[easting, northing]`, metres
   * @returns degrees, longitude in -180 (included) to 180 (excluded), no altitude; NaN for NaN
   */
  toGeographic(point: Point): GeographicPosition {
    this.#inverse(point[0], point[1]);
    return { latitude: this.#out[0]!, longitude: this.#out[1]! };
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
      this.#inverse(xy[i]!, xy[i + 1]!);
      out[i] = this.#out[0]!;
      out[i + 1] = this.#out[1]!;
    }
    return out;
  }

  /** Karney 2011, equations 7 to 14 and 23 to 28; sums by Clenshaw's recurrence on complex numbers. */
  #forward(latitude: number, longitude: number, factors: boolean): void {
    // hot
    const out = this.#out;
    if (!(latitude >= -90 && latitude <= 90)) {
      out[0] = out[1] = out[2] = out[3] = Number.NaN;
      return;
    }
    const dLon = longitudeDifference(this.#meridian, wrapLongitude(longitude)) * RADIANS;
    const sin = Math.sin(latitude * RADIANS);
    const cos = Math.sin((90 - Math.abs(latitude)) * RADIANS);
    const sinLon = Math.sin(dLon);
    const cosLon = Math.cos(dLon);
    // conformal latitude as tau' = tan chi, multiplied by the cosine of the latitude so that the pole is no exception
    const sigma = sinh(this.#e * Math.atanh(this.#e * sin));
    const tauCos = sin * Math.sqrt(1 + sigma * sigma) - sigma;
    const across = Math.sqrt(tauCos * tauCos + cos * cos * cosLon * cosLon);
    const xi = Math.atan2(tauCos, cos * cosLon);
    const eta = asinh((cos * sinLon) / across);
    // sines and cosines of twice the complex number, without trigonometry
    const sinXi = tauCos / across;
    const cosXi = (cos * cosLon) / across;
    const sinhEta = (cos * sinLon) / across;
    const coshEta = Math.sqrt(1 + sinhEta * sinhEta);
    const s2 = 2 * sinXi * cosXi;
    const c2 = 1 - 2 * sinXi * sinXi;
    const sh2 = 2 * sinhEta * coshEta;
    const ch2 = 1 + 2 * sinhEta * sinhEta;
    const alpha = this.#alpha;
    const re = 2 * c2 * ch2;
    const im = -2 * s2 * sh2;
    let b1r = 0;
    let b1i = 0;
    let b2r = 0;
    let b2i = 0;
    for (let j = 6; j > 0; j--) {
      const r = re * b1r - im * b1i - b2r + alpha[j]!;
      const i = re * b1i + im * b1r - b2i;
      b2r = b1r;
      b2i = b1i;
      b1r = r;
      b1i = i;
    }
    // sin(2 zeta') = s2 ch2 + i c2 sh2
    const easting = eta + (s2 * ch2 * b1i + c2 * sh2 * b1r);
    const northing = xi + (s2 * ch2 * b1r - c2 * sh2 * b1i);
    out[0] = this.#radius * easting + this.definition.falseEasting;
    out[1] = this.#radius * northing + this.#north0;
    if (!factors) return;
    b1r = b1i = b2r = b2i = 0;
    for (let j = 6; j > 0; j--) {
      const r = re * b1r - im * b1i - b2r + 2 * j * alpha[j]!;
      const i = re * b1i + im * b1r - b2i;
      b2r = b1r;
      b2i = b1i;
      b1r = r;
      b1i = i;
    }
    // 1 + sum of 2j alpha cos(2j zeta'), cos(2 zeta') = c2 ch2 - i s2 sh2
    const p = 1 - b2r + (c2 * ch2 * b1r + s2 * sh2 * b1i);
    const q = b2i - (c2 * ch2 * b1i - s2 * sh2 * b1r);
    out[2] = (Math.atan2(tauCos * sinLon, cosLon * this.#conformal(sigma, sin)) + Math.atan2(q, p)) / RADIANS;
    out[3] =
      (this.#radius / this.definition.ellipsoid.semiMajorAxis) *
      Math.sqrt((1 - this.#e2 * sin * sin) * (p * p + q * q)) *
      (1 / across);
  }

  /** cos(lat) / cos(chi): turns the tangent of the conformal latitude times cos(lat) into its sine. */
  #conformal(sigma: number, sin: number): number {
    return Math.sqrt(1 + sigma * sigma) - sigma * sin;
  }

  #inverse(easting: number, northing: number): void {
    // hot
    const out = this.#out;
    const eta1 = (easting - this.definition.falseEasting) / this.#radius;
    const xi1 = (northing - this.#north0) / this.#radius;
    const s = Math.sin(2 * xi1);
    const c = Math.cos(2 * xi1);
    const grown = Math.exp(2 * eta1);
    const sh = Math.abs(eta1) < 0.2 ? sinh(2 * eta1) : (grown - 1 / grown) / 2;
    const ch = Math.sqrt(1 + sh * sh);
    const beta = this.#beta;
    const re = 2 * c * ch;
    const im = -2 * s * sh;
    let b1r = 0;
    let b1i = 0;
    let b2r = 0;
    let b2i = 0;
    for (let j = 6; j > 0; j--) {
      const r = re * b1r - im * b1i - b2r + beta[j]!;
      const i = re * b1i + im * b1r - b2i;
      b2r = b1r;
      b2i = b1i;
      b1r = r;
      b1i = i;
    }
    const eta = eta1 - (s * ch * b1i + c * sh * b1r);
    const xi = xi1 - (s * ch * b1r - c * sh * b1i);
    const sinhEta = sinh(eta);
    const sinXi = Math.sin(xi);
    const cosXi = Math.cos(xi);
    const across = Math.sqrt(sinhEta * sinhEta + cosXi * cosXi);
    out[0] = Math.atan(this.#tangent(sinXi / across)) / RADIANS;
    out[1] = wrapLongitude(this.#meridian + Math.atan2(sinhEta, cosXi) / RADIANS);
  }

  /** Tangent of the latitude from that of the conformal latitude, by Newton (Karney 2011, equations 19 to 21). */
  #tangent(target: number): number {
    const e2 = this.#e2;
    const e = this.#e;
    // next to the pole the two differ by a constant factor
    let tau = target / (1 - e2);
    if (!(Math.abs(tau) < 1e12)) return tau;
    for (let step = 0; step < 8; step++) {
      const secant = Math.sqrt(1 + tau * tau);
      const sigma = sinh(e * Math.atanh((e * tau) / secant));
      const conformal = tau * Math.sqrt(1 + sigma * sigma) - sigma * secant;
      const change =
        ((target - conformal) * (1 + (1 - e2) * tau * tau)) /
        (Math.sqrt(1 + conformal * conformal) * (1 - e2) * secant);
      tau += change;
      if (!(Math.abs(change) > 1e-9 * secant)) break;
    }
    return tau;
  }
}

/**
 * A transverse Mercator grid of any ellipsoid: Gauss-Krueger, a national grid, a UTM zone.
 *
 * @param definition - meridian, scale, false origin, ellipsoid
 * @returns the grid
 * @throws {@link FeeringError} `not-finite` or `out-of-range`, with the field's name
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

/** Hyperbolic sine; the built-in one is slower for the small arguments met here. */
function sinh(x: number): number {
  if (x > 0.4 || x < -0.4) return Math.sinh(x);
  const z = x * x;
  return x + x * z * (1 / 6 + z * (1 / 120 + z * (1 / 5040 + z * (1 / 362880 + z * (1 / 39916800 + z / 6227020800)))));
}

function asinh(x: number): number {
  return Math.asinh(x);
}
