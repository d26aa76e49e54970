import { FeeringError, requireList, requireNumber, requireObject } from "../errors/index.js";

/** Options of {@link FixMonitor}; every one has a default that suits a machine at field speed. */
export interface FixMonitorOptions {
  /** qualities that may be used, as {@link Fix.quality}; default `[2, 4, 5]`: differential, RTK fixed, RTK float */
  readonly qualities?: readonly number[];
  /**
   * worst {@link Fix.horizontalAccuracy} that may be used, m; good again below 0.8 of it. A fix that states none counts with the last
   * stated within 2 s, and as poor after that. Default: no limit
   */
  readonly maximumHorizontalAccuracy?: number;
  /**
   * oldest {@link Fix.correctionAge} that may be used, s, good again below 0.8 of it; asked of qualities 2 to 5 only, and poor where it
   * is not stated. Default: no limit
   */
  readonly maximumCorrectionAge?: number;
  /**
   * longest time without a good fix, s: after it the state is stale, and places are not joined over it. Default:
   * 1.5 intervals between fixes as they come in, at least 0.3 s, at most 1.5 s
   */
  readonly maximumAge?: number;
  /** fastest that the machine can go, m/s; default 20 (72 km/h) */
  readonly maximumSpeed?: number;
  /** what a step may be longer than speed and time allow, m, before three times the stated accuracy; default 0.5 */
  readonly jumpMargin?: number;
  /** good fixes in a row before sections may work again; default 3 */
  readonly recoverAfter?: number;
  /** fixes in a row that must agree before a place after a jump is taken; default 5 */
  readonly acceptJumpAfter?: number;
  /** time from a fix of poor quality to sections working again, s, so that they do not chatter; default 1 */
  readonly recoverTime?: number;
  /**
   * what the altitude may step from one fix to the next, m, on top of the level step: more is a jump, as a change of datum or of base
   * station makes one. Default 3; `Infinity` for no limit
   */
  readonly maximumHeightStep?: number;
  /**
   * how far the second receiver of {@link FixMonitor.updateSecond} may be away, m, before what both can have driven between their
   * times and three times their stated accuracies; good again below 0.8 of it. Default 3: put the distance of the antennas in
   */
  readonly maximumDisagreement?: number;
}

/** {@link FixMonitorOptions} with defaults filled in: infinity where there is no limit, 0 for an automatic maximum age. */
export interface FixLimits {
  readonly qualities: readonly boolean[];
  readonly maximumHorizontalAccuracy: number;
  readonly maximumCorrectionAge: number;
  readonly maximumAge: number;
  readonly maximumSpeed: number;
  readonly jumpMargin: number;
  readonly recoverAfter: number;
  readonly acceptJumpAfter: number;
  readonly recoverTime: number;
  readonly maximumHeightStep: number;
  readonly maximumDisagreement: number;
}

/**
 * Check the options of a monitor and fill in the defaults.
 *
 * @param options - as the caller gave them
 * @throws `FeeringError` with code `not-finite`, `out-of-range` or `too-few-points` (no quality allowed)
 */
export function fixLimits(options: FixMonitorOptions): FixLimits {
  requireObject(options, "options");
  const allowed: readonly number[] = options.qualities ?? [2, 4, 5];
  requireList(allowed, "options.qualities");
  if (!(allowed.length > 0)) {
    throw new FeeringError("too-few-points", "options.qualities is empty, needs at least one quality of 1 to 8", {
      argument: "options.qualities",
      value: allowed,
    });
  }
  allowed.forEach((quality, index) => {
    requireNumber(quality, "options.qualities", { min: 1, max: 8, index });
    if (!Number.isInteger(quality)) {
      throw new FeeringError("out-of-range", `options.qualities[${index}] is ${quality}, needs a whole number`, {
        argument: "options.qualities",
        index,
        value: quality,
      });
    }
  });
  return {
    qualities: Array.from({ length: 9 }, (_, quality) => allowed.includes(quality)),
    maximumHorizontalAccuracy: limit(options.maximumHorizontalAccuracy, "options.maximumHorizontalAccuracy"),
    maximumCorrectionAge: limit(options.maximumCorrectionAge, "options.maximumCorrectionAge"),
    maximumAge: options.maximumAge === undefined ? 0 : limit(options.maximumAge, "options.maximumAge"),
    maximumSpeed: requireNumber(options.maximumSpeed ?? 20, "options.maximumSpeed", { above: 0 }),
    jumpMargin: requireNumber(options.jumpMargin ?? 0.5, "options.jumpMargin", { min: 0 }),
    recoverAfter: whole(options.recoverAfter ?? 3, "options.recoverAfter"),
    acceptJumpAfter: whole(options.acceptJumpAfter ?? 5, "options.acceptJumpAfter"),
    recoverTime: requireNumber(options.recoverTime ?? 1, "options.recoverTime", { min: 0 }),
    maximumHeightStep: heightLimit(options.maximumHeightStep ?? 3),
    maximumDisagreement: requireNumber(options.maximumDisagreement ?? 3, "options.maximumDisagreement", { above: 0 }),
  };
}

function limit(value: number | undefined, argument: string): number {
  return value === undefined ? Number.POSITIVE_INFINITY : requireNumber(value, argument, { above: 0 });
}

function heightLimit(value: number): number {
  if (value === Number.POSITIVE_INFINITY) return value;
  return requireNumber(value, "options.maximumHeightStep", { above: 0 });
}

function whole(value: number, argument: string): number {
  requireNumber(value, argument, { min: 1, max: 1000 });
  if (!Number.isInteger(value)) {
    throw new FeeringError("out-of-range", `${argument} is ${value}, needs a whole number`, { argument, value });
  }
  return value;
}
