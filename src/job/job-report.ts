import type { FieldCoverage } from "../coverage/index.js";
import type { GuidancePattern } from "../guidance/index.js";
import type { FixStatus } from "../receiver/index.js";
import type { JobLabels } from "./job-definition.js";
import type { BoomSums, JobTotals, PassReport } from "./job-state.js";

/** What a further boom did. */
export interface BoomReport extends BoomSums {
  /** what it put out, as its setup says */
  readonly product?: string;
  /** ground that its record holds as worked twice or more, each spot once, m² */
  readonly workedTwiceArea: number;
  /** how the field's ground stands by its record; null without a field */
  readonly field: FieldCoverage | null;
}

/** What a job did: plain data, safe in JSON. */
export interface JobReport {
  /** names that rode along */
  readonly labels: JobLabels;
  /** s, first fix taken; 0 before there is one */
  readonly startTime: number;
  /** s, last fix taken */
  readonly endTime: number;
  /** totals */
  readonly totals: JobTotals;
  /** ground worked twice or more, each spot once, m² */
  readonly workedTwiceArea: number;
  /** how the field's ground stands; null without a field */
  readonly field: FieldCoverage | null;
  /** what each further boom did, in the order of the definition */
  readonly furtherBooms: readonly BoomReport[];
  /** one row for each pass on which something was worked: lines in the order in which they were first worked on, passes of a line rising */
  readonly passes: readonly PassReport[];
  /** pattern in force, null without one */
  readonly pattern: GuidancePattern | null;
  /** how many fixes had which status */
  readonly fixes: Readonly<Record<FixStatus, number>>;
  /** s of work by quality of the fix, index 0 to 8 as GGA and ISO 11783-10 number it */
  readonly secondsByQuality: readonly number[];
}
