import { FeeringError } from "../errors/index.js";
import type { HeadlandRule, SectionOverride, SectionReason } from "./section-states.js";

/** Plain state of a {@link SectionControl}, safe in JSON. */
export interface SectionSnapshot {
  /** version of this shape */
  readonly version: 1;
  /** how many sections it is of */
  readonly count: number;
  /** times, place and flags, in the order of the version */
  readonly numbers: readonly number[];
  /** orders and what is under way */
  readonly orders: readonly number[];
  /** fronts of the swept ground */
  readonly swept: readonly number[];
  /** the operator's wishes */
  readonly overrides: readonly SectionOverride[];
  /** why the last orders were given */
  readonly reasons: readonly SectionReason[];
  /** which ground is worked */
  readonly headlandRule: HeadlandRule;
}

/** The error for a snapshot that does not fit. */
export function badSnapshot(why: string): FeeringError {
  return new FeeringError("bad-snapshot", `snapshot ${why}`, { argument: "snapshot" });
}

/** Check the frame of a snapshot; throws FeeringError `bad-snapshot`. */
export function checkSnapshot(snapshot: SectionSnapshot, count: number, numbers: number): void {
  const given = snapshot as Partial<SectionSnapshot> | null;
  if (typeof given !== "object" || given === null || given.version !== 1) throw badSnapshot("is not of version 1");
  if (given.count !== count) throw badSnapshot(`is of ${String(given.count)} sections, the boom has ${count}`);
  const lists = [given.numbers, given.orders, given.swept, given.overrides, given.reasons];
  if (!lists.every(Array.isArray)) throw badSnapshot("is damaged: a list is missing");
  if (given.numbers!.length !== numbers || !given.numbers!.every(Number.isFinite)) {
    throw badSnapshot("is damaged: its numbers do not fit");
  }
  if (given.overrides!.length !== count || !given.overrides!.every((o) => o === "auto" || o === "on" || o === "off")) {
    throw badSnapshot("is damaged: its overrides do not fit");
  }
  if (given.headlandRule !== "both" && given.headlandRule !== "headland" && given.headlandRule !== "mainfield") {
    throw badSnapshot("is damaged: its headland rule is none");
  }
  if (given.reasons!.length !== count || !given.reasons!.every((r) => typeof r === "string")) {
    throw badSnapshot("is damaged: its reasons do not fit");
  }
}
