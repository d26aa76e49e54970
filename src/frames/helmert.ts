import { FeeringError, requireNumber, requireObject } from "../errors/index.js";
import { RADIANS } from "../geometry/angle.js";
import type { Geocentric } from "./geocentric.js";

/**
 * Seven parameters between two geodetic datums.
 *
 * Published lists give rotations in arc-seconds (see {@link degreesFromArcSeconds}) and the scale in parts per million
 * (write 0.219 ppm as `0.219e-6`). The two conventions differ in the signs of the rotations only, and taking one for the other
 * costs metres to tens of metres: look it up, never guess.
 */
export interface HelmertParameters {
  /** metres, along x, y and z */
  readonly translation: readonly [x: number, y: number, z: number];
  /** degrees, about x, y and z; default none */
  readonly rotation?: readonly [x: number, y: number, z: number];
  /** scale difference, a ratio; default 0 */
  readonly scale?: number;
  /** which way rotations count: EPSG methods 9606 / 1033 or 9607 / 1032 */
  readonly convention: "position-vector" | "coordinate-frame";
}

/**
 * Arc-seconds in degrees, as datum parameters are published.
 *
 * @param arcSeconds - seconds of arc
 * @returns degrees
 */
export function degreesFromArcSeconds(arcSeconds: number): number {
  return arcSeconds / 3600;
}

/**
 * Carry a point from one datum to another by seven parameters (EPSG methods 9606 and 9607, geocentric 1033 and 1032).
 *
 * @param point - `[x, y, z]` in the source datum, metres
 * @param parameters - from source to target
 * @returns `[x, y, z]` in the target datum, metres; NaN for NaN
 * @see IOGP 373-7-2, 4.3.3
 * @example
 * ```ts
 * // WGS 72 to WGS 84, the worked example of IOGP 373-7-2
 * const parameters: HelmertParameters = {
 *   translation: [0, 0, 4.5],
 *   rotation: [0, 0, degreesFromArcSeconds(0.554)],
 *   scale: 0.219e-6,
 *   convention: "position-vector",
 * };
 * const [x, y, z] = helmert([3657660.66, 255768.55, 5201382.11], parameters);
 * console.log(x.toFixed(2), y.toFixed(2), z.toFixed(2)); // 3657660.77 255778.43 5201387.75
 * ```
 */
export function helmert(point: Geocentric, parameters: HelmertParameters): Geocentric {
  checkHelmert(point, parameters);
  const [tx, ty, tz] = parameters.translation;
  const [rx, ry, rz] = rotation(parameters);
  const [x, y, z] = point;
  const m = 1 + (parameters.scale ?? 0);
  return [m * (x - rz * y + ry * z) + tx, m * (rz * x + y - rx * z) + ty, m * (-ry * x + rx * y + z) + tz];
}

/**
 * Carry a point back: the translation and scale undone, the rotation matrix transposed, as geodetic software does it.
 *
 * The linear rotation of the method is not quite a rotation, so there and back misses by its square: nothing to speak of below
 * 1 arc-second, 8 mm at 7 arc-seconds, always far below the accuracy of such parameters.
 *
 * @param point - `[x, y, z]` in the target datum, metres
 * @param parameters - from source to target, the same as for {@link helmert}
 * @returns `[x, y, z]` in the source datum, metres; NaN for NaN
 */
export function inverseHelmert(point: Geocentric, parameters: HelmertParameters): Geocentric {
  checkHelmert(point, parameters);
  const [tx, ty, tz] = parameters.translation;
  const [rx, ry, rz] = rotation(parameters);
  const m = 1 + (parameters.scale ?? 0);
  const x = (point[0] - tx) / m;
  const y = (point[1] - ty) / m;
  const z = (point[2] - tz) / m;
  return [x + rz * y - ry * z, -rz * x + y + rx * z, ry * x - rx * y + z];
}

function checkHelmert(point: Geocentric, parameters: HelmertParameters): void {
  requireTriple(point, "point");
  requireObject(parameters, "parameters");
  requireTriple(parameters.translation, "parameters.translation");
  if (parameters.rotation !== undefined) requireTriple(parameters.rotation, "parameters.rotation");
  if (parameters.scale !== undefined) requireNumber(parameters.scale, "parameters.scale", { above: -1 });
  if (parameters.convention !== "position-vector" && parameters.convention !== "coordinate-frame") {
    throw new FeeringError(
      "out-of-range",
      `parameters.convention is ${String(parameters.convention)}, needs "position-vector" or "coordinate-frame"`,
      { argument: "parameters.convention", value: parameters.convention },
    );
  }
}

function requireTriple(value: unknown, argument: string): void {
  for (let index = 0; index < 3; index++) {
    requireNumber((value as readonly number[] | null | undefined)?.[index], argument, { index });
  }
}

/** Rotations in radians, by the position vector's signs. */
function rotation(parameters: HelmertParameters): readonly [number, number, number] {
  const [rx, ry, rz] = parameters.rotation ?? [0, 0, 0];
  const unit = parameters.convention === "coordinate-frame" ? -RADIANS : RADIANS;
  return [rx * unit, ry * unit, rz * unit];
}
