import { FeeringError } from "./feering-error.js";

/** Limits for {@link requireNumber}; the unit of each is the unit of the value. */
export interface NumberLimits {
  /** smallest value allowed; default none */
  readonly min?: number;
  /** largest value allowed; default none */
  readonly max?: number;
  /** the value must be larger than this; default none */
  readonly above?: number;
  /** index of the value in a list, to name it in the message */
  readonly index?: number;
}

/**
 * Check a number at set-up: finite and within its limits.
 *
 * @param value - the value as the caller gave it
 * @param argument - its name, with its path
 * @param limits - smallest, largest, exclusive lower bound
 * @returns the same value
 * @throws `FeeringError` `not-finite` for NaN, infinities and what is no number; `out-of-range` outside the limits
 */
export function requireNumber(value: unknown, argument: string, limits: NumberLimits = {}): number {
  const at = limits.index === undefined ? argument : `${argument}[${limits.index}]`;
  const details = { argument, value, ...(limits.index === undefined ? {} : { index: limits.index }) };
  if (typeof value !== "number" || !Number.isFinite(value)) {
    throw new FeeringError("not-finite", `${at} is ${describe(value)}, needs a finite number`, details);
  }
  if (limits.above !== undefined && !(value > limits.above)) {
    throw new FeeringError("out-of-range", `${at} is ${value}, needs more than ${limits.above}`, details);
  }
  if (limits.min !== undefined && value < limits.min) {
    throw new FeeringError("out-of-range", `${at} is ${value}, needs at least ${limits.min}`, details);
  }
  if (limits.max !== undefined && value > limits.max) {
    throw new FeeringError("out-of-range", `${at} is ${value}, needs at most ${limits.max}`, details);
  }
  return value;
}

/**
 * Check a list of planar points at set-up: an array of `[x, y]`, finite, and enough of them.
 *
 * Duplicates count here; a check for distinct points is the shape's own.
 *
 * @param points - the list as the caller gave it, metres
 * @param argument - its name, with its path
 * @param minimum - how many points it needs
 * @returns the same list
 * @throws `FeeringError` `too-few-points`, or `not-finite` with the index of the first bad point
 */
export function requirePoints(
  points: readonly (readonly [x: number, y: number])[],
  argument: string,
  minimum: number,
): readonly (readonly [x: number, y: number])[] {
  if (!Array.isArray(points)) {
    throw new FeeringError("too-few-points", `${argument} is ${describe(points)}, needs a list of [x, y] points`, {
      argument,
      value: points,
    });
  }
  if (points.length < minimum) {
    throw new FeeringError("too-few-points", `${argument} has ${points.length} points, needs ${minimum}`, {
      argument,
      value: points.length,
    });
  }
  const list: readonly (readonly [x: number, y: number])[] = points;
  for (let i = 0; i < list.length; i++) requirePoint(list[i], argument, i);
  return list;
}

/**
 * Check one planar point at set-up.
 *
 * @param point - the point as the caller gave it, metres
 * @param argument - its name, with its path
 * @param index - its place in a list, where it stands in one
 * @returns the same point
 * @throws `FeeringError` `not-finite` when it is no pair of finite numbers
 */
export function requirePoint(point: unknown, argument: string, index?: number): readonly [x: number, y: number] {
  const ok = Array.isArray(point) && point.length >= 2 && Number.isFinite(point[0]) && Number.isFinite(point[1]);
  if (!ok) {
    const at = index === undefined ? argument : `${argument}[${index}]`;
    throw new FeeringError("not-finite", `${at} is ${describe(point)}, needs [x, y] of two finite numbers`, {
      argument,
      value: point,
      ...(index === undefined ? {} : { index }),
    });
  }
  return point as unknown as readonly [x: number, y: number];
}

/**
 * Check at set-up that options, a definition or the like are an object.
 *
 * @param value - the value as the caller gave it
 * @param argument - its name, with its path
 * @throws `FeeringError` `not-finite` when it is none: what numbers it should hold is not there
 */
export function requireObject(value: unknown, argument: string): void {
  if (typeof value === "object" && value !== null) return;
  throw new FeeringError("not-finite", `${argument} is ${describe(value)}, needs an object`, { argument, value });
}

/**
 * Check at set-up that something is a list; an empty one passes.
 *
 * @param value - the value as the caller gave it
 * @param argument - its name, with its path
 * @throws `FeeringError` `too-few-points` when it is none
 */
export function requireList(value: unknown, argument: string): void {
  if (Array.isArray(value)) return;
  throw new FeeringError("too-few-points", `${argument} is ${describe(value)}, needs a list`, { argument, value });
}

function describe(value: unknown): string {
  if (typeof value === "number" || value === null || value === undefined) return String(value);
  if (Array.isArray(value)) return `[${value.slice(0, 4).map(describe).join(", ")}${value.length > 4 ? ", ..." : ""}]`;
  if (typeof value === "string") return JSON.stringify(value.length > 40 ? `${value.slice(0, 40)}...` : value);
  return typeof value;
}
