import {
  bodyLength,
  checkHolds,
  decodeHeader,
  JOURNAL_HEADER,
  type JournalHeader,
  RECORD_HEADER,
  viewOf,
} from "./record-format.js";

/** Bytes that may be checked in looking for stranded records, as a multiple of the file's: made-up bytes must not take long. */
const LOOKING = 16;

/**
 * Where the records of a file stop being good.
 *
 * | reason | meaning |
 * |---|---|
 * | `header` | the file does not begin as a journal, or its header is damaged |
 * | `version` | it was written by another version of the format |
 * | `cut` | the last record is not whole |
 * | `zeroed` | there are zeros in place of a record |
 * | `damaged` | a record has no mark, or its check is wrong |
 * | `order` | a whole record has another sequence than the one after the last: an old page, or pages changed over |
 */
export type DamageReason = "header" | "version" | "cut" | "zeroed" | "damaged" | "order";

/** One record of a journal. */
export interface JournalRecord {
  /** its place among all records of the job */
  readonly sequence: number;
  /** file's bytes */
  readonly bytes: Uint8Array;
  /** index of the first byte of its body */
  readonly start: number;
  /** index after the last */
  readonly end: number;
}

/** What a journal file holds. */
export interface JournalContent {
  /** its header, null where there is none */
  readonly header: JournalHeader | null;
  /** good records from the start on, in order and without a gap */
  readonly records: readonly JournalRecord[];
  /** bytes of header and good records */
  readonly end: number;
  /** why they end where they do; null at the end of the file */
  readonly damage: DamageReason | null;
}

/**
 * Read a journal file: records up to the first damage. Never throws, whatever the bytes.
 *
 * @param bytes - the whole file
 * @param from - where to begin reading, default after the header
 * @param sequence - of the record there, default as the header says
 * @returns records, and where and why they end
 */
export function readJournal(bytes: Uint8Array, from: number = JOURNAL_HEADER, sequence?: number): JournalContent {
  const header = decodeHeader(bytes);
  if (typeof header === "string") return { header: null, records: [], end: 0, damage: header };
  const view = viewOf(bytes);
  const records: JournalRecord[] = [];
  let expected = sequence ?? header.firstSequence;
  let at = from;
  let damage: DamageReason | null = at > bytes.length ? "cut" : null;
  while (at < bytes.length) {
    damage = damageAt(bytes, view, at, header.salt, expected);
    if (damage !== null) break;
    const start = at + RECORD_HEADER;
    const end = start + bodyLength(view, at);
    records.push({ sequence: expected, bytes, start, end });
    expected++;
    at = end;
  }
  return { header, records, end: at, damage };
}

/**
 * Whole records of a file beyond its first damage: what can be told of that which is lost.
 *
 * @param bytes - the whole file
 * @param header - its header
 * @param from - where to begin looking
 * @param after - only sequences above this one
 * @returns them in the order of the file
 */
export function strandedRecords(
  bytes: Uint8Array,
  header: JournalHeader,
  from: number,
  after: number,
): readonly JournalRecord[] {
  const view = viewOf(bytes);
  const records: JournalRecord[] = [];
  let left = LOOKING * bytes.length;
  for (let at = from; at + RECORD_HEADER <= bytes.length && left > 0; ) {
    const length = bodyLength(view, at);
    const end = at + RECORD_HEADER + length;
    const sequence = view.getUint32(at + 8, true);
    // a record is no shorter than a byte, so a file holds no more of them than bytes: most chance marks are told by that
    const likely = length >= 0 && end <= bytes.length && sequence > after && sequence - after <= bytes.length;
    if (likely) left -= length;
    if (likely && checkHolds(bytes, view, at, length, header.salt)) {
      records.push({ sequence, bytes, start: at + RECORD_HEADER, end });
      at = end;
    } else at++;
  }
  return records;
}

function damageAt(bytes: Uint8Array, view: DataView, at: number, salt: number, expected: number): DamageReason | null {
  if (isZero(bytes, at)) return "zeroed";
  if (at + RECORD_HEADER > bytes.length) return "cut";
  const length = bodyLength(view, at);
  if (length < 0) return "damaged";
  if (at + RECORD_HEADER + length > bytes.length) return "cut";
  if (!checkHolds(bytes, view, at, length, salt)) return "damaged";
  return view.getUint32(at + 8, true) === expected ? null : "order";
}

/** Whether there are zeros where the header of a record should be. */
function isZero(bytes: Uint8Array, at: number): boolean {
  const end = Math.min(bytes.length, at + RECORD_HEADER);
  for (let i = at; i < end; i++) if (bytes[i] !== 0) return false;
  return true;
}
