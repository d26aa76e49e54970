import type { CoverageRecord } from "../coverage/index.js";
import { FeeringError } from "../errors/index.js";
import type { LocalFrame } from "../frames/index.js";
import type { GuidancePattern, LineLabels, LinePreview, MarkResult } from "../guidance/index.js";
import { Journal, type JournalStorage, type StorageState } from "../journal/index.js";
import type { Fix } from "../receiver/index.js";
import type { HeadlandRule, SectionOverride, SectionStep } from "../sections/index.js";
import { decodeExact, encodeExact } from "./exact-json.js";
import { FieldJob } from "./field-job.js";
import type { JobDefinition } from "./job-definition.js";
import type { JobReport } from "./job-report.js";
import type { JobSnapshot } from "./job-snapshot.js";
import type { JobState, SwitchEvent } from "./job-state.js";
import { applyVerb, type JobVerb } from "./job-verbs.js";
import { plainFix } from "./plain-fix.js";
import { powerGap } from "./power-gap.js";
import { InputRecorder, type VerbBody } from "./record-body.js";
import { checkOptions, type CheckedOptions, type RecordOptions } from "./record-options.js";
import { type KeptJob, recoverJob, type RecoveryReport } from "./recover-job.js";

/** Records without a time that is new, as ticks of a clock that stands, are synced after this many. */
const MOST_PENDING = 256;
/** Times of fixes have no more than microseconds: 20 steps of 0.05 s are a second, whatever the rounding, s. */
const ROUNDING = 1e-6;
/** Longest step that counts towards the next snapshot, s: a clock that jumps must not ask for one with each fix. */
const LONGEST_STEP = 1;
/** switches that a cab has as such: safe with the next fix, so that a row of them is one sync */
const SWITCHES: ReadonlySet<JobVerb> = new Set<JobVerb>(["setMaster", "setOverride"]);

/**
 * A {@link FieldJob} that survives a power cut: every fix, tick and act of the operator goes into a journal before it is done.
 *
 * Opened again it is the newest good snapshot with all recorded after it done once more, which gives the same job bit for bit up to the last record that
 * is safe: at most `syncInterval` of work is lost, and what is lost counts as not worked. Then comes the gap: sections off, nothing marked that was in
 * the air, nothing joined across it.
 *
 * A storage that fails never stops the job: no call of the loop throws for it, {@link RecordedJob.storage} says what is the matter, and it is tried again with
 * every sync.
 *
 * @example
 * ```ts
 * const storage = fileStorage(fs, "jobs/pond-piece");
 * const job = storage.list().length === 0 ? RecordedJob.create(storage, definition) : RecordedJob.open(storage);
 * for (const fix of reader.push(bytes)) job.update(fix);
 * if (job.storage.status === "failing") warn(job.storage.reason);
 * ```
 */
export class RecordedJob implements Pick<FieldJob, keyof FieldJob> {
  /** what was recovered and what was lost when the job was opened; null for a new job */
  readonly recovery: RecoveryReport | null;

  readonly #job: FieldJob;
  readonly #journal: Journal;
  readonly #recorder: InputRecorder;
  readonly #syncInterval: number;
  readonly #snapshotInterval: number;
  readonly #software: string;
  readonly #keepAll: boolean;
  #settingsVersion: number;
  /** time of the last record that has one, s */
  #time = Number.NaN;
  #sinceSync = 0;
  #sinceSnapshot = 0;
  #records = 0;
  /** journal file that says what the job works by */
  #described = 0;

  private constructor(
    job: FieldJob,
    journal: Journal,
    options: CheckedOptions,
    settingsVersion: number,
    recovery: RecoveryReport | null,
  ) {
    this.#job = job;
    this.#journal = journal;
    this.#recorder = new InputRecorder(journal);
    this.#syncInterval = options.syncInterval;
    this.#snapshotInterval = options.snapshotInterval;
    this.#software = options.software;
    this.#keepAll = options.keepJournals === true;
    this.#settingsVersion = settingsVersion;
    this.recovery = recovery;
  }

  /**
   * Begin a job and its record.
   *
   * @param storage - empty of jobs; one storage each
   * @param definition - all that the job is set up with
   * @param options - how it is recorded
   * @returns the job; where the storage fails its state says so
   * @throws `FeeringError` what {@link FieldJob} throws; `wrong-state` when there is a job in the storage already or it can't list its files; `not-finite` or
   * `out-of-range` for an option; `bad-format` for a definition that is no plain data
   */
  static create(storage: JournalStorage, definition: JobDefinition, options: RecordOptions = {}): RecordedJob {
    const checked = checkOptions(options);
    const fresh = new FieldJob(definition);
    let bytes: Uint8Array;
    try {
      bytes = keptBytes(fresh, 0, checked);
    } catch (cause) {
      throw new FeeringError("bad-format", "definition is no plain data", { argument: "definition", cause });
    }
    // as it will be read back
    const job = FieldJob.restore((decodeExact(bytes) as KeptJob).job);
    const journal = Journal.start(storage, bytes, checked);
    const recorded = new RecordedJob(job, journal, checked, 0, null);
    recorded.#describe();
    return recorded;
  }

  /**
   * Open a job that was recorded before, whatever became of the program meanwhile.
   *
   * @param storage - where it was kept
   * @param options - how it is recorded from now on
   * @returns the job as it was at the last record that is safe, then a gap; {@link RecordedJob.recovery} says what was found
   * @throws `FeeringError` `wrong-state` for a storage without a job or one that can't list its files; `bad-snapshot` when there is no snapshot that
   * can be used; `not-finite` or `out-of-range` for an option. Nothing in the storage is changed then
   */
  static open(storage: JournalStorage, options: RecordOptions = {}): RecordedJob {
    const checked = checkOptions(options);
    const { job, settingsVersion, report, place } = recoverJob(storage);
    const journal = Journal.resume(storage, place, checked);
    const recorded = new RecordedJob(job, journal, checked, settingsVersion, report);
    recorded.#recorder.gap(job.state.time);
    powerGap(job);
    recorded.checkpoint();
    return recorded;
  }

  /** Whether what is recorded is safe; overwritten by the next call. */
  get storage(): StorageState {
    return this.#journal.state;
  }

  /** How often pattern or settings were changed since the job began; it stands beside each act in the record. */
  get settingsVersion(): number {
    return this.#settingsVersion;
  }

  /** The local frame of all planar shapes and results. */
  get frame(): LocalFrame {
    return this.#job.frame;
  }

  /** Where the job stands; overwritten by the next call. */
  get state(): JobState {
    return this.#job.state;
  }

  /** What the job was set up with; its pattern is the one now in force. */
  get definition(): JobDefinition {
    return this.#job.definition;
  }

  /** The record of the ground worked, by the first boom; read only: what is marked past the job is not recorded. */
  get coverage(): CoverageRecord {
    return this.#job.coverage;
  }

  /** The record of each boom. */
  get coverages(): readonly CoverageRecord[] {
    return this.#job.coverages;
  }

  /** The pattern in force, null as long as there is none. */
  get pattern(): GuidancePattern | null {
    return this.#job.pattern;
  }

  /** As {@link FieldJob.onSwitch}; not called for what is done again when a job is opened. */
  get onSwitch(): ((event: SwitchEvent) => void) | null {
    return this.#job.onSwitch;
  }

  /** As {@link FieldJob.onSwitch}. */
  set onSwitch(tell: ((event: SwitchEvent) => void) | null) {
    this.#job.onSwitch = tell;
  }

  /** As {@link FieldJob.onStep}; not called for what is done again when a job is opened. */
  get onStep(): ((step: SectionStep, boom: number) => void) | null {
    return this.#job.onStep;
  }

  /** As {@link FieldJob.onStep}. */
  set onStep(tell: ((step: SectionStep, boom: number) => void) | null) {
    this.#job.onStep = tell;
  }

  /**
   * As {@link FieldJob.update}, recorded first.
   *
   * @param fix - from `NmeaReader` or any other source
   * @param reversing - the gear, where the host knows it
   * @returns the job's own state, overwritten by the next call
   */
  update(fix: Fix, reversing?: boolean): JobState {
    // hot: once a fix
    const odd = this.#recorder.fix(fix, reversing);
    const state = odd === null ? this.#job.update(fix, reversing) : this.#job.update(odd.fix, odd.reversing);
    this.#keep(state.time);
    return state;
  }

  /**
   * As {@link FieldJob.updateSecond}, recorded first; safe with the next sync.
   *
   * @param fix - of the second receiver
   */
  updateSecond(fix: Fix): void {
    this.#act("updateSecond", [plainFix(fix)]);
  }

  /**
   * As {@link FieldJob.tick}, recorded first.
   *
   * @param time - s, by the clock of the fixes
   * @returns the job's own state, overwritten by the next call
   */
  tick(time: number): JobState {
    // what is no number tells no time
    const told = typeof time === "number" ? time : Number.NaN;
    this.#recorder.tick(told);
    const state = this.#job.tick(told);
    this.#keep(told);
    return state;
  }

  /**
   * As {@link FieldJob.markA}, recorded first.
   *
   * @returns `marked`, or why not
   */
  markA(): MarkResult {
    return this.#act("markA", []) as MarkResult;
  }

  /**
   * As {@link FieldJob.markB}, recorded first.
   *
   * @param labels - name, id and note of the line
   * @returns `marked` with the line, or why not
   */
  markB(labels: LineLabels = {}): MarkResult {
    return this.#act("markB", [labels]) as MarkResult;
  }

  /**
   * As {@link FieldJob.markHeading}, recorded first.
   *
   * @param heading - degrees clockwise from the frame's north
   * @param labels - name, id and note of the line
   * @returns `marked` with the line, or why not
   */
  markHeading(heading: number, labels: LineLabels = {}): MarkResult {
    return this.#act("markHeading", [heading, labels]) as MarkResult;
  }

  /**
   * As {@link FieldJob.previewLine}; changes nothing, and is not recorded.
   *
   * @returns the marker's own preview, overwritten by the next call
   */
  previewLine(): LinePreview {
    return this.#job.previewLine();
  }

  /**
   * As {@link FieldJob.usePattern}, recorded first.
   *
   * @param pattern - from `guidancePattern`, `shiftPattern` and the like; null for none
   * @throws `FeeringError` for a damaged pattern; the old one stays
   */
  usePattern(pattern: GuidancePattern | null): void {
    this.#act("usePattern", [pattern]);
  }

  /**
   * As {@link FieldJob.holdPass}, recorded first.
   *
   * @param pass - its number; default the one followed now
   */
  holdPass(pass?: number): void {
    this.#act("holdPass", [pass]);
  }

  /**
   * As {@link FieldJob.skipPass}, recorded first.
   *
   * @param count - right positive in the line's own direction; default 1
   */
  skipPass(count = 1): void {
    this.#act("skipPass", [count]);
  }

  /** As {@link FieldJob.releasePass}, recorded first. */
  releasePass(): void {
    this.#act("releasePass", []);
  }

  /**
   * As {@link FieldJob.setMaster}, recorded first; safe with the next fix or tick.
   *
   * @param on - true at the start
   */
  setMaster(on: boolean): void {
    this.#act("setMaster", [on]);
  }

  /**
   * As {@link FieldJob.setOverride}, recorded first; safe with the next fix or tick.
   *
   * @param section - index from the left, from 0
   * @param override - by the rule, on, or off
   * @param boom - which boom, the first one is 0; default 0
   * @throws `FeeringError` `out-of-range` for no section, no override or no boom
   */
  setOverride(section: number, override: SectionOverride, boom = 0): void {
    this.#act("setOverride", [section, override, boom]);
  }

  /**
   * As {@link FieldJob.setHeadlandRule}, recorded first.
   *
   * @param rule - headland, mainfield or both
   * @throws `FeeringError` `out-of-range` for anything else
   */
  setHeadlandRule(rule: HeadlandRule): void {
    this.#act("setHeadlandRule", [rule]);
  }

  /** As {@link FieldJob.pause}, recorded first. */
  pause(): void {
    this.#act("pause", []);
  }

  /** As {@link FieldJob.resume}, recorded first. */
  resume(): void {
    this.#act("resume", []);
  }

  /**
   * What was done so far.
   *
   * @returns a new plain object, safe in JSON
   */
  report(): JobReport {
    return this.#job.report();
  }

  /**
   * All that the job itself remembers, as {@link FieldJob.snapshot}; the record is not part of it.
   *
   * @returns plain data and bytes
   */
  snapshot(): JobSnapshot {
    return this.#job.snapshot();
  }

  /**
   * Put away a snapshot now: a good moment is when the machine stands, as it takes milliseconds and makes garbage.
   *
   * @returns whether it is safe; if not, those before it and all records since still are
   */
  checkpoint(): boolean {
    const done = this.#journal.snapshot(keptBytes(this.#job, this.#settingsVersion, this.#options));
    this.#sinceSnapshot = 0;
    this.#sinceSync = 0;
    this.#records = 0;
    if (done) this.#describe();
    return done;
  }

  /**
   * Say that the record ends here, and make it safe: then nothing counts as lost when the job is opened again. It may go on all the same.
   *
   * @returns whether everything is safe
   */
  close(): boolean {
    this.#recorder.close(this.state.time);
    return this.#makeSafe();
  }

  get #options(): { readonly syncInterval: number; readonly software: string } {
    return { syncInterval: this.#syncInterval, software: this.#software };
  }

  #act(verb: JobVerb, values: readonly unknown[]): unknown {
    const time = this.state.time;
    let body: VerbBody;
    try {
      body = this.#recorder.verb({ verb, values, time, settingsVersion: this.#settingsVersion });
    } catch (cause) {
      throw new FeeringError("bad-format", `what ${verb} was given is no plain data`, { argument: verb, cause });
    }
    // by what the record says: so doing it again gives the same
    const { result, changed } = applyVerb(this.#job, verb, body.values);
    if (changed) this.#settingsVersion++;
    if (verb === "updateSecond") return result;
    if (SWITCHES.has(verb)) this.#sinceSync = this.#syncInterval;
    else this.#makeSafe();
    return result;
  }

  /** Count the time, and make safe what is due. */
  #keep(time: number): void {
    // hot: once a fix
    this.#records++;
    const step = time - this.#time;
    if (step > 0 && step < Number.MAX_VALUE) {
      this.#sinceSync += step;
      this.#sinceSnapshot += step < LONGEST_STEP ? step : LONGEST_STEP;
    }
    if (Number.isFinite(time)) this.#time = time;
    if (this.#sinceSync >= this.#syncInterval - ROUNDING || this.#records >= MOST_PENDING) this.#makeSafe();
  }

  #makeSafe(): boolean {
    this.#sinceSync = 0;
    this.#records = 0;
    const journal = this.#journal;
    const safe = journal.sync();
    const due = this.#sinceSnapshot >= this.#snapshotInterval - ROUNDING;
    return due || journal.needsSnapshot ? this.checkpoint() : safe;
  }

  /** Where all files are kept, each says what the job worked by. */
  #describe(): void {
    if (!this.#keepAll || this.#journal.number === this.#described) return;
    this.#described = this.#journal.number;
    const { definition } = this.#job;
    this.#recorder.settings({ definition, settingsVersion: this.#settingsVersion, software: this.#software });
  }
}

function keptBytes(
  job: FieldJob,
  settingsVersion: number,
  { syncInterval, software }: { readonly syncInterval: number; readonly software: string },
): Uint8Array {
  const kept: KeptJob = { format: 1, job: job.snapshot(), settingsVersion, syncInterval, software };
  return encodeExact(kept);
}
