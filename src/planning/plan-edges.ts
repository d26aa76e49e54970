import type { Point, Polygon } from "../geometry/index.js";
import { rulePenalty } from "./direction-rules.js";
import { blocksOf } from "./plan-choice.js";
import type { ConnectGround } from "./plan-connect.js";
import { layoutDrives } from "./plan-drives.js";
import { type EstimateSettings, leastInSequence } from "./plan-estimate.js";
import { planGround } from "./plan-ground.js";
import type { PlanSettings } from "./plan-options.js";
import { type Distance, type LayoutBlock, type LayoutOrder, layoutOrders } from "./plan-order.js";
import { rankDirections } from "./rank-directions.js";

/** A field's layout in one direction, passes in sequence. @internal */
export interface EdgeLayout {
  readonly blocks: readonly LayoutBlock[];
  readonly order: LayoutOrder;
  readonly cost: number;
}

/**
 * The cheapest of all layouts with one direction for the whole field, that of an edge, and passes in sequence, where it costs less than what was found:
 * the simple plan that anybody would draw is never the better one. Those whose least possible cost is above it are not driven out.
 *
 * @param headings - of all edges, degrees
 * @param cost - of what was found, seconds
 * @internal
 */
export function cheapestEdge(
  mainfield: readonly Polygon[],
  headings: readonly number[],
  settings: PlanSettings,
  whole: boolean,
  ground: ConnectGround,
  distance: Distance,
  start: Point | null,
  end: Point | null,
  cost: number,
): EdgeLayout | null {
  const grounds = mainfield.map((polygon) => planGround([polygon]));
  const { machine, narrow, rules } = settings;
  const estimates: EstimateSettings = { ...machine, narrow, whole, withRoom: true, skip: 1 };
  const candidates: { blocks: readonly LayoutBlock[]; least: number }[] = [];
  for (const heading of headings) {
    const penalty = rulePenalty(heading, rules);
    if (!Number.isFinite(penalty)) continue;
    const given = { edges: [], given: [heading], step: Number.POSITIVE_INFINITY, penalty: () => penalty };
    const blocks: LayoutBlock[] = [];
    let least = 0;
    grounds.forEach((own, i) => {
      const [direction] = rankDirections(own, estimates, given);
      if (direction === undefined) return;
      blocks.push(...blocksOf(direction, i));
      // rules add their share to work at least
      least += leastInSequence(direction.estimate, estimates);
      least += (penalty * direction.estimate.working) / machine.workingSpeed;
    });
    if (blocks.length > 0 && least < cost) candidates.push({ blocks, least });
  }
  candidates.sort((a, b) => a.least - b.least);
  let best: EdgeLayout | null = null;
  for (const { blocks, least } of candidates) {
    if (least >= (best?.cost ?? cost)) break;
    const { plain } = layoutOrders(blocks, { ...settings, optimise: false }, distance, start, end);
    const driven = layoutDrives(blocks, plain, ground, false).cost;
    if (driven < (best?.cost ?? cost) - 1e-9) best = { blocks, order: plain, cost: driven };
  }
  return best;
}
