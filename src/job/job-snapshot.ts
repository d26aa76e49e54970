import { FeeringError } from "../errors/index.js";
import type { FollowerSnapshot, MarkerSnapshot } from "../guidance/index.js";
import type { HeadingSnapshot, TowedSnapshot } from "../machine/index.js";
import type { FixMonitorSnapshot } from "../receiver/index.js";
import type { SectionSnapshot } from "../sections/index.js";
import type { JobDefinition } from "./job-definition.js";
import type { AccountSnapshot } from "./job-account.js";
import type { BoomSums } from "./job-state.js";
import type { PassLogEntry } from "./pass-log.js";

/** What a further boom remembers. */
export interface BoomSnapshot {
  /** state of its sections */
  readonly sections: SectionSnapshot;
  /** its coverage record, null where it is the first boom's */
  readonly coverage: Uint8Array | null;
  /** what it did so far */
  readonly sums: BoomSums;
}

/** All that a job remembers: plain data and the bytes of its coverage record. */
export interface JobSnapshot {
  /** version of this shape */
  readonly version: 2;
  /** what the job was set up with, with the pattern in force */
  readonly definition: JobDefinition;
  /** state of the watch over the fixes */
  readonly monitor: FixMonitorSnapshot;
  /** state of the heading */
  readonly motion: HeadingSnapshot;
  /** state of the towed implement, null without one */
  readonly towed: TowedSnapshot | null;
  /** state of the pass follower */
  readonly follower: FollowerSnapshot;
  /** points marked so far */
  readonly marker: MarkerSnapshot;
  /** state of the sections */
  readonly sections: SectionSnapshot;
  /** the coverage record, as `CoverageRecord.snapshot` gives it; in JSON write it as text of your choice */
  readonly coverage: Uint8Array;
  /** what each further boom remembers */
  readonly furtherBooms: readonly BoomSnapshot[];
  /** totals so far and what was done on each pass */
  readonly account: AccountSnapshot;
  /** inner numbers, in the order of the version */
  readonly numbers: readonly number[];
}

/** How many inner numbers there are. */
const NUMBERS = 10;

/** Whether one row of the account of passes holds what it should. */
function isPassEntry(entry: unknown): boolean {
  if (typeof entry !== "object" || entry === null) return false;
  const { line, pass, length, errorLength, errorSum, workedArea, overlapArea, switches, classes } =
    entry as Partial<PassLogEntry>;
  const finite = (list: unknown): boolean => Array.isArray(list) && list.every(Number.isFinite);
  return (
    typeof (line ?? {}) === "object" &&
    finite([pass, length, errorLength, errorSum, workedArea, overlapArea, switches]) &&
    finite(classes)
  );
}

/** Whether what a further boom remembers has the right parts. */
function isBoomEntry(entry: unknown): boolean {
  if (typeof entry !== "object" || entry === null) return false;
  const { coverage, sums } = entry as Partial<BoomSnapshot>;
  return (
    (coverage === null || coverage instanceof Uint8Array) &&
    [sums?.workedArea, sums?.overlapArea, sums?.switches].every(Number.isFinite)
  );
}

/** Check the outer shape of a snapshot; its parts are checked by who restores them. */
export function checkSnapshot(snapshot: JobSnapshot): void {
  const given = snapshot as Partial<JobSnapshot> | null | undefined;
  const finite = (list: unknown, length: number): boolean =>
    Array.isArray(list) && list.length === length && list.every(Number.isFinite);
  const account = given?.account as Partial<AccountSnapshot> | null | undefined;
  const totals: unknown = account?.totals;
  const good =
    given?.version === 2 &&
    finite(given.numbers, NUMBERS) &&
    finite(account?.secondsByQuality, 9) &&
    finite(account?.anchor, 3) &&
    typeof totals === "object" &&
    totals !== null &&
    Object.values(totals).every(Number.isFinite) &&
    given.coverage instanceof Uint8Array &&
    Array.isArray(account?.passes) &&
    account.passes.every(isPassEntry) &&
    (given.towed === null) === (given.definition?.towed === undefined) &&
    Array.isArray(given.furtherBooms) &&
    given.furtherBooms.length === (given.definition?.furtherBooms?.length ?? 0) &&
    given.furtherBooms.every(isBoomEntry);
  if (!good) {
    throw new FeeringError("bad-snapshot", "snapshot is damaged or not of version 2", {
      argument: "snapshot",
      value: given?.version,
    });
  }
}
