import type { Journal, JournalRecord } from "../journal/index.js";
import type { Fix } from "../receiver/index.js";
import { decodeExact, encodeExact } from "./exact-json.js";
import type { FieldJob } from "./field-job.js";
import { FIX, FIX_SIZE, FixWriter, readFix, TURNING_FIX } from "./fix-record.js";
import type { JobDefinition } from "./job-definition.js";
import { applyVerb, isVerb, type JobVerb } from "./job-verbs.js";
import { powerGap } from "./power-gap.js";

/** First bytes of the other bodies; {@link FIX} is 1 and {@link TURNING_FIX} 8. */
const TICK = 2;
const VERB = 3;
/** an update by what is no fix */
const ODD = 4;
const GAP = 5;
const CLOSE = 6;
const SETTINGS = 7;

/** A call by the operator, in the journal. */
export interface VerbBody {
  /** which call */
  readonly verb: JobVerb;
  /** its arguments */
  readonly values: readonly unknown[];
  /** time of the last fix before it, s */
  readonly time: number;
  /** version of the settings that it was given under */
  readonly settingsVersion: number;
}

/** What a job works by, in the journal at the start of each file that is kept. */
export interface SettingsBody {
  /** what the job is set up with, with the pattern in force */
  readonly definition: JobDefinition;
  /** how often settings changed before */
  readonly settingsVersion: number;
  /** what program recorded, in the host's words */
  readonly software: string;
}

/** A fix, in the journal. */
export interface FixBody {
  /** which record it is */
  readonly kind: "fix";
  /** as it came in, bit for bit */
  readonly fix: Fix;
  /** the gear, as the host gave it */
  readonly reversing: boolean | undefined;
}

/** A time without a fix, a power cut, or the end of the record, in the journal. */
export interface TimeBody {
  /** which record it is */
  readonly kind: "tick" | "gap" | "close";
  /** s: of the tick; of the last fix before the cut or the end */
  readonly time: number;
}

/** A record read back. */
export type RecordBody =
  | FixBody
  | TimeBody
  | (VerbBody & {
      /** which record it is */
      readonly kind: "verb";
    })
  | (SettingsBody & {
      /** which record it is */
      readonly kind: "settings";
    });

/** Puts the inputs of a job into its journal. */
export class InputRecorder {
  private readonly journal: Journal;
  private readonly fixes = new FixWriter();

  constructor(journal: Journal) {
    this.journal = journal;
  }

  /** An update; gives what the job is to be told: the fix itself, or what reading its record back will give. */
  fix(fix: Fix, reversing: boolean | undefined): { fix: Fix; reversing: boolean | undefined } | null {
    // hot: once a fix
    const journal = this.journal;
    const at = journal.reserve(FIX_SIZE);
    if (at < 0) {
      journal.skip();
      return null;
    }
    let size = 0;
    try {
      size = this.fixes.write(journal.view, at, fix, reversing);
    } catch {
      // an object that throws when it is looked at is no fix
    }
    if (size === 0) return this.odd(fix, reversing);
    journal.commit(size);
    return null;
  }

  /** A tick. */
  tick(time: number): void {
    this.timed(TICK, time);
  }

  verb(body: VerbBody): VerbBody {
    return this.exact(VERB, body) as VerbBody;
  }

  settings(body: SettingsBody): void {
    this.exact(SETTINGS, body);
  }

  gap(time: number): void {
    this.timed(GAP, time);
  }

  close(time: number): void {
    this.timed(CLOSE, time);
  }

  private odd(fix: unknown, reversing: unknown): { fix: Fix; reversing: boolean | undefined } {
    try {
      return this.exact(ODD, { fix, reversing }) as { fix: Fix; reversing: boolean | undefined };
    } catch {
      return this.exact(ODD, { fix: null, reversing: false }) as { fix: Fix; reversing: boolean | undefined };
    }
  }

  private timed(kind: number, time: number): void {
    const at = this.journal.reserve(9);
    if (at < 0) return this.journal.skip();
    this.journal.view.setUint8(at, kind);
    this.journal.view.setFloat64(at + 1, time, true);
    this.journal.commit(9);
  }

  /** Plain data; gives it as reading the record back will. */
  private exact(kind: number, data: unknown): unknown {
    const bytes = encodeExact(data);
    const at = this.journal.reserve(1 + bytes.length);
    if (at < 0) this.journal.skip();
    else {
      this.journal.bytes[at] = kind;
      this.journal.bytes.set(bytes, at + 1);
      this.journal.commit(1 + bytes.length);
    }
    return decodeExact(bytes);
  }
}

/** Read a record; undefined where this release knows none such. Never throws. */
export function readBody({ bytes, start, end }: JournalRecord): RecordBody | undefined {
  const kind = bytes[start];
  if (kind === FIX || kind === TURNING_FIX) {
    const read = readFix(bytes, start, end);
    return read === undefined ? undefined : { kind: "fix", ...read };
  }
  if (kind === TICK || kind === GAP || kind === CLOSE) {
    if (end - start !== 9) return undefined;
    const time = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength).getFloat64(start + 1, true);
    return { kind: kind === TICK ? "tick" : kind === GAP ? "gap" : "close", time };
  }
  try {
    const data = decodeExact(bytes.subarray(start + 1, end)) as object;
    if (kind === ODD) return { kind: "fix", ...(data as { fix: Fix; reversing: boolean | undefined }) };
    if (kind === SETTINGS) return { kind: "settings", ...(data as SettingsBody) };
    const body = data as VerbBody;
    if (kind === VERB && isVerb(body.verb) && Array.isArray(body.values)) return { kind: "verb", ...body };
  } catch {
    // no body that this release writes
  }
  return undefined;
}

/** Do to a job what a record says; gives whether it now works by other settings. Never throws: what was refused then is refused now. */
export function replay(job: FieldJob, body: RecordBody): boolean {
  switch (body.kind) {
    case "fix":
      job.update(body.fix, body.reversing);
      return false;
    case "tick":
      job.tick(body.time);
      return false;
    case "verb":
      try {
        return applyVerb(job, body.verb, body.values).changed;
      } catch {
        return false;
      }
    case "gap":
      powerGap(job);
      return false;
    case "close":
    case "settings":
      return false;
  }
}
