import { RADIANS } from "../geometry/angle.js";
import type { Ellipsoid } from "./ellipsoid.js";
import { alphas, betas, rectifyingRadius } from "./krueger.js";
import { longitudeDifference, wrapLongitude } from "./longitude.js";

/** The arithmetic behind transverse Mercator grids, unchecked: results go to {@link KruegerGrid.out}. */
export class KruegerGrid {
  /** results of the last call: easting, northing, convergence, scale; or latitude, longitude; metres and degrees */
  readonly out: Float64Array = new Float64Array(4);
  readonly #a: number;
  readonly #e2: number;
  readonly #e: number;
  readonly #radius: number;
  readonly #alpha: Float64Array;
  readonly #beta: Float64Array;
  readonly #meridian: number;
  readonly #east0: number;
  readonly #north0: number;

  constructor(
    ellipsoid: Ellipsoid,
    meridian: number,
    originLatitude: number,
    scale: number,
    falseEasting: number,
    falseNorthing: number,
  ) {
    const f = ellipsoid.flattening;
    const n = f / (2 - f);
    this.#a = ellipsoid.semiMajorAxis;
    this.#e2 = f * (2 - f);
    this.#e = Math.sqrt(this.#e2);
    this.#alpha = alphas(n);
    this.#beta = betas(n);
    this.#radius = rectifyingRadius(this.#a, n) * scale;
    this.#meridian = meridian;
    this.#east0 = falseEasting;
    this.#north0 = 0;
    this.forward(originLatitude, meridian, false);
    this.#north0 = falseNorthing - this.out[1]!;
  }

  /** Karney 2011, equations 7 to 14 and 23 to 28; sums by Clenshaw's recurrence on complex numbers. */
  forward(latitude: number, longitude: number, factors: boolean): void {
    // hot
    const out = this.out;
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
    const sigma = sinh(this.#isometric(sin));
    const tauCos = sin * Math.sqrt(1 + sigma * sigma) - sigma;
    const across = Math.sqrt(tauCos * tauCos + cos * cos * cosLon * cosLon);
    const xi = Math.atan2(tauCos, cos * cosLon);
    const eta = Math.asinh((cos * sinLon) / across);
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
    out[0] = this.#radius * easting + this.#east0;
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
    out[3] = (this.#radius / this.#a) * Math.sqrt((1 - this.#e2 * sin * sin) * (p * p + q * q)) * (1 / across);
  }

  /** e atanh(e sin(lat)): by its series where it ends soon, on every ellipsoid of the Earth, and faster than the built-in one. */
  #isometric(sin: number): number {
    const e2 = this.#e2;
    if (e2 > 0.007) return this.#e * Math.atanh(this.#e * sin);
    const z = e2 * sin * sin;
    return (
      e2 * sin * (1 + z * (1 / 3 + z * (1 / 5 + z * (1 / 7 + z * (1 / 9 + z * (1 / 11 + z * (1 / 13 + z / 15)))))))
    );
  }

  /** cos(lat) / cos(chi): turns the tangent of the conformal latitude times cos(lat) into its sine. */
  #conformal(sigma: number, sin: number): number {
    return Math.sqrt(1 + sigma * sigma) - sigma * sin;
  }

  inverse(easting: number, northing: number): void {
    // hot
    const out = this.out;
    const eta1 = (easting - this.#east0) / this.#radius;
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
    // next to the pole the two differ by a constant factor
    let tau = target / (1 - e2);
    if (!(Math.abs(tau) < 1e12)) return tau;
    for (let step = 0; step < 8; step++) {
      const secant = Math.sqrt(1 + tau * tau);
      const sigma = sinh(this.#isometric(tau / secant));
      const conformal = tau * Math.sqrt(1 + sigma * sigma) - sigma * secant;
      const change =
        ((target - conformal) * (1 + (1 - e2) * tau * tau)) /
        (Math.sqrt(1 + conformal * conformal) * (1 - e2) * secant);
      tau += change;
      if (!(Math.abs(change) > 1e-8 * secant)) break;
    }
    return tau;
  }
}

/** Hyperbolic sine; the built-in one is slower for the small arguments met here. */
function sinh(x: number): number {
  if (x > 0.4 || x < -0.4) return Math.sinh(x);
  const z = x * x;
  return x + x * z * (1 / 6 + z * (1 / 120 + z * (1 / 5040 + z * (1 / 362880 + z * (1 / 39916800 + z / 6227020800)))));
}
