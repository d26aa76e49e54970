import type { FieldJob } from "./field-job.js";

/** A call of a {@link FieldJob} by the operator or the host, as it stands in the journal. */
export type JobVerb =
  | "markA"
  | "markB"
  | "markHeading"
  | "usePattern"
  | "holdPass"
  | "skipPass"
  | "releasePass"
  | "setMaster"
  | "setOverride"
  | "setHeadlandRule"
  | "updateSecond"
  | "pause"
  | "resume";

/** every verb; fails to compile when one is missing or none of the job's */
const VERBS: Readonly<Record<JobVerb & keyof FieldJob, true>> = {
  markA: true,
  markB: true,
  markHeading: true,
  usePattern: true,
  holdPass: true,
  skipPass: true,
  releasePass: true,
  setMaster: true,
  setOverride: true,
  setHeadlandRule: true,
  updateSecond: true,
  pause: true,
  resume: true,
};

/** Those after which the job works by other settings than before. */
const SETTINGS: ReadonlySet<string> = new Set<JobVerb>(["markB", "markHeading", "usePattern", "setHeadlandRule"]);

/** Whether a verb of this name is known. */
export function isVerb(name: unknown): name is JobVerb {
  return typeof name === "string" && Object.hasOwn(VERBS, name);
}

/**
 * Do what a record says, and tell whether settings changed by it.
 *
 * @param job - to be called
 * @param verb - which call
 * @param values - its arguments, as they stand in the record
 * @returns what the call returned, and whether the job now works by other settings
 * @throws what the call throws: the same, live and read back
 */
export function applyVerb(
  job: FieldJob,
  verb: JobVerb,
  values: readonly unknown[],
): { readonly result: unknown; readonly changed: boolean } {
  const before = job.pattern;
  const result = (job as unknown as Record<JobVerb, (...values: unknown[]) => unknown>)[verb](...values);
  const marks = verb === "markB" || verb === "markHeading";
  return { result, changed: SETTINGS.has(verb) && !(marks && job.pattern === before) };
}
