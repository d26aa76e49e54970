import type { PlanCheck, PlanOptions, PlanReason, PlanTotals } from "../../src/planning/index.js";
import type { Controller, GnssErrorOptions, SimulatedVehicle, SimulationStatus } from "../../src/simulation/index.js";

/** A field as the batch carries it. */
export interface BatchField {
  /** names it in results */
  readonly id: string;
  /** GeoJSON geometry in degrees, parsed; what could not be parsed is the text itself, and becomes an error of the job */
  readonly geometry: unknown;
}

/** What a field is planned and driven with. */
export interface BatchSettings {
  /** names them in results, one of a kind in its file */
  readonly id: string;
  /** machine, headland, order; places in it are metres from the field's first vertex */
  readonly plan: PlanOptions;
  /** for the simulated drive; all of it has defaults */
  readonly drive?: DriveSettings;
}

/** What a plan is driven with in simulation. */
export interface DriveSettings {
  /** sections of even width; default 8 */
  readonly sections?: number;
  /** default a bicycle of 2.8 m with a steering of 25 degrees a second */
  readonly vehicle?: SimulatedVehicle;
  /** default that of `simulate` */
  readonly controller?: Controller;
  /** default noise and drift of a centimetre each */
  readonly gnss?: GnssErrorOptions;
}

/** One field with one kind of settings: plain data. */
export interface Job {
  readonly field: BatchField;
  readonly settings: BatchSettings;
  /** what all chance of a simulated drive comes from */
  readonly seed: number;
  /** whether the plan is driven in simulation too */
  readonly simulate: boolean;
}

/** What became of a job: plain data, the same for the same job. */
export type JobResult = JobDone | JobError;

/** A job that was done. */
export interface JobDone {
  readonly status: "done";
  /** m² of the field, obstacles left out */
  readonly area: number;
  /** rounds of the headland */
  readonly rounds: number;
  /** ground by direction */
  readonly blocks: readonly { readonly mainfield: number; readonly heading: number; readonly swaths: number }[];
  readonly totals: PlanTotals;
  /** seconds that the plan was chosen by, and those of one direction in sequence */
  readonly cost: number;
  readonly plainCost: number;
  /** why it is empty, or a part of it */
  readonly reasons: readonly { readonly reason: PlanReason; readonly mainfield: number | null }[];
  readonly check: PlanCheck;
  /** null unless asked for, and where there is nothing to drive */
  readonly simulation: DriveResult | null;
}

/** A job that its input does not allow. */
export interface JobError {
  readonly status: "error";
  readonly error: {
    /** that of a `FeeringError`; `no-field` where there is no polygon; `unexpected` for anything else */
    readonly code: string;
    readonly message: string;
    readonly argument: string | null;
  };
}

/** The plan, driven; metres, m², seconds. Null for what could not be measured. */
export interface DriveResult {
  readonly status: SimulationStatus;
  readonly time: number;
  readonly distance: number;
  readonly workedArea: number;
  readonly overlapArea: number;
  readonly missedArea: number;
  readonly outsideArea: number;
  /** distance from the lines */
  readonly mean: number | null;
  readonly rms: number | null;
  readonly percentile95: number | null;
  readonly passToPass95: number | null;
}

/** A job that brought its worker down each time: told by the batch, not by the job. */
export interface JobFailed {
  readonly status: "failed";
  /** what happened at the last try */
  readonly reason: string;
  readonly tries: number;
}
