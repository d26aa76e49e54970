export { CoverageRecord } from "./coverage-record.js";
export type { RowRuns } from "./row-runs.js";
export type {
  CellRunsOptions,
  ChangedTile,
  CoverageAreas,
  CoverageOptions,
  FieldCoverage,
  MergeOptions,
  MissedGround,
  OutlineOptions,
} from "./types.js";
