import { FeeringError, requireNumber, requireObject, requirePoint } from "../errors/index.js";
import type { Point } from "../geometry/index.js";
import { type DirectionRule, requireRules } from "./direction-rules.js";
import { type MachineSettings, machineSettings, type PlanMachine } from "./plan-machine.js";
import type { NarrowSwath } from "./plan-rows.js";

/** What a field is planned with. */
export interface PlanOptions extends PlanMachine {
  /** rounds of the headland, 0 to 100; default 2. Without one, swaths end where their whole width would leave the field */
  readonly rounds?: number;
  /** rounds about each obstacle; default `rounds` */
  readonly obstacleRounds?: number;
  /** when the rounds are driven; `"none"`: they are left, as ground to turn on. Default `"first"` */
  readonly headland?: "first" | "last" | "none";
  /** what becomes of a swath for which less than a width is left; default `"overlap"`, without rounds `"shift"` */
  readonly narrow?: NarrowSwath;
  /**
   * order of a block's swaths: the best that is found, or one beside the other; default `"optimise"`. What is found never
   * costs more than the sequence
   */
  readonly order?: "optimise" | "in-sequence";
  /** whether mainfields may be divided into parts with directions of their own, where that costs less; default true */
  readonly divide?: boolean;
  /** the one direction of all swaths, degrees; default the cheapest. Nothing is divided then */
  readonly heading?: number;
  /** further directions to weigh, degrees */
  readonly headings?: readonly number[];
  /** step of the sweep over all directions, degrees; default 5 */
  readonly step?: number;
  /** slopes, soil, rows that directions are to respect */
  readonly respect?: readonly DirectionRule[];
  /** where the machine comes on to the field, metres; default where the first drive begins */
  readonly entry?: Point;
  /** where it leaves the field, metres; default where the last drive ends */
  readonly exit?: Point;
}

/** Options with defaults. @internal */
export interface PlanSettings {
  readonly machine: MachineSettings;
  readonly rounds: number;
  readonly obstacleRounds: number;
  readonly headland: "first" | "last" | "none";
  readonly narrow: NarrowSwath;
  readonly optimise: boolean;
  readonly divide: boolean;
  readonly heading: number | null;
  readonly headings: readonly number[];
  readonly step: number;
  readonly rules: readonly DirectionRule[];
  readonly entry: Point | null;
  readonly exit: Point | null;
}

/** Check options at set-up; throws FeeringError with the option's name. @internal */
export function planSettings(options: PlanOptions): PlanSettings {
  requireObject(options, "options");
  const rounds = wholeNumber(options.rounds ?? 2, "options.rounds");
  const obstacleRounds = wholeNumber(options.obstacleRounds ?? rounds, "options.obstacleRounds");
  const headings = options.headings ?? [];
  headings.forEach((heading, index) => requireNumber(heading, "options.headings", { index }));
  const width = requireNumber(options.swathWidth, "options.swathWidth", { above: 0, max: 200 });
  return {
    machine: machineSettings(options, "options", rounds * width),
    rounds,
    obstacleRounds,
    headland: oneOf(options.headland ?? "first", ["first", "last", "none"], "options.headland"),
    narrow: oneOf(
      options.narrow ?? (rounds > 0 ? "overlap" : "shift"),
      ["overlap", "shift", "narrow"],
      "options.narrow",
    ),
    optimise: oneOf(options.order ?? "optimise", ["optimise", "in-sequence"], "options.order") === "optimise",
    divide: options.divide !== false && options.heading === undefined,
    heading: options.heading === undefined ? null : requireNumber(options.heading, "options.heading"),
    headings,
    step: requireNumber(options.step ?? 5, "options.step", { above: 0, max: 90 }),
    rules: requireRules(options.respect ?? [], "options.respect"),
    entry: options.entry === undefined ? null : requirePoint(options.entry, "options.entry"),
    exit: options.exit === undefined ? null : requirePoint(options.exit, "options.exit"),
  };
}

function wholeNumber(value: unknown, argument: string): number {
  const number = requireNumber(value, argument, { min: 0, max: 100 });
  if (Number.isInteger(number)) return number;
  throw new FeeringError("out-of-range", `${argument} is ${number}, needs a whole number`, { argument, value });
}

function oneOf<T extends string>(value: T, allowed: readonly T[], argument: string): T {
  if (allowed.includes(value)) return value;
  throw new FeeringError("out-of-range", `${argument} is ${String(value)}, needs one of ${allowed.join(", ")}`, {
    argument,
    value,
  });
}
