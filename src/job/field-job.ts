import { CoverageRecord } from "../coverage/index.js";
import { requireSize } from "../coverage/polygon-runs.js";
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
import {
  antennaToReference,
  HeadingEstimator,
  type HeadingInput,
  type HeadingOptions,
  leverArm,
  type Machine,
  machine,
} from "../machine/index.js";
import { type Fix, FixMonitor } from "../receiver/index.js";
import {
  type Boom,
  boom,
  type HeadlandRule,
  SectionControl,
  type SectionControlOptions,
  type SectionInput,
  type SectionOverride,
} from "../sections/index.js";
import { checkDefinition } from "./check-definition.js";
import type { JobDefinition } from "./job-definition.js";
import type { JobReport } from "./job-report.js";
import { checkSnapshot, type JobSnapshot } from "./job-snapshot.js";
import { JobAccount } from "./job-account.js";
import type { JobState, SwitchEvent } from "./job-state.js";

type Writable<T> = { -readonly [K in keyof T]: T[K] };

/** What is farther from 1970 than this is no time, s; the monitor has the same bound. */
const LATEST = 1e12;
/** A longer silence than this is no working time: the receiver or the machine was switched off, s. */
const LONGEST_SILENCE = 60;

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
  readonly #machine: Machine;
  readonly #boom: Boom;
  // replaced as a whole when a job is restored
  #coverage: CoverageRecord;
  #monitor: FixMonitor;
  #estimator: HeadingEstimator;
  #follower: PassFollower;
  #marker: LineMarker;
  #control: SectionControl;
  readonly #account = new JobAccount();
  readonly #state: Writable<JobState>;
  readonly #place = new Float64Array(3);
  readonly #motion: Writable<HeadingInput> = { time: 0, x: 0, y: 0 };
  readonly #sections: Writable<SectionInput> = { time: 0, x: 0, y: 0, heading: 0, speed: 0, usable: false };
  readonly #ordered: boolean[];
  #started = false;
  #startTime = 0;
  #master = true;
  #paused = false;
  // a place is known; it may be joined with the next one; a heading is known
  #located = false;
  #joined = false;
  #headed = false;

  /**
   * @param definition - all that the job is set up with
   * @throws `FeeringError` for what is wrong in it, with the argument's path
   */
  constructor(definition: JobDefinition) {
    this.#definition = checkDefinition(definition);
    this.frame = localFrame(definition.origin);
    this.#machine = machine(definition.machine);
    this.#boom = boom(definition.boom);
    this.#coverage = new CoverageRecord(definition.coverage);
    // found now, not by the report at the end of the day
    this.#definition.field?.forEach(({ exterior }, i) => {
      requireSize([exterior], `definition.field[${i}]`, 1 / this.#coverage.cellSize);
    });
    this.#monitor = new FixMonitor(definition.fixes);
    this.#estimator = new HeadingEstimator(this.#headingOptions());
    this.#follower = new PassFollower(definition.pattern ?? null, this.#followerOptions());
    this.#marker = new LineMarker();
    this.#control = new SectionControl(this.#controlOptions());
    this.#account.useLine(this.#follower.pattern?.line ?? null);
    this.#ordered = this.#boom.sections.map(() => false);
    this.#state = {
      time: 0,
      paused: false,
      fix: this.#monitor.check(Number.NaN),
      x: 0,
      y: 0,
      motion: this.#estimator.update({ time: Number.NaN, x: 0, y: 0 }),
      guidance: this.#follower.state,
      sections: this.#control.setMaster(true),
      totals: this.#account.totals,
    };
    this.state = this.#state;
  }

  /** What the job was set up with; its pattern is the one now in force. */
  get definition(): JobDefinition {
    const { pattern: _, ...rest } = this.#definition;
    const pattern = this.#follower.pattern;
    return pattern === null ? rest : { ...rest, pattern };
  }

  /** The record of the ground worked. */
  get coverage(): CoverageRecord {
    return this.#coverage;
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
    const elapsed = this.#elapsed(fix?.time);
    if (status === "good" || status === "recovering" || status === "poor-quality") this.#locate(fix, reversing);
    else this.#joined = false;
    const input = this.#sections;
    input.time = state.time;
    input.x = state.x;
    input.y = state.y;
    input.heading = state.motion.heading;
    input.speed = state.motion.speed;
    input.yawRate = state.motion.yawRate;
    input.usable = worth.usable && this.#headed;
    input.reason = status === "stale" ? "stale" : "position";
    input.connected = worth.connected;
    state.sections = this.#control.update(input);
    if (!this.#paused) {
      const switches = this.#collectOrders();
      this.#account.add(state, fix?.quality ?? 0, elapsed, this.#joined, this.#follower.pattern !== null, switches);
    }
    return state;
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
    if (worth.usable) state.sections = this.#control.tick(time);
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
    this.#state.sections = this.#control.setMaster(on && !this.#paused);
    this.#collectOrders();
  }

  /**
   * The operator's wish for one section.
   *
   * @param section - index from the left, from 0
   * @param override - by the rule, on, or off
   * @throws `FeeringError` `out-of-range` for no section or no override
   */
  setOverride(section: number, override: SectionOverride): void {
    this.#state.sections = this.#control.setOverride(section, override);
    this.#collectOrders();
  }

  /**
   * Which ground is worked from the next fix on.
   *
   * @param rule - headland, mainfield or both
   * @throws `FeeringError` `out-of-range` for anything else
   */
  setHeadlandRule(rule: HeadlandRule): void {
    this.#control.setHeadlandRule(rule);
  }

  /** Pause: all sections off, and neither time nor way counts, until {@link FieldJob.resume}. Product on its way still lands and is marked. */
  pause(): void {
    this.#state.sections = this.#control.setMaster(false);
    this.#collectOrders();
    this.#paused = true;
    this.#state.paused = true;
    this.#account.breakOff();
  }

  /** Take up again where {@link FieldJob.pause} left off. */
  resume(): void {
    this.#paused = false;
    this.#state.paused = false;
    this.#state.sections = this.#control.setMaster(this.#master);
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
      startTime: this.#startTime,
      endTime: this.#state.time,
      totals: { ...this.#account.totals },
      workedTwiceArea: this.#coverage.areas().workedTwice,
      field: field === undefined ? null : this.#coverage.areasWithin(field),
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
    const flag = Number;
    return {
      version: 1,
      definition: this.definition,
      monitor: this.#monitor.snapshot(),
      motion: this.#estimator.snapshot(),
      follower: this.#follower.snapshot(),
      marker: this.#marker.snapshot(),
      sections: this.#control.snapshot(),
      coverage: this.#coverage.snapshot(),
      account: this.#account.snapshot(),
      numbers: [
        ...[this.#started, this.#master, this.#paused, this.#located, this.#joined, this.#headed].map(flag),
        this.#startTime,
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
    job.#coverage = CoverageRecord.restore(snapshot.coverage);
    job.#monitor = FixMonitor.restore(snapshot.monitor, snapshot.definition.fixes);
    job.#estimator = HeadingEstimator.restore(snapshot.motion, job.#headingOptions());
    job.#follower = PassFollower.restore(snapshot.follower, pattern, job.#followerOptions());
    job.#marker = LineMarker.restore(snapshot.marker);
    job.#control = SectionControl.restore(snapshot.sections, job.#controlOptions());
    job.#account.restore(snapshot.account);
    job.#started = n[0] === 1;
    job.#master = n[1] === 1;
    job.#paused = n[2] === 1;
    job.#located = n[3] === 1;
    job.#joined = n[4] === 1;
    job.#headed = n[5] === 1;
    job.#startTime = n[6]!;
    const state = job.#state;
    state.time = n[7]!;
    state.x = n[8]!;
    state.y = n[9]!;
    state.paused = job.#paused;
    state.fix = job.#monitor.state;
    state.motion = job.#estimator.state;
    state.guidance = job.#follower.state;
    state.sections = job.#control.state;
    for (let i = 0; i < job.#ordered.length; i++) job.#ordered[i] = state.sections.ordered[i]!;
    return job;
  }

  #headingOptions(): HeadingOptions {
    const { x, y } = this.#machine.antenna;
    return { ...this.#definition.heading, antenna: { x, y } };
  }

  #followerOptions(): FollowerOptions {
    const { following, field } = this.#definition;
    return { ...following, ...(field === undefined ? {} : { field }) };
  }

  #controlOptions(): SectionControlOptions {
    const { field, headland, closed, sections } = this.#definition;
    return {
      boom: this.#boom,
      coverage: this.#coverage,
      ...(field === undefined ? {} : { field }),
      ...(headland === undefined ? {} : { headland }),
      ...(closed === undefined ? {} : { closed }),
      ...(sections === undefined ? {} : { settings: sections }),
    };
  }

  #here(): Point {
    return this.#located ? [this.#state.x, this.#state.y] : [Number.NaN, Number.NaN];
  }

  #takeLine(result: MarkResult): MarkResult {
    if (result.outcome === "marked" && result.line !== null) {
      const sections = this.#boom.sections;
      const swathWidth = this.#definition.swathWidth ?? sections[sections.length - 1]!.right - sections[0]!.left;
      this.usePattern(guidancePattern(result.line, { swathWidth }));
    }
    return result;
  }

  /** s since the last fix; 0 at the first, after a clock set anew, after a long silence */
  #elapsed(time: number): number {
    const state = this.#state;
    if (!Number.isFinite(time) || !(Math.abs(time) <= LATEST)) return 0;
    const elapsed = time - state.time;
    state.time = time;
    if (!this.#started) {
      this.#started = true;
      this.#startTime = time;
      return 0;
    }
    return elapsed > 0 && elapsed <= LONGEST_SILENCE ? elapsed : 0;
  }

  /** place, heading and pass from a fix that has a position */
  #locate(fix: Fix, reversing: boolean | undefined): void {
    const state = this.#state;
    const place = this.#place;
    const frame = this.frame;
    frame.toLocalInto(fix.latitude, fix.longitude, place);
    const antennaX = place[0]!;
    const antennaY = place[1]!;
    if (!Number.isFinite(antennaX) || !Number.isFinite(antennaY)) {
      this.#joined = false;
      return;
    }
    const input = this.#motion;
    input.time = fix.time;
    input.x = antennaX;
    input.y = antennaY;
    input.speed = fix.speed;
    input.course = known(fix.course) ? frame.headingToLocal(fix.course, fix) : undefined;
    input.heading = known(fix.heading) ? frame.headingToLocal(fix.heading, fix) : undefined;
    input.reversing = reversing;
    input.connected = this.#joined;
    const motion = this.#estimator.update(input);
    state.motion = motion;
    this.#headed = motion.source !== "none";
    if (this.#headed) {
      const { roll, pitch } = fix;
      antennaToReference(
        this.#machine,
        antennaX,
        antennaY,
        0,
        motion.heading,
        known(pitch) ? pitch : 0,
        known(roll) ? roll : 0,
        place,
      );
    }
    state.x = place[0]!;
    state.y = place[1]!;
    this.#located = true;
    this.#joined = true;
    const heading = this.#headed ? motion.heading : Number.NaN;
    state.guidance = this.#follower.update(state.x, state.y, heading, motion.reversing);
  }

  /** all sections off, for want of a position */
  #stop(time: number): void {
    const input = this.#sections;
    input.time = time;
    input.usable = false;
    input.reason = "stale";
    this.#state.sections = this.#control.update(input);
  }

  /** orders that changed since the last look: counted and told */
  #collectOrders(): number {
    const state = this.#state;
    const ordered = state.sections.ordered;
    let changes = 0;
    for (let i = 0; i < ordered.length; i++) {
      if (ordered[i] === this.#ordered[i]) continue;
      this.#ordered[i] = ordered[i]!;
      changes++;
      if (this.onSwitch !== null) this.#tell(i);
    }
    this.#account.totals.switches += changes;
    return changes;
  }

  #tell(i: number): void {
    const state = this.#state;
    const section = this.#boom.sections[i]!;
    const place = this.#place;
    // the section's middle is a place on the machine: x ahead, y right
    leverArm(state.motion.heading, 0, 0, this.#boom.x, (section.left + section.right) / 2, 0, place);
    this.onSwitch?.({
      time: state.time,
      section: i,
      on: this.#ordered[i]!,
      reason: state.sections.reasons[i]!,
      pass: state.guidance.pass,
      x: state.x + place[0]!,
      y: state.y + place[1]!,
    });
  }
}

/** a value that a fix has */
function known(value: number | undefined): value is number {
  return Number.isFinite(value);
}
