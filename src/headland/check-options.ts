import { FeeringError, requireList, requireNumber, requireObject, requirePoint } from "../errors/index.js";
import type { Polygon } from "../geometry/index.js";
import type { HeadlandOptions, HeadlandSide } from "./headland-options.js";

/**
 * Most rounds of a set: a headland of a thousand swaths is a slip of the pen.
 */
export const MOST_ROUNDS = 1000;

/** coarsest flattening of arcs, metres: what a round may deviate unseen */
const COARSEST = 0.05;

/** a width this near to whole swaths is whole, as a share of a swath: rounding of the caller's sum */
const WHOLE = 1e-9;

/** The options with their defaults filled in. */
export interface CheckedOptions {
  readonly width: number;
  readonly rounds: number;
  readonly obstacleRounds: number;
  readonly sides: readonly CheckedSide[] | undefined;
  readonly insideOut: boolean;
  readonly clockwise: boolean;
  readonly gate: readonly [number, number] | undefined;
  readonly radius: number;
  readonly join: "round" | "mitre";
  readonly tolerance: number;
}

/** A side with its distances. */
export interface CheckedSide {
  readonly polygon: number;
  readonly from: number;
  readonly to: number;
  /** distances of its passes from the edge, rising */
  readonly distances: readonly number[];
  readonly width: number;
}

/** Check the options of `headland` and fill in defaults. */
export function checkOptions(field: readonly Polygon[], options: HeadlandOptions): CheckedOptions {
  requireObject(options, "options");
  if (options.sides !== undefined) requireList(options.sides, "options.sides");
  const width = requireNumber(options.swathWidth, "options.swathWidth", { above: 0 });
  const rounds = count(options.rounds, "options.rounds");
  const obstacleRounds =
    options.obstacleRounds === undefined ? rounds : count(options.obstacleRounds, "options.obstacleRounds");
  if (options.gate !== undefined) requirePoint(options.gate, "options.gate");
  return {
    width,
    rounds,
    obstacleRounds,
    sides: options.sides?.map((side, i) => checkSide(field, side, i, rounds, width)),
    insideOut: choice(options.order, "options.order", ["outside-in", "inside-out"]) === "inside-out",
    clockwise: choice(options.direction, "options.direction", ["clockwise", "counter-clockwise"]) === "clockwise",
    gate: options.gate,
    radius:
      options.minimumRadius === undefined
        ? 0
        : requireNumber(options.minimumRadius, "options.minimumRadius", { min: 0 }),
    join: choice(options.join, "options.join", ["round", "mitre"]),
    tolerance:
      options.tolerance === undefined
        ? 1e-4
        : requireNumber(options.tolerance, "options.tolerance", { above: 0, max: COARSEST }),
  };
}

function checkSide(
  field: readonly Polygon[],
  side: HeadlandSide,
  index: number,
  rounds: number,
  swath: number,
): CheckedSide {
  const name = `options.sides[${index}]`;
  requireObject(side, name);
  const polygon = side.polygon === undefined ? 0 : whole(side.polygon, `${name}.polygon`, field.length - 1);
  const edges = edgeCount(field[polygon]!.exterior);
  const from = whole(side.from, `${name}.from`, edges - 1);
  const to = whole(side.to, `${name}.to`, edges - 1);
  const given = side.width === undefined ? undefined : requireNumber(side.width, `${name}.width`, { above: 0 });
  let passes: number;
  if (side.rounds !== undefined) passes = count(side.rounds, `${name}.rounds`);
  else if (given !== undefined) passes = count(Math.max(1, Math.ceil(given / swath - WHOLE)), `${name}.width`);
  else passes = rounds;
  const width = given ?? passes * swath;
  const distances: number[] = [];
  for (let i = 1; i <= passes; i++) {
    // a pass stays inside the headland, and never nearer to the edge than half a swath
    distances.push(Math.max(swath / 2, Math.min((i - 0.5) * swath, width - swath / 2)));
  }
  return { polygon, from, to, distances, width };
}

/** Edges of a ring as given: a repeated first point makes none. */
export function edgeCount(ring: readonly (readonly [number, number])[]): number {
  const first = ring[0]!;
  const last = ring[ring.length - 1]!;
  return first[0] === last[0] && first[1] === last[1] ? ring.length - 1 : ring.length;
}

function count(value: unknown, argument: string): number {
  return whole(value, argument, MOST_ROUNDS);
}

function whole(value: unknown, argument: string, max: number): number {
  const n = requireNumber(value, argument, { min: 0, max });
  if (!Number.isInteger(n)) {
    throw new FeeringError("out-of-range", `${argument} is ${n}, needs a whole number`, { argument, value });
  }
  return n;
}

// the first of the list is the default
function choice<T extends string>(value: T | undefined, argument: string, allowed: readonly T[]): T {
  if (value === undefined) return allowed[0]!;
  if (!allowed.includes(value)) {
    throw new FeeringError("out-of-range", `${argument} is ${String(value)}, needs one of ${allowed.join(", ")}`, {
      argument,
      value,
    });
  }
  return value;
}
