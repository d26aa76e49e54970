import { FeeringError, requireNumber } from "../errors/index.js";
import type { ParsedCrs } from "./crs-definition.js";
import type { HelmertParameters } from "./helmert.js";

/** How near a {@link ProjectedCrs} comes to the official coordinates of its grid, and why. */
export interface CrsAccuracy {
  /** metres, for positions that are in {@link CrsAccuracy.frame}; null where only the giver of the parameters can know */
  readonly metres: number | null;
  /**
   * `projection`: no shift of datum, 1e-6 m in the grid's area of use · `helmert`: seven published parameters stand in
   * for the official grid of shifts · `given`: the caller's parameters · `ballpark`: a shift that is missing, accepted by the caller
   */
  readonly kind: "projection" | "helmert" | "given" | "ballpark";
  /** the frame that positions are taken to be in */
  readonly frame: string;
  /**
   * metres that the grid is off in 2026 where positions are in WGS 84 or the ITRF instead (autonomous, SBAS, PPP): the two
   * are taken as equal; 0 where there is nothing to take, null where the definition does not name its frame
   */
  readonly frameMetres: number | null;
  /** the same in words */
  readonly reason: string;
}

/** Options of {@link projectedCrs}. */
export interface ProjectedCrsOptions {
  /**
   * what positions are in: `wgs84` as receivers give them, or `own-datum`, the grid's own (OSGB36, Amersfoort, ...), so that
   * there is nothing to shift; default `wgs84`
   */
  readonly positions?: "wgs84" | "own-datum";
  /** from the grid's own datum to WGS 84 or the region's frame, in place of what the definition says; default none */
  readonly shift?: HelmertParameters;
  /** metres, of the shift named here or in the string's `+towgs84`; default not known */
  readonly shiftAccuracy?: number;
  /** metres: a shift that is stated to be worse is refused; default 1 */
  readonly acceptAccuracy?: number;
}

/** metres, of proj4's projections in their areas of use, against PROJ 9.1.1 */
export const PROJECTION_METRES = 1e-6;
/** metres, what a datum may be off that nothing is known of */
const BALLPARK_METRES = 1000;

/** Which shift is used, and how good the whole is. */
export function judgeCrs(
  parsed: ParsedCrs,
  options: ProjectedCrsOptions,
): { accuracy: CrsAccuracy; shift: HelmertParameters | undefined } {
  if (options.positions !== undefined && options.positions !== "wgs84" && options.positions !== "own-datum") {
    throw new FeeringError(
      "out-of-range",
      `options.positions is ${String(options.positions)}, needs "wgs84" or "own-datum"`,
      { argument: "options.positions", value: options.positions },
    );
  }
  const given =
    options.shiftAccuracy === undefined
      ? null
      : requireNumber(options.shiftAccuracy, "options.shiftAccuracy", { min: 0 });
  if (options.positions === "own-datum") {
    return {
      shift: undefined,
      accuracy: {
        metres: PROJECTION_METRES,
        kind: "projection",
        frame: "the grid's own datum",
        frameMetres: 0,
        reason: "projection only: positions are in the grid's own datum",
      },
    };
  }
  const frame = parsed.frame?.name ?? "a frame that the definition does not name";
  const frameMetres = parsed.frame?.metres ?? null;
  const equal =
    frameMetres === 0
      ? ""
      : `; WGS 84 is taken as ${frame}, ${frameMetres === null ? "one or two metres" : `up to ${frameMetres} m`} off in 2026 where corrections are not in it`;
  const named = checkShift(options.shift) ?? parsed.shift;
  if (named !== undefined) {
    const own = options.shift === undefined && parsed.shiftMetres !== null;
    const metres = own ? parsed.shiftMetres : given;
    const words = metres === null ? "an accuracy not stated" : `${metres} m`;
    return {
      shift: named,
      accuracy: {
        metres,
        kind: own ? "helmert" : "given",
        frame,
        frameMetres,
        reason: own
          ? `seven parameters of EPSG good to ${words}, the official grid of shifts is not available${equal}`
          : `the caller's parameters, ${words}${equal}`,
      },
    };
  }
  if (parsed.missing !== undefined) {
    return {
      shift: undefined,
      accuracy: {
        metres: BALLPARK_METRES,
        kind: "ballpark",
        frame,
        frameMetres,
        reason: `no shift of datum is done, which may be hundreds of metres: ${parsed.missing}`,
      },
    };
  }
  return {
    shift: undefined,
    accuracy: {
      metres: PROJECTION_METRES,
      kind: "projection",
      frame,
      frameMetres,
      reason: `projection only${equal}`,
    },
  };
}

function checkShift(shift: HelmertParameters | undefined): HelmertParameters | undefined {
  if (shift === undefined) return undefined;
  for (const name of ["translation", "rotation"] as const) {
    const list: readonly unknown[] = shift[name] ?? [0, 0, 0];
    for (let i = 0; i < 3; i++) requireNumber(list[i], `options.shift.${name}`, { index: i });
  }
  requireNumber(shift.scale ?? 0, "options.shift.scale", { min: -0.01, max: 0.01 });
  if (shift.convention !== "position-vector" && shift.convention !== "coordinate-frame") {
    throw new FeeringError(
      "out-of-range",
      `options.shift.convention is ${String(shift.convention)}, needs "position-vector" or "coordinate-frame"`,
      { argument: "options.shift.convention", value: shift.convention },
    );
  }
  return shift;
}

/** Infinity is an answer here: the caller takes whatever comes. */
export function acceptedAccuracy(value: number | undefined): number {
  if (value === undefined) return 1;
  return value === Number.POSITIVE_INFINITY ? value : requireNumber(value, "options.acceptAccuracy", { min: 0 });
}
