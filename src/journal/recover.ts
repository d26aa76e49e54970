import { FeeringError } from "../errors/index.js";
import { journalName, journalNumber, SNAPSHOTS } from "./file-names.js";
import type { JournalStorage } from "./journal-storage.js";
import { type DamageReason, type JournalRecord, readJournal, strandedRecords } from "./read-journal.js";
import { decodeHeader, JOURNAL_HEADER, type JournalHeader } from "./record-format.js";
import { sayError } from "./say-error.js";
import { decodeSnapshot, type SnapshotFile } from "./snapshot-file.js";

/** A file that could not be used, and why. */
export interface RefusedFile {
  /** its name */
  readonly name: string;
  /** one sentence without the name: `is damaged: ...` */
  readonly reason: string;
  /** its bytes, 0 where it can't be read */
  readonly bytes: number;
}

/** What a storage holds of a job. */
export interface FoundSnapshots {
  /** good snapshots, newest first */
  readonly snapshots: readonly SnapshotFile[];
  /** snapshots that could not be used */
  readonly refused: readonly RefusedFile[];
  /** numbers of the journal files, rising */
  readonly journals: readonly number[];
}

/** Records that were there and could not be used. */
export interface DroppedRecords {
  /** journal file in which the good records end */
  readonly name: string;
  /** why they end: damage, or `missing` where the next file begins later than this one ends, or one can't be read */
  readonly reason: DamageReason | "missing";
  /** bytes that were not used, in this file and later ones */
  readonly bytes: number;
  /** whole records among them, which would have needed those before; in order, as far as they can be told */
  readonly stranded: readonly JournalRecord[];
}

/** What follows a snapshot. */
export interface JournalTail {
  /** all records in order, without a gap, from the snapshot's sequence on */
  readonly records: readonly JournalRecord[];
  /** what is there beyond them; null where they go to the end */
  readonly dropped: DroppedRecords | null;
  /** journal files that could not be used */
  readonly refused: readonly RefusedFile[];
  /** the job went on from before this snapshot, in a later file: an older snapshot leads there */
  readonly superseded: boolean;
}

/**
 * Look which snapshots a storage holds.
 *
 * A file that can't be read is refused, not fatal.
 *
 * @param storage - where the job was kept
 * @returns what is there; no snapshot and no journal in an empty storage
 * @throws `FeeringError` `wrong-state` when the storage can't even list its files
 */
export function findSnapshots(storage: JournalStorage): FoundSnapshots {
  const journals = listFiles(storage)
    .map(journalNumber)
    .filter((number) => number > 0)
    .sort((a, b) => a - b);
  const snapshots: SnapshotFile[] = [];
  const refused: RefusedFile[] = [];
  for (const name of SNAPSHOTS) {
    const bytes = readFile(storage, name);
    if (bytes === undefined) continue;
    const snapshot = typeof bytes === "string" ? bytes : decodeSnapshot(name, bytes);
    if (typeof snapshot === "string")
      refused.push({ name, reason: snapshot, bytes: typeof bytes === "string" ? 0 : bytes.length });
    else snapshots.push(snapshot);
  }
  snapshots.sort((a, b) => b.number - a.number);
  return { snapshots, refused, journals };
}

/**
 * Names of all files.
 *
 * @param storage - any
 * @returns names
 * @throws `FeeringError` `wrong-state` with what the storage threw as its cause
 */
export function listFiles(storage: JournalStorage): readonly string[] {
  try {
    return storage.list();
  } catch (cause) {
    throw new FeeringError("wrong-state", `storage can't list its files: ${sayError(cause)}`, {
      argument: "storage",
      cause,
    });
  }
}

/**
 * The records that follow a snapshot, from file to file, up to the first damage. Never throws.
 *
 * Where two files hold records of the same sequence the later file counts: it was begun because the end of the earlier one was in doubt.
 *
 * @param storage - where the job was kept
 * @param journals - numbers of the journal files, rising
 * @param place - of the snapshot, where to begin
 * @returns records, and what was dropped
 */
export function readTail(
  storage: JournalStorage,
  journals: readonly number[],
  place: { readonly identity: number; readonly journal: number; readonly offset: number; readonly sequence: number },
): JournalTail {
  const refused: RefusedFile[] = [];
  const files = openFiles(storage, journals, place, refused);
  const records: JournalRecord[] = [];
  const tail = (dropped: DroppedRecords | null, superseded = false): JournalTail => ({
    records,
    dropped,
    refused,
    superseded,
  });
  if (files.some(({ number, header }) => number > place.journal && header.firstSequence < place.sequence)) {
    return tail(null, true);
  }
  let next = place.sequence;
  for (let i = 0; i < files.length; i++) {
    const { number, bytes, header } = files[i]!;
    // from the snapshot's own index where that lies within a file; a file begun after it may begin before it too
    const first = number === place.journal && place.offset > JOURNAL_HEADER;
    if (!first && header.firstSequence > next) return tail(dropFrom(files, i, JOURNAL_HEADER, "missing", next - 1));
    const limit = files[i + 1]?.header.firstSequence ?? Number.POSITIVE_INFINITY;
    const content = first ? readJournal(bytes, place.offset, place.sequence) : readJournal(bytes);
    for (const record of content.records) {
      if (record.sequence !== next || next >= limit) continue;
      records.push(record);
      next++;
    }
    // where a later file takes up here, the end of this one is of no account
    if (content.damage !== null && next < limit) return tail(dropFrom(files, i, content.end, content.damage, next - 1));
  }
  // a later file that can't be read may hold more
  const name = journalName(files.at(-1)?.number ?? 0);
  const lost = refused.find((file) => file.name > name);
  return tail(lost === undefined ? null : { name: lost.name, reason: "missing", bytes: lost.bytes, stranded: [] });
}

/**
 * The whole of a file.
 *
 * @param storage - any
 * @param name - of the file
 * @returns its bytes, undefined where there is none, or why it can't be read
 */
function readFile(storage: JournalStorage, name: string): Uint8Array | undefined | string {
  try {
    return storage.read(name);
  } catch (error) {
    return `can't be read: ${sayError(error)}`;
  }
}

function refusal(reason: "header" | "version"): string {
  return reason === "header" ? "is damaged: its header is none" : "is of another version of the format";
}

interface OpenFile {
  readonly number: number;
  readonly bytes: Uint8Array;
  readonly header: JournalHeader;
}

/** journal files from a snapshot's on, without those that a later one begins before */
function openFiles(
  storage: JournalStorage,
  journals: readonly number[],
  place: { readonly identity: number; readonly journal: number },
  refused: RefusedFile[],
): OpenFile[] {
  const files: OpenFile[] = [];
  for (const number of journals) {
    if (number < place.journal) continue;
    const name = journalName(number);
    const bytes = readFile(storage, name);
    // a file that was made and got no further holds nothing
    if (bytes === undefined || bytes.length === 0) continue;
    const header = typeof bytes === "string" ? bytes : decodeHeader(bytes);
    if (typeof bytes === "string" || typeof header === "string") {
      const reason = typeof bytes === "string" ? bytes : refusal(header as "header" | "version");
      refused.push({ name, reason, bytes: typeof bytes === "string" ? 0 : bytes.length });
    } else if (header.identity !== place.identity || header.number !== number) {
      refused.push({ name, reason: "is of another job, or another file of this one", bytes: bytes.length });
    } else {
      while (files.length > 0 && files.at(-1)!.header.firstSequence >= header.firstSequence) files.pop();
      files.push({ number, bytes, header });
    }
  }
  return files;
}

/** all that is left from a place in a file on */
function dropFrom(
  files: readonly OpenFile[],
  index: number,
  from: number,
  reason: DroppedRecords["reason"],
  last: number,
): DroppedRecords {
  const stranded: JournalRecord[] = [];
  let bytes = 0;
  for (let i = index; i < files.length; i++) {
    const file = files[i]!;
    const start = Math.min(i === index ? from : JOURNAL_HEADER, file.bytes.length);
    bytes += file.bytes.length - start;
    stranded.push(...strandedRecords(file.bytes, file.header, start, last));
  }
  return { name: journalName(files[index]!.number), reason, bytes, stranded };
}
