import type { CoverageRecord } from "../coverage/index.js";
import { requireSize } from "../coverage/polygon-runs.js";
import { FeeringError } from "../errors/index.js";
import { type LocalFrame, localFrame } from "../frames/index.js";
import type { Point } from "../geometry/index.js";
import {
  type FollowerOptions,
  type GuidancePattern,
  guidancePattern,
  type LineLabels,
  LineMarker,
  type LinePreview,
  type MarkResult,
  PassFollower,
} from "../guidance/index.js";
import { arcAhead } from "../machine/arc-ahead.js";
import { machine, sideShift, TowedImplement } from "../machine/index.js";
import { type Fix, FixMonitor } from "../receiver/index.js";
import type { HeadlandRule, SectionOverride, SectionStep } from "../sections/index.js";
import { type BoomWork, makeBooms, restoreBooms } from "./boom-work.js";
import { checkDefinition } from "./check-definition.js";
import type { JobDefinition } from "./job-definition.js";
import type { JobReport } from "./job-report.js";
import { checkSnapshot, type JobSnapshot } from "./job-snapshot.js";
import { JobAccount } from "./job-account.js";
import { JobClock } from "./job-clock.js";
import type { JobState, SwitchEvent } from "./job-state.js";
import { Positioner } from "./positioner.js";

type Writable<T> = { -readonly [K in keyof T]: T[K] };

/**
 * A whole job in one object: fixes in, guidance, section states and a record out.
 *
 * It owns no clock, no port and no file. {@link FieldJob.update} takes one fix, {@link FieldJob.tick} a time without one; neither throws or
 * allocates, whatever comes in. What is at fault is said in the state: `fix.status` for the position, `motion.reason` for the
 * heading, `guidance.status`, and one reason for each section. Sections are off whenever the position can't be trusted.
 *
 * Positions are taken at the frame's own altitude, so that the plan of a field does not depend on heights (a boundary
 * without altitudes and fixes with them fit).
 *
 * @example
 * ```ts
 * const job = new FieldJob({
 *   origin: { latitude: 47.25, longitude: 20.75, altitude: 128 },
 *   machine: { antenna: { x: 1.2, y: 0, z: -3 } },
 *   boom: { sections: evenSections(24, 8), x: -2, turnOnTime: 0.4, turnOffTime: 0.2 },
 *   pattern: guidancePattern(straightLine([0, 0], [0, 400]), { swathWidth: 24 }),
 * });
 * for (const fix of reader.push(bytes)) {
 *   const state = job.update(fix);
 *   state.guidance.crossTrackError; // m, machine right of the line positive
 *   state.sections.ordered[0]; // leftmost section
 * }
 * ```
 */
export class FieldJob {
  /** the local frame of all planar shapes and results */
  readonly frame: LocalFrame;
  /** where the job stands; overwritten by the next call */
  readonly state: JobState;
  /** called with each order to a section, during the call that gives it; it must not throw */
  onSwitch: ((event: SwitchEvent) => void) | null = null;

  readonly #definition: JobDefinition;
  readonly #booms: readonly BoomWork[];
  readonly #positioner: Positioner;
  readonly #ahead = new Float64Array(3);
  readonly #latency: number;
  readonly #guideImplement: boolean;
  readonly #account = new JobAccount();
  readonly #clock = new JobClock();
  readonly #state: Writable<JobState>;
  // replaced as a whole when a job is restored
  #monitor: FixMonitor;
  #implement: TowedImplement | null;
  #follower: PassFollower;
  #marker: LineMarker;
  #onStep: ((step: SectionStep, boom: number) => void) | null = null;
  #master = true;
  #paused = false;

  /**
   * @param definition - all that the job is set up with
   * @throws `FeeringError` for what is wrong in it, with the argument's path
   */
  constructor(definition: JobDefinition) {
    this.#definition = checkDefinition(definition);
    this.frame = localFrame(definition.origin);
    this.#positioner = new Positioner(this.frame, machine(definition.machine), this.#definition.heading);
    this.#booms = makeBooms(this.#definition);
    // found now, not by the report at the end of the day
    for (const { coverage } of this.#booms) {
      this.#definition.field?.forEach(({ exterior }, i) => {
        requireSize([exterior], `definition.field[${i}]`, 1 / coverage.cellSize);
      });
    }
    const { towed, guide, latency = 0 } = this.#definition;
    this.#implement = towed === undefined ? null : new TowedImplement(towed, towed);
    this.#guideImplement = guide === "implement";
    this.#latency = latency;
    this.#monitor = new FixMonitor(definition.fixes);
    this.#follower = new PassFollower(definition.pattern ?? null, this.#followerOptions());
    this.#marker = new LineMarker();
    this.#account.useLine(this.#follower.pattern?.line ?? null);
    for (const work of this.#booms) work.control.setMaster(true);
    this.#state = {
      time: 0,
      paused: false,
      fix: this.#monitor.check(Number.NaN),
      x: 0,
      y: 0,
      motion: this.#positioner.motion,
      implement: this.#implement?.state ?? null,
      guidance: this.#follower.state,
      sections: this.#first.states,
      furtherSections: this.#booms.slice(1).map((work) => work.states),
      totals: this.#account.totals,
    };
    this.state = this.#state;
  }

  /**
   * Called with each step of each boom (the first is 0), during {@link FieldJob.update}, paused or not: all that a log of the work needs. It must not throw; the
   * step is overwritten by the next.
   */
  get onStep(): ((step: SectionStep, boom: number) => void) | null {
    return this.#onStep;
  }

  /** As read. */
  set onStep(tell: ((step: SectionStep, boom: number) => void) | null) {
    this.#onStep = tell;
    for (const work of this.#booms) work.listen(tell);
  }

  /** What the job was set up with; its pattern is the one now in force. */
  get definition(): JobDefinition {
    const { pattern: _, ...rest } = this.#definition;
    const pattern = this.#follower.pattern;
    return pattern === null ? rest : { ...rest, pattern };
  }

  /** The record of the ground worked, by the first boom. */
  get coverage(): CoverageRecord {
    return this.#first.coverage;
  }

  /** The record of each boom, the first one's at 0; booms that put out the same on one ground share theirs. */
  get coverages(): readonly CoverageRecord[] {
    return this.#booms.map((work) => work.coverage);
  }

  /** The pattern in force, null as long as there is none. */
  get pattern(): GuidancePattern | null {
    return this.#follower.pattern;
  }

  /**
   * Take one fix.
   *
   * A fix repeated or out of order changes nothing but `fix`. One without a good position keeps place, heading and pass as they were,
   * says so, and switches sections off; one of poor quality is still guided by, sections off.
   *
   * @param fix - from `NmeaReader` or any other source
   * @param reversing - the gear, where the host knows it; default worked out from the motion
   * @returns the job's own state, overwritten by the next call
   */
  update(fix: Fix, reversing?: boolean): JobState {
    // hot: once a fix
    const state = this.#state;
    const worth = this.#monitor.update(fix);
    state.fix = worth;
    const status = worth.status;
    if (status === "duplicate" || status === "out-of-order") {
      if (!worth.usable) this.#stop(state.time);
      return state;
    }
    const clock = this.#clock;
    clock.take(fix);
    state.time = clock.time;
    const positioner = this.#positioner;
    if (status === "good" || status === "recovering" || status === "poor-quality") this.#locate(fix, reversing);
    else positioner.joined = false;
    const booms = this.#booms;
    for (let i = 0; i < booms.length; i++) {
      const work = booms[i]!;
      const input = work.input;
      input.time = state.time;
      input.usable = worth.usable && positioner.headed && this.#placeBoom(work);
      input.reason = status === "stale" ? "stale" : "position";
      input.connected = worth.continuous;
      work.control.update(input);
    }
    if (!this.#paused) {
      for (let i = 0; i < booms.length; i++) booms[i]!.add();
      const switches = this.#collectOrders();
      const onPass = this.#follower.pattern !== null;
      this.#account.add(state, fix, clock, positioner.joined, onPass, switches);
    }
    return state;
  }

  /**
   * Take a fix of a second receiver on the same machine, only to compare the first with: where they are too far apart the next fixes of
   * the first are of poor quality, sections off. Never throws.
   *
   * @param fix - its time on the scale of the first receiver's
   */
  updateSecond(fix: Fix): void {
    this.#monitor.updateSecond(fix);
  }

  /**
   * Say what time it is when no fix comes: sections go off once the last good one is too old.
   *
   * @param time - s, by the clock of the fixes
   * @returns the job's own state, overwritten by the next call
   */
  tick(time: number): JobState {
    const state = this.#state;
    const worth = this.#monitor.check(time);
    state.fix = worth;
    if (worth.usable) for (const work of this.#booms) work.control.tick(time);
    else this.#stop(Number.isFinite(time) ? time : state.time);
    if (!this.#paused) this.#collectOrders();
    return state;
  }

  /**
   * Mark point A of a new line where the reference point is; the pattern in force stays until B is marked.
   *
   * @returns `marked`, or `not-finite` as long as there was no position
   */
  markA(): MarkResult {
    return this.#marker.markA(this.#here());
  }

  /**
   * Mark point B: from now on the passes of the new line are followed, beside each other by the swath width.
   *
   * @param labels - name, id and note of the line
   * @returns `marked` with the line, or why not
   */
  markB(labels: LineLabels = {}): MarkResult {
    return this.#takeLine(this.#marker.markB(this.#here(), labels));
  }

  /**
   * Instead of B: a line from A in a heading.
   *
   * @param heading - degrees clockwise from the frame's north
   * @param labels - name, id and note of the line
   * @returns `marked` with the line, or why not
   */
  markHeading(heading: number, labels: LineLabels = {}): MarkResult {
    return this.#takeLine(this.#marker.markHeading(heading, labels));
  }

  /**
   * The line that B marked here would make.
   *
   * @returns the marker's own preview, overwritten by the next call
   */
  previewLine(): LinePreview {
    return this.#marker.update(this.#state.x, this.#state.y);
  }

  /**
   * Follow another pattern, or the same shifted or renumbered.
   *
   * The report has rows of their own for the passes of another line: lines are told apart by their `id`, without one by
   * their `name`.
   *
   * @param pattern - from `guidancePattern`, `shiftPattern` and the like; null for none
   * @throws `FeeringError` for a damaged pattern; the old one stays
   */
  usePattern(pattern: GuidancePattern | null): void {
    this.#state.guidance = this.#follower.usePattern(pattern);
    this.#account.useLine(this.#follower.pattern?.line ?? null);
  }

  /**
   * Stay on a pass until {@link FieldJob.releasePass}.
   *
   * @param pass - its number; default the one followed now
   */
  holdPass(pass?: number): void {
    this.#state.guidance = this.#follower.hold(pass);
  }

  /**
   * Go on to a pass counted from the one followed now, and hold it.
   *
   * @param count - right positive in the line's own direction; default 1
   */
  skipPass(count = 1): void {
    this.#state.guidance = this.#follower.skip(count);
  }

  /** Follow the nearest pass again. */
  releasePass(): void {
    this.#state.guidance = this.#follower.release();
  }

  /**
   * The master switch: off orders all sections off at once.
   *
   * @param on - true at the start
   */
  setMaster(on: boolean): void {
    this.#master = on;
    for (const work of this.#booms) work.control.setMaster(on && !this.#paused);
    this.#collectOrders();
  }

  /**
   * The operator's wish for one section.
   *
   * @param section - index from the left, from 0
   * @param override - by the rule, on, or off
   * @param boom - which boom, the first one is 0; default 0
   * @throws `FeeringError` `out-of-range` for no section, no override or no boom
   */
  setOverride(section: number, override: SectionOverride, boom = 0): void {
    const work = this.#booms[boom];
    if (work === undefined) {
      const range = `0 to ${this.#booms.length - 1}`;
      throw new FeeringError("out-of-range", `boom is ${boom}, needs ${range}`, { argument: "boom", value: boom });
    }
    work.control.setOverride(section, override);
    this.#collectOrders();
  }

  /**
   * Which ground is worked from the next fix on.
   *
   * @param rule - headland, mainfield or both
   * @throws `FeeringError` `out-of-range` for anything else
   */
  setHeadlandRule(rule: HeadlandRule): void {
    for (const work of this.#booms) work.control.setHeadlandRule(rule);
  }

  /** Pause: all sections off, and neither time nor way counts, until {@link FieldJob.resume}. Product on its way still lands and is marked. */
  pause(): void {
    for (const work of this.#booms) work.control.setMaster(false);
    this.#collectOrders();
    this.#paused = true;
    this.#state.paused = true;
    this.#account.breakOff();
  }

  /** Take up again where {@link FieldJob.pause} left off. */
  resume(): void {
    this.#paused = false;
    this.#state.paused = false;
    for (const work of this.#booms) work.control.setMaster(this.#master);
  }

  /**
   * What was done so far.
   *
   * @returns a new plain object, safe in JSON
   */
  report(): JobReport {
    const field = this.#definition.field;
    return {
      labels: { ...this.#definition.labels },
      startTime: this.#clock.startTime,
      endTime: this.#state.time,
      totals: { ...this.#account.totals },
      workedTwiceArea: this.coverage.areas().workedTwice,
      field: field === undefined ? null : this.coverage.areasWithin(field),
      furtherBooms: this.#booms.slice(1).map((work) => work.report(field)),
      passes: this.#account.passes(),
      pattern: this.#follower.pattern,
      fixes: { ...this.#monitor.counts },
      secondsByQuality: this.#account.secondsByQuality(),
    };
  }

  /**
   * All that the job remembers, to be put away.
   *
   * @returns plain data and the bytes of the coverage record, nothing shared with the job
   */
  snapshot(): JobSnapshot {
    const state = this.#state;
    const { located, joined, headed } = this.#positioner;
    return {
      version: 2,
      definition: this.definition,
      monitor: this.#monitor.snapshot(),
      motion: this.#positioner.snapshot(),
      towed: this.#implement?.snapshot() ?? null,
      follower: this.#follower.snapshot(),
      marker: this.#marker.snapshot(),
      sections: this.#first.control.snapshot(),
      coverage: this.#first.coverage.snapshot(),
      furtherBooms: this.#booms.slice(1).map((work) => work.snapshot()),
      account: this.#account.snapshot(),
      numbers: [
        ...[this.#clock.started, this.#master, this.#paused, located, joined, headed].map(Number),
        this.#clock.startTime,
        state.time,
        state.x,
        state.y,
      ],
    };
  }

  /**
   * A job that goes on where another left off: the same pass, the same record, the same totals, and the same answers to the
   * same fixes, bit for bit.
   *
   * @param snapshot - from {@link FieldJob.snapshot}
   * @returns a new job
   * @throws `FeeringError` `bad-snapshot` when it is damaged, or what the definition in it throws
   */
  static restore(snapshot: JobSnapshot): FieldJob {
    checkSnapshot(snapshot);
    const job = new FieldJob(snapshot.definition);
    const n = snapshot.numbers;
    const pattern = snapshot.definition.pattern ?? null;
    job.#monitor = FixMonitor.restore(snapshot.monitor, snapshot.definition.fixes);
    job.#positioner.restore(snapshot.motion);
    const { towed } = job.#definition;
    if (towed !== undefined) job.#implement = TowedImplement.restore(snapshot.towed!, towed, towed);
    job.#follower = PassFollower.restore(snapshot.follower, pattern, job.#followerOptions());
    job.#marker = LineMarker.restore(snapshot.marker);
    restoreBooms(job.#booms, snapshot);
    job.#account.restore(snapshot.account);
    job.#clock.started = n[0] === 1;
    job.#master = n[1] === 1;
    job.#paused = n[2] === 1;
    job.#positioner.located = n[3] === 1;
    job.#positioner.joined = n[4] === 1;
    job.#positioner.headed = n[5] === 1;
    job.#clock.startTime = n[6]!;
    job.#clock.time = n[7]!;
    job.#positioner.x = n[8]!;
    job.#positioner.y = n[9]!;
    const state = job.#state;
    state.time = n[7]!;
    state.x = n[8]!;
    state.y = n[9]!;
    state.paused = job.#paused;
    state.fix = job.#monitor.state;
    state.motion = job.#positioner.motion;
    state.implement = job.#implement?.state ?? null;
    state.guidance = job.#follower.state;
    state.sections = job.#first.states;
    state.furtherSections = job.#booms.slice(1).map((work) => work.states);
    return job;
  }

  get #first(): BoomWork {
    return this.#booms[0]!;
  }

  #followerOptions(): FollowerOptions {
    const { following, field } = this.#definition;
    return { ...following, ...(field === undefined ? {} : { field }) };
  }

  #here(): Point {
    return this.#positioner.located ? [this.#state.x, this.#state.y] : [Number.NaN, Number.NaN];
  }

  #takeLine(result: MarkResult): MarkResult {
    if (result.outcome === "marked" && result.line !== null) {
      const sections = this.#first.boom.sections;
      const swathWidth = this.#definition.swathWidth ?? sections[sections.length - 1]!.right - sections[0]!.left;
      this.usePattern(guidancePattern(result.line, { swathWidth }));
    }
    return result;
  }

  /** place, heading and pass from a fix that has a position */
  #locate(fix: Fix, reversing: boolean | undefined): void {
    const positioner = this.#positioner;
    const joined = positioner.joined;
    if (!positioner.locate(fix, reversing)) return;
    const state = this.#state;
    const motion = positioner.motion;
    state.motion = motion;
    state.x = positioner.x;
    state.y = positioner.y;
    const { speed, yawRate } = motion;
    if (this.#implement !== null && positioner.headed) {
      this.#implement.update(fix.time, state.x, state.y, motion.heading, speed, yawRate, joined);
    }
    // what is steered for, where it will be when the fix comes in
    const ahead = this.#ahead;
    if (this.#guideImplement) this.#implement!.poseAhead(this.#latency, ahead);
    else if (this.#latency !== 0) arcAhead(state.x, state.y, motion.heading, speed, yawRate, this.#latency, ahead);
    else {
      // the same, with nothing handed over
      ahead[0] = state.x;
      ahead[1] = state.y;
      ahead[2] = motion.heading;
    }
    const heading = positioner.headed ? ahead[2]! : Number.NaN;
    state.guidance = this.#follower.update(ahead[0]!, ahead[1]!, heading, motion.reversing);
  }

  /** where a boom is; false where that is not known well enough to work by */
  #placeBoom(work: BoomWork): boolean {
    const state = this.#state;
    const implement = state.implement;
    if (work.onImplement && implement !== null) {
      work.place(implement.x, implement.y, implement.heading, implement.speed, implement.yawRate, 0);
      work.input.path = this.#implement!;
      return implement.status === "ok";
    }
    const { heading, speed, yawRate } = state.motion;
    const aside = work.height === 0 ? 0 : sideShift(work.height, this.#positioner.roll);
    work.place(state.x, state.y, heading, speed, yawRate, aside);
    return true;
  }

  /** all sections off, for want of a position */
  #stop(time: number): void {
    for (const work of this.#booms) work.stop(time);
  }

  /** orders that changed since the last look: counted and told */
  #collectOrders(): number {
    const pass = this.#state.guidance.pass;
    const booms = this.#booms;
    let changes = 0;
    for (let i = 0; i < booms.length; i++) changes += booms[i]!.collect(pass, this.onSwitch);
    this.#account.totals.switches += changes;
    return changes;
  }
}
