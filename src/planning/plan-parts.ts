import type { Polygon } from "../geometry/index.js";
import { axisDifference, edgeDirections } from "./direction-candidates.js";
import { planCells } from "./plan-cells.js";
import type { EstimateSettings } from "./plan-estimate.js";
import { joinGround, type PlanGround, planGround } from "./plan-ground.js";
import { type RankedDirection, rankDirections } from "./rank-directions.js";

/** Part of a mainfield that is worked in one direction. @internal */
export interface PlanPart {
  readonly ground: PlanGround;
  /** polygons that it is put together from; neighbours share edges */
  readonly cells: readonly Polygon[];
  readonly direction: RankedDirection;
}

/** Directions of a cell's edges that are weighed, the longest edges' first. */
const EDGES = 6;
/** How finely corners are looked for, as a share of a swath's width. */
const COARSE = 0.25;

/**
 * Divide a polygon into parts with directions of their own, as far as that is estimated to cost less: cells at its inward corners,
 * cut along some directions, joined again by pairs as long as a join costs less than the two apart (as Oksanen and Visala 2009 split and merge).
 *
 * @param along - directions to cut along, degrees
 * @param penalty - share that rules add to a direction's cost
 * @returns the best division of each direction of cuts; none where it has no corner to cut at or stays in one piece
 * @internal
 */
export function planParts(
  polygon: Polygon,
  along: readonly number[],
  settings: EstimateSettings,
  penalty: (heading: number) => number,
): PlanPart[][] {
  const { swathWidth, turningSpeed, turns } = settings;
  // from part to part: a turn and its share of a way
  const link = turns.quickest(swathWidth, 0).seconds + (2 * swathWidth) / turningSpeed;
  const out: PlanPart[][] = [];
  for (const heading of along) {
    const { cells, beside } = planCells(polygon, heading, COARSE * swathWidth);
    if (cells.length < 2) continue;
    const part = (list: readonly Polygon[], ground: PlanGround): PlanPart | null => {
      const edges = edgeDirections(ground).slice(0, EDGES);
      const given = along.filter((other) => !edges.some((edge) => axisDifference(edge, other) < 1e-9));
      const [direction] = rankDirections(ground, settings, { edges, given, step: Number.POSITIVE_INFINITY, penalty });
      return direction === undefined ? null : { ground, cells: list, direction };
    };
    let parts: (PlanPart | null)[] = cells.map((cell) => part([cell], planGround([cell])));
    // a cell too thin for a swath goes with its neighbour's edges
    if (parts.some((one) => one === null)) continue;
    let pairs = beside.map(([a, b]) => [a, b] as [number, number]);
    const joins = new Map<string, PlanPart | null>();
    for (;;) {
      let best: { a: number; b: number; made: PlanPart; gain: number } | null = null;
      for (const [a, b] of pairs) {
        const key = `${a} ${b}`;
        const one = parts[a]!;
        const two = parts[b]!;
        if (!joins.has(key)) joins.set(key, part([...one.cells, ...two.cells], joinGround([one.ground, two.ground])));
        const made = joins.get(key)!;
        if (made === null) continue;
        const gain = one.direction.cost + two.direction.cost + link - made.direction.cost;
        if (gain >= 0 && (best === null || gain > best.gain)) best = { a, b, made, gain };
      }
      if (best === null) break;
      const { a, b, made } = best;
      const joined = parts.length;
      parts = [...parts.map((one, i) => (i === a || i === b ? null : one)), made];
      const renamed = new Map<string, [number, number]>();
      for (const [p, q] of pairs) {
        const x = p === a || p === b ? joined : p;
        const y = q === a || q === b ? joined : q;
        if (x !== y) renamed.set(`${Math.min(x, y)} ${Math.max(x, y)}`, [Math.min(x, y), Math.max(x, y)]);
      }
      pairs = [...renamed.values()];
    }
    const left = parts.filter((one) => one !== null);
    if (left.length > 1) out.push(left);
  }
  return out;
}
