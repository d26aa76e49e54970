import { type DamageReason, findSnapshots, journalName, type JournalStorage, readJournal } from "../journal/index.js";
import { type RecordBody, readBody } from "./record-body.js";

/** A place where a record is broken. */
export interface RecordBreak {
  /** which entry it is */
  readonly kind: "break";
  /** sequence of the record that should be next */
  readonly sequence: number;
  /** journal file at whose end, or within which, it is */
  readonly name: string;
  /** why; `missing` where the next file begins later, `unknown` for a record that this release does not know */
  readonly reason: DamageReason | "missing" | "unknown";
}

/** One entry of a record: an input of the job with its place in the order, or a place where the record is broken. */
export type RecordedInput =
  | RecordBreak
  | (RecordBody & {
      /** place in the order of all records of the job, from 1 */
      readonly sequence: number;
    });

/**
 * Read what was recorded, as evidence: every fix with its quality and the age of its correction, every tick, act and power cut in order, and where
 * the record is broken. With `keepJournals` it is the whole job from its beginning, each file led by what the job worked by.
 *
 * @param storage - where the job was kept; nothing in it is changed
 * @returns entries in order, read file by file
 * @throws `FeeringError` `wrong-state` when the storage can't list its files
 * @example
 * ```ts
 * for (const entry of recordedInputs(storage)) {
 *   if (entry.kind === "fix") console.log(entry.fix.time, entry.fix.quality, entry.fix.correctionAge);
 * }
 * ```
 */
export function* recordedInputs(storage: JournalStorage): Generator<RecordedInput, void> {
  const { journals } = findSnapshots(storage);
  const firsts = journals.map(
    (number) => readJournal(read(storage, journalName(number)), Infinity).header?.firstSequence,
  );
  let next = firsts.find((first) => first !== undefined) ?? 1;
  for (let i = 0; i < journals.length; i++) {
    const name = journalName(journals[i]!);
    const content = readJournal(read(storage, name));
    // a later file takes the place of what this one holds from there on
    const limit = Math.min(...firsts.slice(i + 1).map((first) => first ?? Infinity));
    const first = firsts[i];
    if (first !== undefined && first > next && next < limit) {
      yield { kind: "break", sequence: next, name, reason: "missing" };
      next = first;
    }
    for (const record of content.records) {
      if (record.sequence < next || record.sequence >= limit) continue;
      const body = readBody(record);
      if (body === undefined) yield { kind: "break", sequence: record.sequence, name, reason: "unknown" };
      else yield { ...body, sequence: record.sequence };
      next = record.sequence + 1;
    }
    if (content.damage !== null && next < limit) yield { kind: "break", sequence: next, name, reason: content.damage };
  }
}

function read(storage: JournalStorage, name: string): Uint8Array {
  try {
    return storage.read(name) ?? new Uint8Array(0);
  } catch {
    return new Uint8Array(0);
  }
}
