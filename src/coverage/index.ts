export { type CoverageAreas, type CoverageOptions, CoverageRecord } from "./coverage-record.js";
