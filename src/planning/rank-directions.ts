import { axis } from "./direction-candidates.js";
import { type Estimate, type EstimateSettings, planEstimate } from "./plan-estimate.js";
import type { PlanGround } from "./plan-ground.js";

/** A direction with its cost. @internal */
export interface RankedDirection {
  readonly estimate: Estimate;
  readonly source: "edge" | "sweep" | "given";
  /** share added by rules */
  readonly penalty: number;
  /** seconds with the penalty */
  readonly cost: number;
}

/** Which directions are weighed. @internal */
export interface Directions {
  readonly edges: readonly number[];
  readonly given: readonly number[];
  /** of the sweep, degrees; infinite for none */
  readonly step: number;
  /** share added to a direction's cost; infinite where it is ruled out */
  readonly penalty: (heading: number) => number;
}

/** Refined twice, each time to a seventh and less. */
const FINER = [7, 50];
/** So many of the best directions are laid out from both sides. */
const TURNED = 12;
/** Costs that differ by less than this are one, seconds: then edges go before the sweep. */
const TIE = 1e-6;

/** Weigh directions; the cheapest first, those ruled out and those without a swath left out. @internal */
export function rankDirections(
  ground: PlanGround,
  settings: EstimateSettings,
  directions: Directions,
): RankedDirection[] {
  const ranked: RankedDirection[] = [];
  const seen = new Set<number>();
  const weigh = (heading: number, source: RankedDirection["source"]): void => {
    const along = axis(heading);
    if (seen.has(along)) return;
    seen.add(along);
    const penalty = directions.penalty(along);
    if (!Number.isFinite(penalty)) return;
    const estimate = planEstimate(ground, along, settings);
    if (estimate.rows.length === 0) return;
    ranked.push({ estimate, source, penalty, cost: estimate.time * (1 + penalty) });
  };
  for (const heading of directions.edges) weigh(heading, "edge");
  for (const heading of directions.given) weigh(heading, "given");
  const rank = (): void => {
    ranked.sort((a, b) => Math.round(a.cost / TIE) - Math.round(b.cost / TIE));
  };
  if (Number.isFinite(directions.step)) {
    const { step } = directions;
    for (let heading = 0; heading < 180; heading += step) weigh(heading, "sweep");
    rank();
    for (const part of FINER) {
      const middle = ranked[0]?.estimate.heading;
      if (middle === undefined) break;
      for (let k = -7; k <= 7; k++) weigh(middle + (k * step) / part, "sweep");
      rank();
    }
  }
  rank();
  // the narrow strip lies at one side or at the other: of the best it is tried at both
  for (let i = 0; i < Math.min(TURNED, ranked.length); i++) {
    const { estimate, penalty } = ranked[i]!;
    const back = planEstimate(ground, estimate.heading + 180, settings);
    if (back.time < estimate.time - TIE) {
      ranked[i] = { ...ranked[i]!, estimate: back, cost: back.time * (1 + penalty) };
    }
  }
  rank();
  return ranked;
}
