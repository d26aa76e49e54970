export type { Drive } from "./drive.js";
export type { CheckedGnssErrors, GnssErrorOptions, QualityChange, RandomChanges } from "./gnss-error-options.js";
export { type GnssError, GnssErrors, gnssErrors } from "./gnss-errors.js";
export type {
  Controller,
  NmeaSentence,
  PursuitController,
  Scenario,
  SimulatedArticulated,
  SimulatedBicycle,
  SimulatedTracked,
  SimulatedVehicle,
  StanleyController,
} from "./scenario.js";
export { Simulation, type SimulationState, type SimulationStatus } from "./simulation.js";
export type { DriveRecord } from "./drive-record.js";
export { simulate, type SimulateOptions, type SimulationResult } from "./simulate.js";
export { nmeaText } from "./nmea-text.js";
export { drivesOfPasses, type PassDrivesOptions } from "./drives-of-passes.js";
export {
  type AccuracyOptions,
  type AccuracyReport,
  accuracyReport,
  type RelativeAccuracy,
  type RunAccuracy,
} from "./accuracy-report.js";
export { type ErrorMeasures, errorMeasures } from "./error-measures.js";
export type { Track } from "./track-runs.js";
