import { FeeringError } from "../errors/index.js";
import {
  type DroppedRecords,
  findSnapshots,
  type JournalRecord,
  type JournalStorage,
  type JournalTail,
  readTail,
  type RefusedFile,
  type ResumePlace,
  type SnapshotFile,
} from "../journal/index.js";
import { decodeExact } from "./exact-json.js";
import { FieldJob } from "./field-job.js";
import type { JobSnapshot } from "./job-snapshot.js";
import { type RecordBody, readBody, replay } from "./record-body.js";

/** What a recorded job puts away, besides the records. */
export interface KeptJob {
  /** version of this shape */
  readonly format: 1;
  /** the job */
  readonly job: JobSnapshot;
  /** how often its settings changed */
  readonly settingsVersion: number;
  /** most work that a power cut could take from then on, s */
  readonly syncInterval: number;
  /** what program recorded */
  readonly software: string;
}

/** What was found and what was lost when a job was opened again. */
export interface RecoveryReport {
  /** name of the snapshot that it began from */
  readonly snapshot: string;
  /** records read and done again after it */
  readonly replayed: number;
  /** all records of the job up to here */
  readonly records: number;
  /** time of the last fix recovered, s */
  readonly time: number;
  /** whether the job had been closed: then nothing is lost */
  readonly closed: boolean;
  /** what was there and could not be used; null where nothing was */
  readonly dropped: {
    /** journal file in which the good records end */
    readonly name: string;
    /** why, as `DamageReason` of journal; `missing` records in between, or `unknown` to this release */
    readonly reason: DroppedRecords["reason"] | "unknown";
    /** bytes */
    readonly bytes: number;
    /** whole records among them, as far as they can be told */
    readonly records: number;
    /** time of the last fix among them, s; NaN where none can be told */
    readonly lastTime: number;
  } | null;
  /** files that could not be used, and why */
  readonly refused: readonly RefusedFile[];
  /**
   * most work that was lost, s of the fixes' clock: the interval of syncs for a power cut, more where records that were safe are damaged, infinite where
   * nothing bounds it
   */
  readonly lostAtMost: number;
}

/** A job brought back, before the gap. */
export interface RecoveredJob {
  readonly job: FieldJob;
  readonly settingsVersion: number;
  readonly report: RecoveryReport;
  readonly place: ResumePlace;
}

/**
 * Bring a job back: newest good snapshot, then the records after it.
 *
 * @throws FeeringError `wrong-state` for a storage without a job or one that can't list its files; `bad-snapshot` when no snapshot can be used
 */
export function recoverJob(storage: JournalStorage): RecoveredJob {
  const found = findSnapshots(storage);
  const refused: RefusedFile[] = [...found.refused];
  const candidates: Candidate[] = [];
  for (const file of found.snapshots) {
    const kept = readKept(file, refused);
    if (kept !== undefined) candidates.push({ file, ...kept, tail: readTail(storage, found.journals, file) });
  }
  // a snapshot from before which the job went on elsewhere comes last
  const best = candidates.find(({ tail }) => !tail.superseded) ?? candidates[0];
  if (best === undefined) {
    if (refused.length === 0 && found.journals.length === 0) {
      throw new FeeringError("wrong-state", "storage holds no job", { argument: "storage" });
    }
    const why = refused.map(({ name, reason }) => `${name} ${reason}`).join("; ") || "there is no snapshot";
    throw new FeeringError("bad-snapshot", `storage holds no snapshot that can be used: ${why}`, {
      argument: "storage",
    });
  }
  return playTail(best, refused, found.journals, found.snapshots);
}

interface Candidate {
  readonly file: SnapshotFile;
  readonly job: FieldJob;
  readonly kept: KeptJob;
  readonly tail: JournalTail;
}

function readKept(file: SnapshotFile, refused: RefusedFile[]): { job: FieldJob; kept: KeptJob } | undefined {
  const refuse = (reason: string): undefined => {
    refused.push({ name: file.name, reason, bytes: file.body.length });
  };
  try {
    const kept = decodeExact(file.body) as KeptJob;
    const format: unknown = kept.format;
    if (format !== 1) return refuse(`is of version ${String(format)}, this release reads 1`);
    return { job: FieldJob.restore(kept.job), kept };
  } catch (error) {
    return refuse(`can't be restored: ${(error as Error).message}`);
  }
}

function playTail(
  { file, job, kept, tail }: Candidate,
  refused: readonly RefusedFile[],
  journals: readonly number[],
  snapshots: readonly SnapshotFile[],
): RecoveredJob {
  let { settingsVersion } = kept;
  let closed = false;
  let replayed = 0;
  let dropped = tail.dropped === null ? null : sayDropped(tail.dropped);
  for (const record of tail.records) {
    const body = readBody(record);
    if (body === undefined) {
      const left = tail.records.slice(replayed);
      const bytes = left.reduce((sum, { start, end }) => sum + end - start, 0) + (dropped?.bytes ?? 0);
      const records = left.length + (dropped?.records ?? 0);
      const lastTime = lastTimeOf(left);
      dropped = { name: dropped?.name ?? "", reason: "unknown", bytes, records, lastTime };
      break;
    }
    if (replay(job, body)) settingsVersion++;
    closed = body.kind === "close";
    replayed++;
  }
  closed &&= dropped === null;
  const { time } = job.state;
  const sequence = file.sequence + replayed;
  const allRefused = [...refused, ...tail.refused];
  const report = {
    snapshot: file.name,
    replayed,
    records: sequence - 1,
    time,
    closed,
    dropped,
    refused: allRefused,
    lostAtMost: closed ? 0 : lostAtMost(dropped, time, kept.syncInterval, refused.length > 0),
  };
  const place = {
    identity: file.identity,
    sequence,
    lastJournal: Math.max(0, ...journals, ...snapshots.map((one) => one.journal)),
    lastSnapshot: Math.max(...snapshots.map((one) => one.number)),
    kept: { name: file.name, journal: file.journal },
  };
  return { job, settingsVersion, report, place };
}

function sayDropped({ name, reason, bytes, stranded }: DroppedRecords): NonNullable<RecoveryReport["dropped"]> {
  return { name, reason, bytes, records: stranded.length, lastTime: lastTimeOf(stranded) };
}

function lastTimeOf(records: readonly JournalRecord[]): number {
  for (let i = records.length - 1; i >= 0; i--) {
    const time = timeOf(readBody(records[i]!));
    if (Number.isFinite(time)) return time;
  }
  return Number.NaN;
}

function timeOf(body: RecordBody | undefined): number {
  if (body === undefined) return Number.NaN;
  if (body.kind === "fix") return body.fix?.time;
  return body.kind === "settings" ? Number.NaN : body.time;
}

function lostAtMost(
  dropped: RecoveryReport["dropped"],
  time: number,
  syncInterval: number,
  snapshotRefused: boolean,
): number {
  if (dropped === null) return syncInterval;
  // the last whole record beyond the damage may be followed by a sync's worth of others
  if (Number.isFinite(dropped.lastTime)) return Math.max(syncInterval, dropped.lastTime - time + syncInterval);
  // a newer snapshot that can't be read may have stood for any time
  return snapshotRefused ? Number.POSITIVE_INFINITY : syncInterval;
}
