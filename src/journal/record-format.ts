import { crc32 } from "../coverage/crc32.js";

/*
 * Little-endian throughout.
 *
 * A journal file begins with a header of 24 bytes: "FJNL", version u16, 0 u16, identity of the job u32, number of the file u32, sequence of its
 * first record u32, CRC-32 u32 of the 20 bytes before.
 *
 * A record: check u32, length of the body u24, mark u8 (0xa6), sequence u32, body. The check is the CRC-32 of all after it, exclusive or with the
 * CRC-32 of the file's header: so a record left on the disk by another file is none of this one's.
 */

/** Version of the files that this release writes, and the only one that it reads. */
export const FORMAT_VERSION: number = 1;
/** Bytes of a journal file before its first record. */
export const JOURNAL_HEADER: number = 24;
/** Bytes of a record before its body. */
export const RECORD_HEADER: number = 12;
/** Most bytes of a body. */
export const LARGEST_BODY: number = 0xffffff;

const MAGIC = 0x4c4e4a46;
const MARK = 0xa6;

/** What the header of a journal file says. */
export interface JournalHeader {
  /** which job it is of */
  readonly identity: number;
  /** number of the file, from 1 */
  readonly number: number;
  /** sequence of its first record */
  readonly firstSequence: number;
  /** what the checks of its records are mixed with */
  readonly salt: number;
}

/** Header of a journal file: its bytes, and the salt of the records that follow. */
export function encodeHeader(
  identity: number,
  number: number,
  firstSequence: number,
): { readonly bytes: Uint8Array; readonly salt: number } {
  const bytes = new Uint8Array(JOURNAL_HEADER);
  const view = viewOf(bytes);
  view.setUint32(0, MAGIC, true);
  view.setUint16(4, FORMAT_VERSION, true);
  view.setUint32(8, identity, true);
  view.setUint32(12, number, true);
  view.setUint32(16, firstSequence, true);
  const salt = crc32(bytes, 0, 20);
  view.setUint32(20, salt, true);
  return { bytes, salt };
}

/** Read the header of a journal file; why not, where it is none. */
export function decodeHeader(bytes: Uint8Array): JournalHeader | "header" | "version" {
  if (bytes.length < JOURNAL_HEADER) return "header";
  const view = viewOf(bytes);
  const salt = view.getUint32(20, true);
  if (view.getUint32(0, true) !== MAGIC) return "header";
  if (view.getUint16(4, true) !== FORMAT_VERSION) return "version";
  if (salt !== crc32(bytes, 0, 20)) return "header";
  return {
    identity: view.getUint32(8, true),
    number: view.getUint32(12, true),
    firstSequence: view.getUint32(16, true),
    salt,
  };
}

/** Finish a record whose body is in place. */
export function sealRecord(
  bytes: Uint8Array,
  view: DataView,
  at: number,
  length: number,
  sequence: number,
  salt: number,
): void {
  // hot: once a fix
  view.setUint32(at + 4, (MARK << 24) | length, true);
  view.setUint32(at + 8, sequence, true);
  view.setUint32(at, crc32(bytes, at + 4, at + RECORD_HEADER + length) ^ salt, true);
}

/** Length of the body of a record, by its header; -1 where there is no mark of one. */
export function bodyLength(view: DataView, at: number): number {
  const word = view.getUint32(at + 4, true);
  return word >>> 24 === MARK ? word & LARGEST_BODY : -1;
}

/** Whether the check of a record that lies whole in the bytes is right. */
export function checkHolds(bytes: Uint8Array, view: DataView, at: number, length: number, salt: number): boolean {
  return view.getUint32(at, true) === (crc32(bytes, at + 4, at + RECORD_HEADER + length) ^ salt) >>> 0;
}

/** Bytes seen as numbers. */
export function viewOf(bytes: Uint8Array): DataView {
  return new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
}
