import { FeeringError } from "../errors/index.js";
import type { CoverageRecord } from "../coverage/index.js";
import { FieldJob, type JobState } from "../job/index.js";
import { arcAhead } from "../machine/arc-ahead.js";
import { machine, TowedImplement, type TowedState, type VehicleModel, type VehicleState } from "../machine/index.js";
import type { Fix } from "../receiver/index.js";
import { BoomSwitch } from "./boom-switch.js";
import { makeRuns, type Run } from "./course.js";
import { CourseCursor } from "./course-cursor.js";
import { GroundTruth } from "./ground-truth.js";
import { type CheckedScenario, checkScenario, makeVehicle, type Scenario } from "./scenario.js";
import { SimulatedReceiver } from "./simulated-receiver.js";
import { Steering } from "./steering.js";

/**
 * How a simulation stands: `driving`; `waiting` it stands for want of a position; `finished` the end of the last drive was reached; `lost` no way was
 * made along the drives for a minute, as where the machine can't turn as tightly as they do; `timed-out`.
 */
export type SimulationStatus = "driving" | "waiting" | "finished" | "lost" | "timed-out";

/** Where a simulation stands: one object, overwritten with each step. */
export interface SimulationState {
  /** what it is doing */
  readonly status: SimulationStatus;
  /** s since the start; the fix of this instant is `fix` */
  readonly time: number;
  /** where the machine truly is */
  readonly truth: VehicleState;
  /** where its towed implement truly is; null without one */
  readonly implement: TowedState | null;
  /** true distance of the reference point from the drives' line, metres, right of it in driving direction positive */
  readonly crossTrackError: number;
  /** number of the drive; -1 on a joint between two */
  readonly drive: number;
  /** curvature that the steering was last told, 1/m */
  readonly command: number;
  /** what the receiver says of this instant, however late it comes in */
  readonly fix: Fix;
  /** what the job last made of the fixes that came in */
  readonly job: JobState;
}

type Writable<T> = { -readonly [K in keyof T]: T[K] };

/** No way along the drives for so long is lost, s. */
const LOST = 60;
/** Metres along the drives that count as way. */
const WAY = 0.1;

/**
 * A drive in closed loop, step by step, for drives of any length: one fix a step, and nothing kept but the present.
 *
 * Each step: the receiver takes a fix of where the machine truly is, with its errors; the fix that is due by now goes into a {@link FieldJob}; the steering law steers by what the job
 * makes of it, never by the truth; the machine drives on to the next fix. The job's own latency (`JobDefinition.latency`) may differ from the receiver's: so one sees what a wrong one costs.
 *
 * The same scenario gives the same drive, bit for bit. {@link Simulation.step} never throws and allocates nothing of its own but the record of new ground.
 *
 * @example
 * ```ts
 * const simulation = new Simulation(scenario);
 * while (simulation.step()) simulation.state.crossTrackError; // m, true
 * simulation.job.report();
 * ```
 */
export class Simulation {
  /** the job that ran along; its `onSwitch` is free to use */
  readonly job: FieldJob;
  /** where it stands; overwritten with each step */
  readonly state: SimulationState;

  private readonly scenario: CheckedScenario;
  private readonly runs: readonly Run[];
  private readonly vehicle: VehicleModel;
  private readonly receiver: SimulatedReceiver;
  private readonly steering: Steering;
  private readonly boom: BoomSwitch;
  private readonly implement: TowedImplement | null;
  private readonly truth: GroundTruth | null;
  private readonly cursor: CourseCursor;
  private readonly trueCursor: CourseCursor;
  private readonly own: Writable<SimulationState>;
  private readonly ahead = new Float64Array(3);
  private readonly interval: number;
  private readonly lateFixes: number;
  private readonly lateRest: number;
  private readonly maximumTime: number;
  private run = 0;
  private ticks = 0;
  private speed = 0.5;
  private target = 0.5;
  private located = 0.5;
  private progress = 0.5;
  private progressAt = 0.5;
  /** until when it stands before the run, s */
  private waitsUntil = 0.5;

  /**
   * @param scenario - drives, job, machine, receiver
   * @throws `FeeringError` for what is wrong in it, with the argument's path
   */
  constructor(scenario: Scenario) {
    const checked = checkScenario(scenario);
    this.scenario = checked;
    const { speed: working, turnSpeed: turning, acceleration, job } = checked;
    this.runs = makeRuns(checked.drives, { working, turning, acceleration });
    if (this.runs.length === 0) {
      throw new FeeringError("degenerate", "scenario.drives have no length", { argument: "scenario.drives" });
    }
    this.vehicle = makeVehicle(checked.vehicle);
    this.job = new FieldJob(job);
    this.receiver = new SimulatedReceiver(
      this.job.frame,
      machine(job.machine),
      checked.gnss,
      checked.seed,
      checked.startTime,
    );
    const { rate, latency } = this.receiver.errors.options;
    this.interval = 1 / rate;
    // a whole number of fixes late, and a rest of an interval
    this.lateFixes = Math.floor(latency * rate + 1e-9);
    this.lateRest = Math.max(0, latency - this.lateFixes * this.interval);
    this.steering = new Steering(checked);
    this.boom = new BoomSwitch(checked);
    const first = this.runs[0]!;
    this.cursor = new CourseCursor(first);
    this.trueCursor = new CourseCursor(first);
    this.speed = 0;
    this.target = 0;
    this.located = Number.NEGATIVE_INFINITY;
    this.progress = 0;
    this.progressAt = 0;
    this.waitsUntil = first.wait;
    this.maximumTime = checked.maximumTime ?? 600 + 3 * timeOf(this.runs);
    const start = checked.start ?? startOf(first);
    const truth = this.vehicle.place(start.x, start.y, start.heading);
    this.implement =
      job.towed === undefined ? null : new TowedImplement(job.towed, { heading: start.heading, ...job.towed });
    this.implement?.update(0, truth.x, truth.y, truth.heading, 0, 0, true);
    this.truth = checked.groundTruth ? new GroundTruth(job) : null;
    this.trueCursor.follow(truth.x, truth.y, 0);
    this.own = {
      status: "driving",
      time: 0,
      truth,
      implement: this.implement?.state ?? null,
      crossTrackError: this.trueCursor.crossTrackError,
      drive: this.trueCursor.driveAt(0),
      command: 0,
      fix: this.receiver.take(0, truth),
      job: this.job.state,
    };
    this.state = this.own;
  }

  /** The ground truly worked by the first boom; null unless the scenario asks for it. */
  get groundTruth(): CoverageRecord | null {
    return this.truth?.coverage ?? null;
  }

  /**
   * Drive on to the next fix. Once the simulation has ended it changes nothing.
   *
   * @returns whether it goes on
   */
  step(): boolean {
    // hot: once a fix
    const own = this.own;
    if (own.status !== "driving" && own.status !== "waiting") return false;
    // what was measured at the last step's end comes in, now or later
    this.drive(this.lateRest);
    this.takeIn(own.time + this.lateRest);
    this.drive(this.interval - this.lateRest);
    this.ticks++;
    own.time = this.ticks * this.interval;
    const { truth } = own;
    const { trueCursor } = this;
    trueCursor.follow(truth.x, truth.y, Math.abs(truth.speed) * this.interval);
    own.crossTrackError = trueCursor.crossTrackError;
    own.drive = trueCursor.driveAt(0);
    if (this.implement !== null) {
      this.implement.update(own.time, truth.x, truth.y, truth.heading, truth.speed, truth.yawRate, true);
    }
    if (this.truth !== null) {
      const carrier = this.truth.onImplement && own.implement !== null ? own.implement : truth;
      this.truth.update(carrier, own.job.sections.working);
    }
    own.fix = this.receiver.take(own.time, truth);
    if (own.status === "driving" && own.time - this.progressAt > LOST) own.status = "lost";
    if (own.time >= this.maximumTime && own.status !== "lost") own.status = "timed-out";
    return own.status === "driving" || own.status === "waiting";
  }

  /** The fix that is due by now goes into the job, and the driver looks at what it says; s since the start. */
  private takeIn(now: number): void {
    const { own, job, cursor, scenario } = this;
    const fix = this.receiver.late(this.lateFixes);
    if (fix === null) return;
    const run = this.runs[this.run]!;
    const state = job.update(fix, this.speed === 0 ? run.reversing : this.speed < 0);
    const { status } = state.fix;
    const { motion } = state;
    if (status === "good" || status === "recovering" || status === "poor-quality") {
      this.located = fix.time - scenario.startTime;
    }
    const age = now - this.located;
    const headed = motion.source !== "none";
    if (!(age <= scenario.coastTime + this.receiver.errors.options.latency)) {
      // stands and waits
      this.target = 0;
      own.status = "waiting";
      this.progressAt = now;
      return;
    }
    own.status = "driving";
    if (now < this.waitsUntil) {
      this.target = 0;
      this.progressAt = now;
      return;
    }
    const { ahead } = this;
    arcAhead(state.x, state.y, motion.heading, motion.speed, motion.yawRate, age, ahead);
    if (headed) {
      cursor.follow(ahead[0]!, ahead[1]!, Math.abs(this.speed) * this.interval);
      if (cursor.station > this.progress + WAY) {
        this.progress = cursor.station;
        this.progressAt = now;
      }
      if (cursor.beyond >= 0 && !this.next(now)) return;
      own.command = this.steering.curvature(
        cursor,
        ahead[0]!,
        ahead[1]!,
        ahead[2]!,
        this.speed,
        this.runs[this.run]!.reversing,
      );
    } else own.command = 0;
    const pace = Math.max(0, cursor.pace(scenario.acceleration));
    this.target = this.runs[this.run]!.reversing ? -pace : pace;
    this.boom.update(job, cursor, this.speed);
  }

  /** On to the next run; false when that was the last, or the machine is to stand before it. */
  private next(now: number): boolean {
    if (this.run + 1 >= this.runs.length) {
      this.own.status = "finished";
      this.target = 0;
      return false;
    }
    this.run++;
    const run = this.runs[this.run]!;
    this.cursor.begin(run);
    this.trueCursor.begin(run);
    this.cursor.follow(this.ahead[0]!, this.ahead[1]!, 0);
    this.progress = 0;
    this.progressAt = now;
    this.waitsUntil = now + run.wait;
    if (run.wait === 0) return true;
    this.target = 0;
    return false;
  }

  private drive(seconds: number): void {
    if (!(seconds > 0)) return;
    const before = this.speed;
    const most = this.scenario.acceleration * seconds;
    this.speed += Math.max(-most, Math.min(most, this.target - before));
    this.vehicle.step(this.own.command, (before + this.speed) / 2, seconds);
  }
}

function startOf(run: Run): { readonly x: number; readonly y: number; readonly heading: number } {
  const [x, y] = [run.x[0]!, run.y[0]!];
  const along = (Math.atan2(run.x[1]! - x, run.y[1]! - y) * 180) / Math.PI;
  return { x, y, heading: run.reversing ? along + 180 : along };
}

function timeOf(runs: readonly Run[]): number {
  let time = 0;
  for (const { wait, station, pace } of runs) {
    time += wait;
    for (let i = 0; i + 1 < station.length; i++) time += (station[i + 1]! - station[i]!) / pace[i]!;
  }
  return time;
}
