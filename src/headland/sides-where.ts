import { FeeringError, requireList, requireNumber, requireObject, requirePoints } from "../errors/index.js";
import type { Point, Polygon } from "../geometry/index.js";
import { edgeCount } from "./check-options.js";
import type { HeadlandSide } from "./headland-options.js";

/** Whether an edge belongs to a side. */
export type EdgeChoice = (from: Point, to: Point, edge: number, polygon: number) => boolean;

/**
 * The stretches of a field's outer boundary whose edges are chosen: neighbouring edges make one side.
 *
 * @param field - its polygons, metres
 * @param choose - asked for every edge of every exterior, with its two ends in the ring's own direction, its number and the
 * number of its polygon
 * @param settings - rounds or width for all of them
 * @returns sides for `headland`, in the order of the edges; empty when none is chosen
 * @throws `FeeringError` `too-few-points` or `not-finite` when the field is no list of polygons, `out-of-range` when
 * `choose` is no function or a setting is negative
 * @example
 * ```ts
 * // the short ends of a strip that runs north
 * const ends = sidesWhere(field, (from, to) => Math.abs(to[1] - from[1]) < 1, { rounds: 3 });
 * headland(field, { swathWidth: 6, rounds: 0, sides: ends });
 * ```
 */
export function sidesWhere(
  field: readonly Polygon[],
  choose: EdgeChoice,
  settings: Pick<HeadlandSide, "rounds" | "width"> = {},
): HeadlandSide[] {
  requireList(field, "field");
  if (typeof choose !== "function") {
    throw new FeeringError("out-of-range", "choose is no function, needs one that is asked for every edge", {
      argument: "choose",
      value: choose,
    });
  }
  requireObject(settings, "settings");
  const { rounds, width } = settings;
  const size = {
    ...(rounds === undefined ? {} : { rounds: requireNumber(rounds, "settings.rounds", { min: 0 }) }),
    ...(width === undefined ? {} : { width: requireNumber(width, "settings.width", { above: 0 }) }),
  };
  const sides: HeadlandSide[] = [];
  field.forEach((part, polygon) => {
    requireObject(part, `field[${polygon}]`);
    const { exterior } = part;
    requirePoints(exterior, `field[${polygon}].exterior`, 3);
    const n = edgeCount(exterior);
    const chosen: boolean[] = [];
    for (let i = 0; i < n; i++) chosen.push(choose(exterior[i]!, exterior[(i + 1) % n]!, i, polygon));
    if (chosen.every(Boolean)) {
      sides.push({ polygon, from: 0, to: n - 1, ...size });
      return;
    }
    for (let i = 0; i < n; i++) {
      if (!chosen[i] || chosen[(i - 1 + n) % n]) continue;
      let to = i;
      while (chosen[(to + 1) % n]) to = (to + 1) % n;
      sides.push({ polygon, from: i, to, ...size });
    }
  });
  return sides;
}
