import { FeeringError, requireList, requireNumber, requireObject } from "../errors/index.js";
import { axis } from "./direction-candidates.js";

/** Directions that a slope, the soil or the rows of other work prefer or rule out. */
export interface DirectionRule {
  /** the range begins here, degrees; a direction and its reverse are one */
  readonly from: number;
  /** and goes clockwise to here, both ends included, degrees */
  readonly to: number;
  /** `"prefer"`: directions outside cost more; `"avoid"`: those inside do; `"forbid"`: those inside are not taken */
  readonly rule: "prefer" | "avoid" | "forbid";
  /** how much more, as a share of the cost; default 0.2. Not used by `"forbid"` */
  readonly penalty?: number;
}

/** Check rules at set-up; throws FeeringError with the option's name. @internal */
export function requireRules(rules: readonly DirectionRule[], argument: string): readonly DirectionRule[] {
  requireList(rules, argument);
  rules.forEach((rule, index) => {
    requireObject(rule, `${argument}[${index}]`);
    requireNumber(rule.from, `${argument}.from`, { index });
    requireNumber(rule.to, `${argument}.to`, { index });
    if (rule.penalty !== undefined) requireNumber(rule.penalty, `${argument}.penalty`, { min: 0, index });
    if (rule.rule !== "prefer" && rule.rule !== "avoid" && rule.rule !== "forbid") {
      throw new FeeringError("out-of-range", `${argument}[${index}].rule needs prefer, avoid or forbid`, {
        argument: `${argument}.rule`,
        index,
        value: rule.rule,
      });
    }
  });
  return rules;
}

/** What a direction costs more by the rules, as a share; infinite where it is ruled out. @internal */
export function rulePenalty(heading: number, rules: readonly DirectionRule[]): number {
  let penalty = 0;
  for (const { from, to, rule, penalty: share = 0.2 } of rules) {
    // a range of half a turn and more holds every direction
    const inside =
      Math.abs(to - from) >= 180 ||
      axis(heading - from) <= axis(to - from) + 1e-9 ||
      axis(heading - from) >= 180 - 1e-9;
    if (rule === "forbid" && inside) return Number.POSITIVE_INFINITY;
    if ((rule === "avoid" && inside) || (rule === "prefer" && !inside)) penalty += share;
  }
  return penalty;
}
