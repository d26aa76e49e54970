import { requireNumber, requireObject } from "../errors/index.js";
import type { CoverageRecord } from "../coverage/index.js";
import type { JobReport, SwitchEvent } from "../job/index.js";
import { type DriveRecord, DriveRecorder } from "./drive-record.js";
import { checkSentences, nmeaText } from "./nmea-text.js";
import type { NmeaSentence, Scenario } from "./scenario.js";
import { Simulation, type SimulationStatus } from "./simulation.js";

/** What is kept of a simulation. */
export interface SimulateOptions {
  /** NMEA 0183 sentences of every fix; default none */
  readonly nmea?: readonly NmeaSentence[];
  /** a row of the drive every so many fixes; 0 keeps none; default 1 */
  readonly recordEvery?: number;
}

/** A simulated drive. */
export interface SimulationResult {
  /** how it ended: `finished`, `lost` or `timed-out` */
  readonly status: SimulationStatus;
  /** s driven */
  readonly time: number;
  /** fixes taken */
  readonly fixes: number;
  /** the true drive and what was measured of it */
  readonly drive: DriveRecord;
  /** orders to sections */
  readonly events: readonly SwitchEvent[];
  /** what the job says it did */
  readonly report: JobReport;
  /** ground worked by the first boom as the job recorded it */
  readonly coverage: CoverageRecord;
  /** ground truly worked by it; null unless the scenario asks for it */
  readonly groundTruth: CoverageRecord | null;
  /** NMEA 0183 text of the drive; empty unless asked for */
  readonly nmea: string;
}

/**
 * Drive a scenario to its end: machine, steering law, receiver with its errors, sections and record in closed loop.
 *
 * Pure: the same scenario gives the same result, bit for bit, on the same engine. For drives too long to keep use {@link Simulation}, or `recordEvery`.
 *
 * @param scenario - drives, job, machine, receiver
 * @param options - what is kept
 * @returns the drive, true and measured, and what became of the job
 * @throws `FeeringError` for what is wrong in it, with the argument's path
 *
 * @example
 * ```ts
 * const { drive, report } = simulate({
 *   drives: [{ line: [[0, 0], [0, 400]] }],
 *   job: {
 *     origin: { latitude: 52, longitude: 5 },
 *     machine: { antenna: { x: 1, y: 0, z: -3 } },
 *     boom: { sections: evenSections(24, 8), x: -2, turnOnTime: 0.4 },
 *   },
 *   vehicle: { model: "bicycle", wheelbase: 2.8, maximumRate: 25, delay: 0.1 },
 *   gnss: { noise: 0.008, drift: 0.01 },
 * });
 * drive.crossTrackError; // m, a value a fix
 * report.totals.workedArea; // m²
 * ```
 */
export function simulate(scenario: Scenario, options: SimulateOptions = {}): SimulationResult {
  requireObject(options, "options");
  const { nmea = [], recordEvery = 1 } = options;
  checkSentences(nmea, "options.nmea");
  requireNumber(recordEvery, "options.recordEvery", { min: 0, max: 1e9 });
  const simulation = new Simulation(scenario);
  const { state, job } = simulation;
  const events: SwitchEvent[] = [];
  job.onSwitch = (event) => void events.push(event);
  const recorder = new DriveRecorder(recordEvery === 0 ? 0 : 4096);
  const pieces: string[] = [];
  let fixes = 0;
  const keep = (): void => {
    if (recordEvery > 0 && fixes % recordEvery === 0) recorder.add(state);
    if (nmea.length > 0) pieces.push(nmeaText(state.fix, nmea));
    fixes++;
  };
  keep();
  while (simulation.step()) keep();
  keep();
  return {
    status: state.status,
    time: state.time,
    fixes,
    drive: recorder.record(),
    events,
    report: job.report(),
    coverage: job.coverage,
    groundTruth: simulation.groundTruth,
    nmea: pieces.join(""),
  };
}
