import { FeeringError, requireNumber, requireObject } from "../errors/index.js";
import type { OffsetOptions } from "./types.js";

/** Options with their defaults. @internal */
export interface CheckedOptions {
  readonly tolerance: number;
  readonly mitre: boolean;
  readonly mitreLimit: number;
  readonly maximumPoints: number;
}

/** @internal */
export function checkOptions(options: OffsetOptions): CheckedOptions {
  requireObject(options, "options");
  const tolerance = requireNumber(options.tolerance ?? 1e-4, "options.tolerance", { above: 0 });
  const mitreLimit = requireNumber(options.mitreLimit ?? 2, "options.mitreLimit", { min: 1 });
  const maximumPoints = requireNumber(options.maximumPoints ?? 10_000_000, "options.maximumPoints", { min: 1 });
  const join: unknown = options.join ?? "round";
  if (join !== "round" && join !== "mitre") {
    throw new FeeringError("out-of-range", `options.join is ${String(join)}, needs "round" or "mitre"`, {
      argument: "options.join",
      value: join,
    });
  }
  return { tolerance, mitre: join === "mitre", mitreLimit, maximumPoints };
}

/** The distances of a family, each checked. @internal */
export function checkDistances(distances: readonly number[]): void {
  const given: unknown = distances;
  if (!Array.isArray(given)) {
    throw new FeeringError("not-finite", "distances is no list, needs a list of numbers", {
      argument: "distances",
      value: distances,
    });
  }
  for (let i = 0; i < distances.length; i++) requireNumber(distances[i], "distances", { index: i });
}

/** @internal */
export function requireRoom(count: number, options: CheckedOptions, what: string): void {
  if (count <= options.maximumPoints) return;
  throw new FeeringError("too-large", `${what} has ${count} points, more than the cap of ${options.maximumPoints}`, {
    argument: "options.maximumPoints",
    value: count,
  });
}
