import { RADIANS } from "../geometry/angle.js";
import type { Ellipsoid } from "./ellipsoid.js";
import { meridianToGeodetic } from "./meridian.js";
import { longitudeDifference, wrapLongitude } from "./longitude.js";

/** Farther than this from the origin, metres, the inverse goes through geocentric coordinates. */
const NEAR = 200e3;
/** Newton's steps of the inverse, radians and metres, end below these: what is left is their square, under 1e-9 m. */
const SMALL_ANGLE = 1e-8;
const SMALL_LENGTH = 0.1;

/**
 * Topocentric axes at a place on an ellipsoid: the arithmetic behind the local frame, unchecked.
 *
 * Everything is a difference from the origin: with half angles of the differences of latitude and longitude nothing
 * large is ever subtracted from anything large. With d the difference of latitude, l of longitude, N the prime
 * vertical radius, p = (N + h) cos(lat) and 0 marking the origin:
 * east = p sin l, north = (N+h) sin d - e² cos0 D + sin0 2p sin²(l/2),
 * up = (N-N0) + (h-h0) - 2 (N+h) sin²(d/2) - e² sin0 D - cos0 2p sin²(l/2), D = N sin(lat) - N0 sin0.
 * It is EPSG method 9837 (IOGP 373-7-2, 4.1.2) rearranged.
 */
export class TangentPlane {
  readonly latitude: number;
  readonly longitude: number;
  readonly altitude: number;
  /** east, north, up; metres: what forward gives and the inverses take */
  readonly local: Float64Array = new Float64Array(3);
  /** latitude, longitude, altitude; degrees, metres: what forward takes and the inverses give */
  readonly geodetic: Float64Array = new Float64Array(3);
  readonly #a: number;
  readonly #e2: number;
  /** sine and cosine of the origin's latitude */
  readonly sin0: number;
  readonly cos0: number;
  readonly #n0: number;
  /** (e N0 / a)² */
  readonly #k: number;
  readonly #m0: number;
  /** (1 - e²) / a²: times N³ the meridian's radius */
  readonly #m: number;
  readonly #p0: number;
  readonly #z0: number;

  constructor(ellipsoid: Ellipsoid, latitude: number, longitude: number, altitude: number) {
    this.latitude = latitude;
    this.longitude = wrapLongitude(longitude);
    this.altitude = altitude;
    const f = ellipsoid.flattening;
    this.#a = ellipsoid.semiMajorAxis;
    this.#e2 = f * (2 - f);
    this.sin0 = Math.sin(latitude * RADIANS);
    // the complement is exact, and the cosine of a latitude near the pole with it
    this.cos0 = Math.sin((90 - Math.abs(latitude)) * RADIANS);
    const w2 = 1 - this.#e2 * this.sin0 * this.sin0;
    this.#n0 = this.#a / Math.sqrt(w2);
    this.#k = this.#e2 / w2;
    this.#m0 = (this.#n0 * (1 - this.#e2)) / w2;
    this.#m = (1 - this.#e2) / (this.#a * this.#a);
    this.#p0 = (this.#n0 + altitude) * this.cos0;
    this.#z0 = (this.#n0 * (1 - this.#e2) + altitude) * this.sin0;
  }

  /** East, north and up of the place in `geodetic`, into `local`; NaN for what is no place. */
  forward(): void {
    // hot: one call a fix, one a vertex; numbers go in and out through arrays, as arguments engines would box them
    const local = this.local;
    const geodetic = this.geodetic;
    const latitude = geodetic[0]!;
    const longitude = geodetic[1]!;
    const altitude = geodetic[2]!;
    if (!(latitude >= -90 && latitude <= 90)) {
      local[0] = local[1] = local[2] = Number.NaN;
      return;
    }
    const sin0 = this.sin0;
    const cos0 = this.cos0;
    const e2 = this.#e2;
    const halfLat = (latitude - this.latitude) * (RADIANS / 2);
    const halfLon = longitudeDifference(this.longitude, wrapLongitude(longitude)) * (RADIANS / 2);
    const sd = sine(halfLat);
    const cd = cosine(halfLat);
    const sl = sine(halfLon);
    const cl = cosine(halfLon);
    // sine and cosine of the latitude as the origin's plus a difference
    const dSin = 2 * sd * (cos0 * cd - sin0 * sd);
    const sin = sin0 + dSin;
    const cos = cos0 - 2 * sd * (sin0 * cd + cos0 * sd);
    const n0 = this.#n0;
    const n = this.#a / Math.sqrt(1 - e2 * sin * sin);
    // N - N0 without cancellation: from (a/N0)² - (a/N)² = e² (sin² - sin0²)
    const dN = (this.#k * n * n * dSin * (sin + sin0)) / (n + n0);
    const d = n * dSin + dN * sin0;
    const radius = n + altitude;
    const p = radius * cos;
    const bulge = 2 * p * sl * sl;
    local[0] = 2 * p * sl * cl;
    local[1] = 2 * radius * sd * cd - e2 * cos0 * d + sin0 * bulge;
    local[2] = dN + (altitude - this.altitude) - 2 * radius * sd * sd - e2 * sin0 * d - cos0 * bulge;
  }

  /** The place of the point in `local`, into `geodetic`. */
  inverse(): void {
    const east = this.local[0]!;
    const north = this.local[1]!;
    const up = this.local[2]!;
    if (!(east * east + north * north + up * up < NEAR * NEAR)) this.#inverseFar(east, north, up);
    else {
      this.geodetic[2] = this.altitude + up + (east * east + north * north) / (2 * (this.#n0 + this.altitude));
      this.#newton(false);
    }
  }

  /** The place that lies under the planar point in `local` at the altitude in `geodetic`, into `geodetic`. */
  inverseAt(): void {
    const east = this.local[0]!;
    const north = this.local[1]!;
    const altitude = this.geodetic[2]!;
    if (!(east * east + north * north < NEAR * NEAR && Math.abs(altitude) < NEAR)) {
      this.#inverseAtFar(east, north, altitude);
      return;
    }
    const drop = (east * east + north * north) / (2 * (this.#n0 + this.altitude));
    this.local[2] = altitude - this.altitude - drop;
    this.#newton(true);
  }

  /**
   * Newton's method on the forward formulas. `planar`: altitude is given and up is sought, else the other way round;
   * the sought one stands in its array as a first guess.
   */
  #newton(planar: boolean): void {
    // hot
    const east = this.local[0]!;
    const north = this.local[1]!;
    const sin0 = this.sin0;
    const cos0 = this.cos0;
    const a = this.#a;
    const e2 = this.#e2;
    const n0 = this.#n0;
    let up = this.local[2]!;
    let altitude = this.geodetic[2]!;
    let dLat = 0;
    let x = 0;
    for (let step = 0; ; step++) {
      // the point turned into the origin's meridian: distance from the axis minus the part along the meridian's plane
      x = this.#p0 - sin0 * north + cos0 * up;
      const p = Math.sqrt(x * x + east * east);
      const bulge = x > 0 ? (east * east) / (p + x) : p - x;
      if (step === 0) dLat = (north - sin0 * bulge) / (this.#m0 + this.altitude);
      const sd = sine(dLat / 2);
      const cd = cosine(dLat / 2);
      const sinD = 2 * sd * cd;
      const cosD = 1 - 2 * sd * sd;
      const dSin = 2 * sd * (cos0 * cd - sin0 * sd);
      const sin = sin0 + dSin;
      const n = a / Math.sqrt(1 - e2 * sin * sin);
      const dN = (this.#k * n * n * dSin * (sin + sin0)) / (n + n0);
      const d = n * dSin + dN * sin0;
      const restNorth = north - sin0 * bulge - (2 * (n + altitude) * sd * cd - e2 * cos0 * d);
      const restUp =
        up + cos0 * bulge - (dN + (altitude - this.altitude) - 2 * (n + altitude) * sd * sd - e2 * sin0 * d);
      // what is left, in the axes north and up of the place itself
      let alongNorth = restNorth * cosD - restUp * sinD;
      const alongUp = restNorth * sinD + restUp * cosD;
      let length: number;
      if (planar) {
        // how p grows with up: the point moves along the origin's vertical, not its own
        const turn = p > 0 ? x / p - 1 : 0;
        const growNorth = -sin0 * cos0 * turn;
        const growUp = 1 + cos0 * cos0 * turn;
        length = -alongUp / (growNorth * sinD + growUp * cosD);
        up += length;
        alongNorth += (growNorth * cosD - growUp * sinD) * length;
      } else {
        length = alongUp;
        altitude += length;
      }
      const angle = alongNorth / (n * n * n * this.#m + altitude);
      dLat += angle;
      if (Math.abs(angle) < SMALL_ANGLE && Math.abs(length) < SMALL_LENGTH) break;
      // written so that NaN ends it as well
      if (!(step < 12 && Math.abs(angle) >= 0)) {
        this.#nowhere();
        return;
      }
    }
    if (planar) x = this.#p0 - sin0 * north + cos0 * up;
    const out = this.geodetic;
    out[0] = this.latitude + dLat / RADIANS;
    out[1] = wrapLongitude(this.longitude + Math.atan2(east, x) / RADIANS);
    out[2] = altitude;
  }

  #inverseFar(east: number, north: number, up: number): void {
    const x = this.#p0 - this.sin0 * north + this.cos0 * up;
    const z = this.#z0 + this.cos0 * north + this.sin0 * up;
    const found = [0, 0, 0];
    meridianToGeodetic(this.#a, this.#e2, Math.sqrt(x * x + east * east), z, found);
    const out = this.geodetic;
    out[0] = found[0]!;
    out[1] = wrapLongitude(this.longitude + Math.atan2(east, x) / RADIANS);
    out[2] = found[2]!;
  }

  #inverseAtFar(east: number, north: number, altitude: number): void {
    const sphere = this.#n0 + altitude;
    // under the square root negative, so NaN, for a point beside the Earth
    let up = Math.sqrt(sphere * sphere - east * east - north * north) - (this.#n0 + this.altitude);
    for (let step = 0; step < 25; step++) {
      this.#inverseFar(east, north, up);
      const rest = altitude - this.geodetic[2]!;
      if (Math.abs(rest) < 1e-8) {
        this.geodetic[2] = altitude;
        return;
      }
      const latitude = this.geodetic[0]! * RADIANS;
      const dLon = (this.geodetic[1]! - this.longitude) * RADIANS;
      // how altitude grows with up: the cosine of the angle between the two verticals
      up += rest / (this.cos0 * Math.cos(latitude) * Math.cos(dLon) + this.sin0 * Math.sin(latitude));
    }
    this.#nowhere();
  }

  #nowhere(): void {
    this.geodetic[0] = this.geodetic[1] = this.geodetic[2] = Number.NaN;
  }
}

/**
 * Sine of a half angle. The series covers 50 km from an origin up to 85 degrees to the last bit; it is faster than the
 * built-in function, and the same in every engine.
 */
function sine(x: number): number {
  if (x > 0.05 || x < -0.05) return Math.sin(x);
  const z = x * x;
  return x + x * z * (-1 / 6 + z * (1 / 120 + z * (-1 / 5040 + z / 362880)));
}

/** Cosine of a half angle, likewise. */
function cosine(x: number): number {
  if (x > 0.05 || x < -0.05) return Math.cos(x);
  const z = x * x;
  return 1 - z * (1 / 2 - z * (1 / 24 - z * (1 / 720 - z / 40320)));
}
