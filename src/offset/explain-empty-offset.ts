import { requireNumber } from "../errors/index.js";
import type { Line, Polygon } from "../geometry/index.js";
import { offsetFamily } from "./offset-family.js";
import type { OffsetLineOptions } from "./types.js";

/** Why an offset is an empty list. */
export interface EmptyOffset {
  /**
   * | reason | meaning |
   * |---|---|
   * | `no-source` | there is nothing to offset: an empty list of polygons |
   * | `too-short` | pieces are left, all shorter than `options.minimumLength` |
   * | `too-far` | every point at that distance is nearer to another part of the source |
   */
  readonly reason: "no-source" | "too-short" | "too-far";
  /**
   * the largest distance to that side that leaves anything, with the sign of the one asked for, metres, within a millionth
   * below the true one: for a polygon inward the radius of the largest circle that fits in it. 0 for `no-source`
   */
  readonly largestDistance: number;
  /** the same in one sentence */
  readonly message: string;
}

/** Distances tried at once in a round of the search; each round narrows it that many times and one. */
const TRIED = 15;
/** Where the search ends, as a share of the distance found. */
const NARROW = 5e-7;

/**
 * Say why an offset is an empty list, and up to which distance it would not be. It searches, for some ten times the cost of
 * the offset.
 *
 * @param source - the line, polygon or polygons that were offset, metres
 * @param distance - as given to `offsetLine` or `offsetPolygon`, metres
 * @param options - the same options
 * @returns the reason, or `undefined` where the offset is not empty
 * @throws `FeeringError` as `offsetFamily`
 * @example
 * ```ts
 * const square = { exterior: [[0, 0], [40, 0], [40, 40], [0, 40]], holes: [] } as const;
 * explainEmptyOffset(square, -24)?.message; // "nothing lies 24 m inside: 20 m is the most"
 * ```
 */
export function explainEmptyOffset(
  source: Line | Polygon | readonly Polygon[],
  distance: number,
  options: OffsetLineOptions = {},
): EmptyOffset | undefined {
  requireNumber(distance, "distance");
  if (offsetFamily(source, [distance], options)[0]!.length > 0) return undefined;
  if (Array.isArray(source) && source.length === 0) {
    return { reason: "no-source", largestDistance: 0, message: "there is no polygon to offset" };
  }
  const { minimumLength, ...others } = options;
  if (offsetFamily(source, [distance], others)[0]!.length > 0) {
    return {
      reason: "too-short",
      largestDistance: distance,
      message: `all pieces at ${distance} m are shorter than ${minimumLength ?? 0} m`,
    };
  }
  const largestDistance = search(source, distance, others);
  const where = "exterior" in source || !isLine(source) ? "inside" : distance < 0 ? "left" : "right";
  const most = Number(Math.abs(largestDistance).toPrecision(6));
  const text = `nothing lies ${Math.abs(distance)} m ${where}: ${most} m is the most`;
  return { reason: "too-far", largestDistance, message: text };
}

function isLine(source: Line | Polygon | readonly Polygon[]): boolean {
  return Array.isArray(source) && Array.isArray(source[0]);
}

// what is dead at a distance is dead at all larger ones, so the least of them that is empty can be closed in on
function search(source: Line | Polygon | readonly Polygon[], distance: number, options: OffsetLineOptions): number {
  let some = 0;
  let none = distance;
  while (Math.abs(none - some) > NARROW * Math.abs(none)) {
    const tried: number[] = [];
    for (let i = 1; i <= TRIED; i++) tried.push(some + ((none - some) * i) / (TRIED + 1));
    // nothing is drawn finely here
    const coarse = { ...options, tolerance: Math.abs(none) / 10 };
    const members = offsetFamily(source, tried, coarse);
    const first = members.findIndex((member) => member.length === 0);
    if (first !== 0) some = tried[(first < 0 ? TRIED : first) - 1]!;
    if (first >= 0) none = tried[first]!;
    if (none === 0 || !Number.isFinite(some)) break;
  }
  return some;
}
