export { CoverageRecord } from "./coverage-record.js";
export type {
  ChangedTile,
  CoverageAreas,
  CoverageOptions,
  FieldCoverage,
  MergeOptions,
  MissedGround,
  OutlineOptions,
} from "./types.js";
