import { FeeringError } from "../errors/index.js";
import type { HeadlandRule, SectionOverride, SectionReason } from "./section-states.js";

/** Plain state of a {@link SectionControl}, safe in JSON. */
export interface SectionSnapshot {
  /** version of this shape */
  readonly version: 2;
  /** how many sections it is of */
  readonly count: number;
  /** flags, direction and areas, in the order of the version */
  readonly numbers: readonly number[];
  /** times heard of, in the order of the version */
  readonly clock: readonly number[];
  /** orders and what is under way */
  readonly orders: readonly number[];
  /** when each section ought to have been switched last, then when it ought to be next, s; null where there is none */
  readonly instants: readonly (number | null)[];
  /** fronts of the swept ground */
  readonly swept: readonly number[];
  /** the operator's wishes */
  readonly overrides: readonly SectionOverride[];
  /** why the last orders were given */
  readonly reasons: readonly SectionReason[];
  /** why, once the next orders are given */
  readonly upcomingReasons: readonly SectionReason[];
  /** which ground is worked */
  readonly headlandRule: HeadlandRule;
}

/** The error for a snapshot that does not fit. */
export function badSnapshot(why: string): FeeringError {
  return new FeeringError("bad-snapshot", `snapshot ${why}`, { argument: "snapshot" });
}

/** How many flags, directions and areas. */
const NUMBERS = 5;

/** Check the frame of a snapshot; throws FeeringError `bad-snapshot`. */
export function checkSnapshot(snapshot: SectionSnapshot, count: number): void {
  const given = snapshot as Partial<SectionSnapshot> | null;
  if (typeof given !== "object" || given === null || given.version !== 2) throw badSnapshot("is not of version 2");
  if (given.count !== count) throw badSnapshot(`is of ${String(given.count)} sections, the boom has ${count}`);
  const { numbers, clock, orders, instants, swept, overrides, reasons, upcomingReasons, headlandRule } = given;
  const lists: unknown[] = [numbers, clock, orders, instants, swept, overrides, reasons, upcomingReasons];
  if (!lists.every(Array.isArray)) throw badSnapshot("is damaged: a list is missing");
  if (numbers!.length !== NUMBERS || !numbers!.every(Number.isFinite)) {
    throw badSnapshot("is damaged: its numbers do not fit");
  }
  if (Math.abs(numbers![2]!) !== 1) throw badSnapshot("is damaged: its direction is none");
  if (instants!.length !== 2 * count || !instants!.every((time) => time === null || Number.isFinite(time))) {
    throw badSnapshot("is damaged: its instants do not fit");
  }
  if (overrides!.length !== count || !overrides!.every((o) => o === "auto" || o === "on" || o === "off")) {
    throw badSnapshot("is damaged: its overrides do not fit");
  }
  if (headlandRule !== "both" && headlandRule !== "headland" && headlandRule !== "mainfield") {
    throw badSnapshot("is damaged: its headland rule is none");
  }
  for (const list of [reasons!, upcomingReasons!]) {
    if (list.length !== count || !list.every((reason) => typeof reason === "string")) {
      throw badSnapshot("is damaged: its reasons do not fit");
    }
  }
}
