import { requireNumber, requireObject } from "../errors/index.js";
import { checkPolygon, type Polygon } from "../geometry/index.js";
import { edgeDirections, SAME_DIRECTION } from "./direction-candidates.js";
import { type DirectionRule, requireRules, rulePenalty } from "./direction-rules.js";
import type { Estimate, EstimateSettings } from "./plan-estimate.js";
import { type PlanGround, planGround } from "./plan-ground.js";
import { machineSettings, type PlanMachine } from "./plan-machine.js";
import type { NarrowSwath } from "./plan-rows.js";
import { rankDirections } from "./rank-directions.js";

/** What a driving direction is looked for with. */
export interface SwathDirectionOptions extends PlanMachine {
  /** what becomes of a swath for which less than a width is left; default `"overlap"` */
  readonly narrow?: NarrowSwath;
  /** step of the sweep over all directions, degrees; default 5. About the best it is refined to a fiftieth of that */
  readonly step?: number;
  /** further directions to weigh, degrees */
  readonly headings?: readonly number[];
  /** slopes, soil, rows that directions are to respect */
  readonly respect?: readonly DirectionRule[];
}

/** What driving in one direction costs. */
export interface DirectionCost {
  /** degrees, 0 to 360: strips are laid side by side from its left, a narrow one is the last at its right */
  readonly heading: number;
  /** where it comes from: an edge of the ground, the sweep, or the options */
  readonly source: "edge" | "sweep" | "given";
  /** swaths; a strip that an obstacle or a bay divides has several */
  readonly passes: number;
  /** strips side by side, a swath's width each */
  readonly strips: number;
  /** length of all swaths, metres */
  readonly workingDistance: number;
  /** turns from swath to swath and ways between parts, as the crow flies, metres */
  readonly nonWorkingDistance: number;
  /** ground left for the last strip, metres across, at most a width */
  readonly lastWidth: number;
  /** ground worked beside the mainfield, at slanted ends and by the last strip, m² */
  readonly beside: number;
  /** for work and turns, seconds */
  readonly time: number;
  /** share that is added by rules */
  readonly penalty: number;
  /** seconds with the penalty: what directions are put in order by */
  readonly cost: number;
}

/** The driving direction of one mainfield. */
export interface SwathDirection {
  /** number of the polygon in the list given */
  readonly mainfield: number;
  /** the cheapest; null where nothing is left by the rules or there is no swath */
  readonly best: DirectionCost | null;
  /** all directions weighed, the cheapest first; those ruled out are left out */
  readonly candidates: readonly DirectionCost[];
}

/**
 * The best driving direction of each mainfield for a machine, with what all others cost.
 *
 * Weighed are the directions of all edges (of those within half a degree of each other that of the longest) and a sweep, refined about the best. The
 * cost is time: swaths at working speed, turns between neighbours in sequence at their shortest lengths by pass distance and stagger of the ends
 * (whatever room they need), ways between parts as the crow flies. For a convex field a direction along an edge is the best by number of
 * passes (Huang 2001); turn lengths at slanted ends may say otherwise.
 *
 * @param mainfield - its polygons, metres
 * @param options - machine, rules
 * @returns one result a polygon, in the order given; none for an empty mainfield
 * @throws `FeeringError` as `checkPolygon`; `not-finite`, `out-of-range` with the option's name
 *
 * @example
 * ```ts
 * const mainfield = [{ exterior: [[0, 0], [176, 0], [176, 76], [0, 76]], holes: [] }] as const;
 * const [found] = swathDirection(mainfield, { swathWidth: 6, minimumRadius: 6 });
 * found.best; // heading 90, passes 13, lastWidth 4
 * ```
 */
export function swathDirection(mainfield: readonly Polygon[], options: SwathDirectionOptions): SwathDirection[] {
  requireObject(options, "options");
  const machine = machineSettings(options, "options");
  const step = requireNumber(options.step ?? 5, "options.step", { above: 0, max: 90 });
  const rules = requireRules(options.respect ?? [], "options.respect");
  const given = options.headings ?? [];
  given.forEach((heading, index) => requireNumber(heading, "options.headings", { index }));
  const settings: EstimateSettings = {
    ...machine,
    narrow: options.narrow ?? "overlap",
    whole: false,
    withRoom: false,
    skip: 1,
  };
  return mainfield.map((polygon, i) => {
    const ground = planGround([checkPolygon(polygon, `mainfield[${i}]`)]);
    const edges = edgeDirections(ground, SAME_DIRECTION);
    const ranked = rankDirections(ground, settings, {
      edges,
      given,
      step,
      penalty: (heading) => rulePenalty(heading, rules),
    });
    const candidates = ranked.map(({ estimate, source, penalty, cost }) => ({
      ...costOf(estimate, ground, settings),
      source,
      penalty,
      cost,
    }));
    return { mainfield: i, best: candidates[0] ?? null, candidates };
  });
}

function costOf(
  estimate: Estimate,
  ground: PlanGround,
  { swathWidth }: EstimateSettings,
): Omit<DirectionCost, "source" | "penalty" | "cost"> {
  const { heading, rows, working, nonWorking, time } = estimate;
  const last = rows[rows.length - 1]!.band;
  const lastWidth = Math.max(...rows.filter(({ band }) => band === last).map(({ low, high }) => high - low));
  return {
    heading,
    passes: rows.length,
    strips: last + 1,
    workingDistance: working,
    nonWorkingDistance: nonWorking,
    lastWidth,
    beside: Math.max(0, working * swathWidth - ground.area),
    time,
  };
}
