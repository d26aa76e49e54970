export { FieldJob } from "./field-job.js";
export type { AccountSnapshot } from "./job-account.js";
export type { JobDefinition, JobLabels } from "./job-definition.js";
export type { JobReport } from "./job-report.js";
export type { JobSnapshot } from "./job-snapshot.js";
export type { JobState, JobTotals, PassedLine, PassReport, SwitchEvent } from "./job-state.js";
export type { PassLogEntry } from "./pass-log.js";
