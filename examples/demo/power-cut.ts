import * as fs from "node:fs";
import type { CoverageRecord } from "../../src/coverage/index.js";
import type { GuidancePattern } from "../../src/guidance/index.js";
import {
  type FieldJob,
  type JobDefinition,
  type JobReport,
  RecordedJob,
  type SwitchEvent,
} from "../../src/job/index.js";
import { fileStorage } from "../../src/journal/index.js";
import type { Fix } from "../../src/receiver/index.js";
import type { HeadlandRule } from "../../src/sections/index.js";

/** While the machine stands in pass 1: from the middle of the drive on, s UTC since 1970. */
const CUT = Date.UTC(2025, 3, 16, 8, 29, 42) / 1000;
/** Until the box is up again, s. */
const DARK = 25;

/** A job recorded in files, which loses its power once and is opened again. */
export class PowerCut
  implements Pick<FieldJob, "update" | "report" | "state" | "coverage" | "frame" | "definition" | "onStep">
{
  private job: RecordedJob;
  private readonly folder = new URL("../../out/journal/", import.meta.url);
  private tell: ((event: SwitchEvent) => void) | null = null;
  private tellStep: FieldJob["onStep"] = null;
  private cut = false;

  constructor(definition: JobDefinition) {
    fs.rmSync(this.folder, { recursive: true, force: true });
    fs.mkdirSync(this.folder, { recursive: true });
    this.job = RecordedJob.create(this.storage(), definition);
  }

  /** Whether there is no power at this time; when it is back the job is opened from its files. */
  isOff(time: number): boolean {
    if (time < CUT) return false;
    if (time < CUT + DARK) return true;
    if (!this.cut) {
      this.cut = true;
      // whatever was not safe is gone with the old object
      this.job = RecordedJob.open(this.storage());
      this.job.onSwitch = this.tell;
      this.job.onStep = this.tellStep;
      const { replayed, lostAtMost } = this.job.recovery!;
      const when = new Date(CUT * 1000).toISOString().slice(11, 19);
      console.log(
        `\n  power cut at ${when} UTC, back after ${DARK} s: ${replayed} records done again, at most ${lostAtMost} s lost`,
      );
    }
    return false;
  }

  update(fix: Fix): FieldJob["state"] {
    return this.job.update(fix);
  }

  usePattern(pattern: GuidancePattern | null): void {
    this.job.usePattern(pattern);
  }

  setHeadlandRule(rule: HeadlandRule): void {
    this.job.setHeadlandRule(rule);
  }

  get state(): FieldJob["state"] {
    return this.job.state;
  }

  get coverage(): CoverageRecord {
    return this.job.coverage;
  }

  get onSwitch(): ((event: SwitchEvent) => void) | null {
    return this.tell;
  }

  set onSwitch(tell: ((event: SwitchEvent) => void) | null) {
    this.tell = tell;
    this.job.onSwitch = tell;
  }

  get frame(): FieldJob["frame"] {
    return this.job.frame;
  }

  get definition(): JobDefinition {
    return this.job.definition;
  }

  get onStep(): FieldJob["onStep"] {
    return this.tellStep;
  }

  set onStep(tell: FieldJob["onStep"]) {
    this.tellStep = tell;
    this.job.onStep = tell;
  }

  report(): JobReport {
    return this.job.report();
  }

  private storage(): ReturnType<typeof fileStorage> {
    return fileStorage(fs, this.folder.pathname);
  }
}

/** Say whether a job that was interrupted came to the same as the one that was not; the process fails where it did not. */
export function checkSame(interrupted: JobReport, whole: JobReport): void {
  const rows = [
    ["worked, m²", interrupted.totals.workedArea, whole.totals.workedArea],
    ["worked again, m²", interrupted.totals.overlapArea, whole.totals.overlapArea],
    ["distance, m", interrupted.totals.distance, whole.totals.distance],
    ["time, s", interrupted.totals.time, whole.totals.time],
    ["orders", interrupted.totals.switches, whole.totals.switches],
  ] as const;
  console.log("\n                          interrupted   uninterrupted");
  let same = true;
  for (const [name, a, b] of rows) {
    if (Math.abs(a - b) > 1e-6) same = false;
    console.log(`  ${name.padEnd(20)} ${a.toFixed(2).padStart(14)}  ${b.toFixed(2).padStart(14)}`);
  }
  console.log(same ? "  the same" : "  NOT THE SAME");
  if (!same) process.exitCode = 1;
}
