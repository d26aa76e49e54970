export { CoverageRecord } from "./coverage-record.js";
export { sharedArea } from "./shared-area.js";
export type { RowRuns } from "./row-runs.js";
export type {
  CellRunsOptions,
  CoverageAreas,
  CoverageOptions,
  FieldCoverage,
  MissedGround,
  OutlineOptions,
  TileAreas,
  TileOutlineOptions,
} from "./types.js";
