import { RADIANS } from "../geometry/angle.js";
import type { SimulationState } from "./simulation.js";

/** A drive as columns of one length, a row a fix. */
export interface DriveRecord {
  /** rows */
  readonly length: number;
  /** s since the start */
  readonly time: Float64Array;
  /** true place of the reference point, metres east */
  readonly x: Float64Array;
  /** true place of the reference point, metres north */
  readonly y: Float64Array;
  /** true heading, degrees */
  readonly heading: Float64Array;
  /** true speed, m/s, negative in reverse */
  readonly speed: Float64Array;
  /** true curvature, 1/m, right positive as the wheels stand; 0 at standstill */
  readonly curvature: Float64Array;
  /** where the steering truly stands, in the model's unit */
  readonly steering: Float64Array;
  /** true distance from the drives' line, metres, right of it in driving direction positive */
  readonly crossTrackError: Float64Array;
  /** true place of the towed implement's axle, metres east; NaN without one */
  readonly implementX: Float64Array;
  /** the same, metres north */
  readonly implementY: Float64Array;
  /** true heading of the implement, degrees; NaN without one */
  readonly implementHeading: Float64Array;
  /** reference point as the job last had it, metres east */
  readonly measuredX: Float64Array;
  /** reference point as the job last had it, metres north */
  readonly measuredY: Float64Array;
  /** heading as the job last had it, degrees */
  readonly measuredHeading: Float64Array;
  /** distance from the pass as the job last had it, metres, in the line's own direction; 0 without a pattern */
  readonly measuredError: Float64Array;
  /** quality of the fix of this instant */
  readonly quality: Float64Array;
  /** number of the drive, -1 on a joint */
  readonly drive: Float64Array;
  /** sections of the first boom at work */
  readonly sectionsWorking: Float64Array;
}

/** The columns in order. */
const NAMES = [
  "time",
  "x",
  "y",
  "heading",
  "speed",
  "curvature",
  "steering",
  "crossTrackError",
  "implementX",
  "implementY",
  "implementHeading",
  "measuredX",
  "measuredY",
  "measuredHeading",
  "measuredError",
  "quality",
  "drive",
  "sectionsWorking",
] as const satisfies readonly Exclude<keyof DriveRecord, "length">[];

/** Takes rows; the columns grow by half as they fill. */
export class DriveRecorder {
  private rows = 0;
  private columns: Float64Array[];

  constructor(room: number) {
    this.columns = NAMES.map(() => new Float64Array(Math.max(16, room)));
  }

  add(state: SimulationState): void {
    const row = this.rows++;
    if (row >= this.columns[0]!.length) this.grow();
    const { truth, implement, job } = state;
    const c = this.columns;
    c[0]![row] = state.time;
    c[1]![row] = truth.x;
    c[2]![row] = truth.y;
    c[3]![row] = truth.heading;
    c[4]![row] = truth.speed;
    c[5]![row] = truth.speed === 0 ? 0 : (truth.yawRate * RADIANS) / truth.speed;
    c[6]![row] = truth.steering;
    c[7]![row] = state.crossTrackError;
    c[8]![row] = implement === null ? Number.NaN : implement.x;
    c[9]![row] = implement === null ? Number.NaN : implement.y;
    c[10]![row] = implement === null ? Number.NaN : implement.heading;
    c[11]![row] = job.x;
    c[12]![row] = job.y;
    c[13]![row] = job.motion.heading;
    c[14]![row] = job.guidance.crossTrackError;
    c[15]![row] = state.fix.quality;
    c[16]![row] = state.drive;
    const { working } = job.sections;
    let count = 0;
    for (let i = 0; i < working.length; i++) if (working[i] === true) count++;
    c[17]![row] = count;
  }

  /** The rows so far, copied. */
  record(): DriveRecord {
    const entries = NAMES.map((name, i) => [name, this.columns[i]!.slice(0, this.rows)] as const);
    return { length: this.rows, ...Object.fromEntries(entries) } as DriveRecord;
  }

  private grow(): void {
    const room = Math.ceil(this.columns[0]!.length * 1.5);
    this.columns = this.columns.map((old) => {
      const grown = new Float64Array(room);
      grown.set(old);
      return grown;
    });
  }
}
