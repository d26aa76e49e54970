import { FeeringError } from "../../errors/index.js";
import type { GeographicPosition } from "../../frames/position.js";
import { wrapLongitude } from "../../frames/longitude.js";
import type { GeographicPolygon } from "../../survey/positions.js";
import { badFormat, describe, mapEvery } from "../json-value.js";
import { distinctPlaces, healedRing } from "../rings.js";

/**
 * Reads the coordinates of one document and counts its positions against a cap.
 *
 * RFC 7946 writes a position as longitude, latitude and, where known, metres above the WGS 84 ellipsoid; this is the
 * only place of the library that knows that order.
 */
export class PositionReader {
  readonly #maximum: number;
  #count = 0;
  /** whether a position at 180 degrees of longitude was met since this was last set to false */
  seam = false;

  constructor(maximum: number) {
    this.#maximum = maximum;
  }

  position(value: unknown, path: string, index?: number): GeographicPosition {
    // hot: paths are put together only for an error
    if (++this.#count > this.#maximum) {
      throw new FeeringError("too-large", `${path}: more than ${this.#maximum} positions (options.maximumPositions)`, {
        argument: "input",
        value: this.#count,
      });
    }
    if (!Array.isArray(value)) throw refusePosition(value, path, index);
    const longitude: unknown = value[0];
    const latitude: unknown = value[1];
    // written so that NaN and what is no number fail too
    const fits =
      typeof longitude === "number" &&
      typeof latitude === "number" &&
      longitude >= -360 &&
      longitude <= 360 &&
      latitude >= -90 &&
      latitude <= 90;
    if (!fits) throw refusePosition(value, path, index);
    const turned = longitude === 180 ? 180 : wrapLongitude(longitude);
    if (turned === 180 || turned === -180) this.seam = true;
    if (value.length === 2) return { latitude, longitude: turned };
    const altitude: unknown = value[2];
    if (typeof altitude !== "number" || !Number.isFinite(altitude)) throw refusePosition(value, path, index);
    // more than three numbers have no meaning (RFC 7946 3.1.1) and are passed over
    return { latitude, longitude: turned, altitude };
  }

  positions(value: unknown, path: string): GeographicPosition[] {
    if (!Array.isArray(value)) throw badFormat(path, `is ${describe(value)}, needs a list of positions`, value);
    const list: GeographicPosition[] = [];
    for (let i = 0; i < value.length; i++) list.push(this.position(value[i], path, i));
    return list;
  }

  line(value: unknown, path: string): GeographicPosition[] {
    const list = this.positions(value, path);
    if (list.length < 2) throw badFormat(path, `has ${list.length} positions, needs 2`, list.length);
    return list;
  }

  polygon(value: unknown, path: string): GeographicPolygon {
    if (!Array.isArray(value)) throw badFormat(path, `is ${describe(value)}, needs a list of rings`, value);
    const rings = mapEvery(value, (ring, i) => this.#ring(ring, `${path}[${i}]`, i === 0));
    return { exterior: rings[0] ?? [], holes: rings.slice(1) };
  }

  #ring(value: unknown, path: string, exterior: boolean): GeographicPosition[] {
    const ring = this.positions(value, path);
    const distinct = distinctPlaces(ring);
    if (distinct < 3) throw badFormat(path, `has ${distinct} distinct positions, needs 3`, distinct);
    return healedRing(ring, exterior);
  }
}

/** The error of a position that was found bad: the first of its numbers that is wrong. */
function refusePosition(value: unknown, path: string, index: number | undefined): FeeringError {
  const at = index === undefined ? path : `${path}[${index}]`;
  if (!Array.isArray(value) || value.length < 2) {
    return badFormat(at, `is ${describe(value)}, needs [longitude, latitude]`, value);
  }
  return (
    refuseDegrees(value[0], `${at}[0]`, "longitude", 360) ??
    refuseDegrees(value[1], `${at}[1]`, "latitude", 90) ??
    badFormat(`${at}[2]`, `is ${describe(value[2])}, needs an altitude in metres`, value[2])
  );
}

function refuseDegrees(
  value: unknown,
  path: string,
  name: "longitude" | "latitude",
  limit: number,
): FeeringError | undefined {
  if (typeof value !== "number" || !Number.isFinite(value)) {
    return badFormat(path, `is ${describe(value)}, needs a ${name} in degrees`, value);
  }
  if (Math.abs(value) <= limit) return undefined;
  const hint =
    Math.abs(value) > 540
      ? "; these look like projected metres, convert them to WGS 84 degrees (projectedCrs of feering/frames)"
      : name === "latitude"
        ? "; are longitude and latitude swapped?"
        : "";
  return badFormat(path, `is ${value}, needs a ${name} of -${limit} to ${limit} degrees${hint}`, value);
}
