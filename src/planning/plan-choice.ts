import type { Polygon } from "../geometry/index.js";
import { edgeDirections } from "./direction-candidates.js";
import { rulePenalty } from "./direction-rules.js";
import { planChains } from "./plan-chains.js";
import type { ConnectGround } from "./plan-connect.js";
import { type DrivenLayout, layoutDrives } from "./plan-drives.js";
import type { EstimateSettings } from "./plan-estimate.js";
import { type PlanGround, planGround } from "./plan-ground.js";
import type { PlanSettings } from "./plan-options.js";
import { type Distance, type LayoutBlock, layoutOrders } from "./plan-order.js";
import { planParts } from "./plan-parts.js";
import type { PlanReason } from "./plan-result.js";
import { type RankedDirection, rankDirections } from "./rank-directions.js";

/** How a mainfield is laid out. @internal */
export interface MainfieldChoice {
  /** the cheapest layout found; empty where there is none */
  readonly best: readonly LayoutBlock[];
  /** the cheapest in one direction, passes in sequence */
  readonly plain: readonly LayoutBlock[];
  readonly reason: PlanReason | null;
}

/** Of so many of the best directions the cuts are tried. */
const CUTS = 3;
/** So many layouts are driven out whatever the best costs, and at most so many. */
const LEAST_DRIVEN = 3;
const MOST_DRIVEN = 16;

/**
 * Lay out one mainfield: directions in order of their estimates, which hardly a plan in sequence undercuts, are driven out until the next estimate is
 * above the best cost found; so the choice costs no more than any of them. Divisions into parts compete by the same cost.
 *
 * @param fieldEdges - directions of the field's own edges, degrees
 * @internal
 */
export function chooseLayout(
  polygon: Polygon,
  mainfield: number,
  fieldEdges: readonly number[],
  settings: PlanSettings,
  whole: boolean,
  ground: ConnectGround,
  distance: Distance,
): MainfieldChoice {
  const own = planGround([polygon]);
  const { swathWidth, minimumRadius } = settings.machine;
  // passes so far apart that a flat turn joins them, and one more
  const skip = settings.optimise ? Math.min(4, Math.ceil((2 * minimumRadius) / swathWidth) + 1) : 1;
  const estimates: EstimateSettings = { ...settings.machine, narrow: settings.narrow, whole, withRoom: true, skip };
  const penalty = (heading: number): number => rulePenalty(heading, settings.rules);
  const ranked = directions(own, fieldEdges, settings, estimates, penalty);
  if (ranked.length === 0) {
    const none = rankDirections(own, estimates, {
      edges: [0, 45, 90, 135],
      given: [],
      step: Infinity,
      penalty: () => 0,
    });
    return { best: [], plain: [], reason: none.length === 0 ? "no-swath" : "no-direction" };
  }
  let best: readonly LayoutBlock[] = [];
  let bestCost = Number.POSITIVE_INFINITY;
  let plain: readonly LayoutBlock[] = [];
  let plainCost = Number.POSITIVE_INFINITY;
  const weigh = (blocks: readonly LayoutBlock[], single: boolean): void => {
    const { plain: sequence, found } = layoutOrders(blocks, settings, distance, null, null);
    const driven = layoutDrives(blocks, sequence, ground, false);
    const costs: DrivenLayout[] = [driven];
    if (single && driven.cost < plainCost) [plain, plainCost] = [blocks, driven.cost];
    if (found !== sequence) costs.push(layoutDrives(blocks, found, ground, false));
    for (const { cost } of costs) if (cost < bestCost) [best, bestCost] = [blocks, cost];
  };
  const driveOut = (from: number, to: number): void => {
    for (let i = from; i < Math.min(ranked.length, to); i++) {
      if (i >= LEAST_DRIVEN && ranked[i]!.cost >= bestCost) break;
      weigh(blocksOf(ranked[i]!, mainfield), true);
    }
  };
  driveOut(0, 1);
  if (settings.divide && worthDividing(own, ranked[0]!, estimates)) {
    const along = cutDirections(ranked);
    for (const parts of planParts(polygon, along, estimates, penalty)) {
      weigh(
        parts.flatMap((part) => blocksOf(part.direction, mainfield)),
        false,
      );
    }
  }
  driveOut(1, MOST_DRIVEN);
  return { best, plain, reason: null };
}

function directions(
  own: PlanGround,
  fieldEdges: readonly number[],
  { heading, headings, step }: PlanSettings,
  estimates: EstimateSettings,
  penalty: (heading: number) => number,
): RankedDirection[] {
  if (heading !== null) return rankDirections(own, estimates, { edges: [], given: [heading], step: Infinity, penalty });
  return rankDirections(own, estimates, {
    edges: [...edgeDirections(own), ...fieldEdges],
    given: headings,
    step,
    penalty,
  });
}

/** Cuts go along the best directions, whichever way they are driven; of near ones the first. */
function cutDirections(ranked: readonly RankedDirection[]): number[] {
  const along: number[] = [];
  for (const { estimate, source } of ranked) {
    const heading = estimate.heading % 180;
    if (source === "sweep") continue;
    if (along.every((other) => Math.min(Math.abs(other - heading), 180 - Math.abs(other - heading)) > 3))
      along.push(heading);
    if (along.length >= CUTS) break;
  }
  return along;
}

/** Whether a division could save anything: more than the least work there can be, by more than a turn. */
function worthDividing(
  own: PlanGround,
  best: RankedDirection,
  { swathWidth, workingSpeed, turns }: EstimateSettings,
): boolean {
  const least = own.area / swathWidth / workingSpeed;
  return best.estimate.time - least > 3 * turns.quickest(swathWidth, 0).seconds;
}

/** Blocks of one direction: a chain each. @internal */
export function blocksOf({ estimate, penalty }: RankedDirection, mainfield: number): LayoutBlock[] {
  const chains = estimate.chains.length > 0 ? estimate.chains : planChains(estimate.rows);
  return chains.map((rows) => ({ mainfield, heading: estimate.heading, rows, penalty }));
}
