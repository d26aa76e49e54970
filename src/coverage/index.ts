export {
  type CoverageAreas,
  type CoverageOptions,
  CoverageRecord,
  type FieldCoverage,
  type MissedGround,
  type OutlineOptions,
} from "./coverage-record.js";
