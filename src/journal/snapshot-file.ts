import { crc32 } from "../coverage/crc32.js";
import { FORMAT_VERSION, viewOf } from "./record-format.js";

/*
 * Little-endian. Header of 44 bytes: "FSNP", version u16, 0 u16, identity of the job u32, number of the snapshot u32, number of the journal file that
 * follows it u32, index in that file of the first record that follows it f64, sequence of that record u32, length of the body u32, CRC-32 of the body u32,
 * CRC-32 of the 40 bytes before u32. Then the body.
 */
const MAGIC = 0x504e5346;
const HEADER = 44;

/** Where a snapshot stands among the records. */
export interface SnapshotPlace {
  /** which job it is of */
  readonly identity: number;
  /** how many snapshots of the job there were, this one with them */
  readonly number: number;
  /** number of the journal file that follows it */
  readonly journal: number;
  /** index in that file of the first record that follows it */
  readonly offset: number;
  /** sequence of that record */
  readonly sequence: number;
}

/** A snapshot read from its file. */
export interface SnapshotFile extends SnapshotPlace {
  /** name of the file */
  readonly name: string;
  /** what was put away */
  readonly body: Uint8Array;
}

/** Bytes of a snapshot's file. */
export function encodeSnapshot(place: SnapshotPlace, body: Uint8Array): Uint8Array {
  const bytes = new Uint8Array(HEADER + body.length);
  const view = viewOf(bytes);
  view.setUint32(0, MAGIC, true);
  view.setUint16(4, FORMAT_VERSION, true);
  view.setUint32(8, place.identity, true);
  view.setUint32(12, place.number, true);
  view.setUint32(16, place.journal, true);
  view.setFloat64(20, place.offset, true);
  view.setUint32(28, place.sequence, true);
  view.setUint32(32, body.length, true);
  view.setUint32(36, crc32(body, 0, body.length), true);
  view.setUint32(40, crc32(bytes, 0, 40), true);
  bytes.set(body, HEADER);
  return bytes;
}

/** Read a snapshot's file; why not, where it is none or damaged. Never throws. */
export function decodeSnapshot(name: string, bytes: Uint8Array): SnapshotFile | string {
  if (bytes.length < HEADER) return `has ${bytes.length} bytes, a snapshot has at least ${HEADER}`;
  const view = viewOf(bytes);
  if (view.getUint32(0, true) !== MAGIC) return "does not begin as a snapshot";
  const version = view.getUint16(4, true);
  if (version !== FORMAT_VERSION) return `is of version ${version}, this release reads ${FORMAT_VERSION}`;
  if (view.getUint32(40, true) !== crc32(bytes, 0, 40)) return "is damaged: the checksum of its header is wrong";
  const length = view.getUint32(32, true);
  if (length !== bytes.length - HEADER)
    return `has a body of ${bytes.length - HEADER} bytes, its header says ${length}`;
  if (view.getUint32(36, true) !== crc32(bytes, HEADER, bytes.length)) return "is damaged: its checksum is wrong";
  return {
    name,
    identity: view.getUint32(8, true),
    number: view.getUint32(12, true),
    journal: view.getUint32(16, true),
    offset: view.getFloat64(20, true),
    sequence: view.getUint32(28, true),
    body: bytes.subarray(HEADER),
  };
}
