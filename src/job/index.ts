export { FieldJob } from "./field-job.js";
export type { AccountSnapshot } from "./job-account.js";
export type { BoomSetup, JobDefinition, JobLabels } from "./job-definition.js";
export type { BoomReport, JobReport } from "./job-report.js";
export type { BoomSnapshot, JobSnapshot } from "./job-snapshot.js";
export type { BoomSums, JobState, JobTotals, PassedLine, PassReport, SwitchEvent } from "./job-state.js";
export type { PassLogEntry } from "./pass-log.js";
