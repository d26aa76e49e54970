import { inflateSync } from "fflate";
import { crc32 } from "../../coverage/crc32.js";
import { FeeringError } from "../../errors/index.js";

/** Most entries that an archive's directory is read for: a KMZ holds a document and some pictures. */
const MOST_ENTRIES = 65_535;
/** Deflate packs no more tightly than this (RFC 1951: 258 bytes in 2 bits). */
const TIGHTEST = 1032;

/** Whether bytes begin as a zip archive does. */
export function isZip(bytes: Uint8Array): boolean {
  return bytes[0] === 0x50 && bytes[1] === 0x4b && (bytes[2] === 3 || bytes[2] === 5) && bytes[3] === bytes[2] + 1;
}

/**
 * The KML document of a KMZ archive: `doc.kml`, else the first in the archive's directory whose name ends in `.kml` (OGC 12-007r2, annex C).
 *
 * Sizes are held against what is there before memory is taken, and contents against size and CRC-32 of the directory. Names are looked
 * at, never used as paths.
 *
 * @throws `FeeringError` `bad-format` for a damaged archive, or one without a document; `too-large` for a document above `maximum`
 * @see .ZIP File Format Specification (APPNOTE) 6.3.9, sections 4.3.7, 4.3.12 and 4.3.16
 */
export function kmlOfZip(bytes: Uint8Array, maximum: number): { document: Uint8Array; others: number } {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const end = endOfDirectory(view);
  const count = view.getUint16(end + 10, true);
  const size = view.getUint32(end + 12, true);
  const start = view.getUint32(end + 16, true);
  if (start === 0xffffffff || size === 0xffffffff || count === MOST_ENTRIES)
    throw damaged("is of the 64 bit kind, which is not read");
  if (start + size > end) throw damaged(`has a directory of ${size} bytes at ${start}, past its end`);
  const found: Entry[] = [];
  let at = start;
  for (let i = 0; i < count; i++) {
    if (at + 46 > start + size || view.getUint32(at, true) !== 0x02014b50)
      throw damaged(`has no entry ${i} in its directory`);
    const length = view.getUint16(at + 28, true);
    const next = at + 46 + length + view.getUint16(at + 30, true) + view.getUint16(at + 32, true);
    if (next > start + size) throw damaged(`has an entry ${i} past the end of its directory`);
    if (isKml(bytes, at + 46, length)) {
      found.push({
        name: String.fromCharCode(...bytes.subarray(at + 46, at + 46 + Math.min(length, 100))),
        flags: view.getUint16(at + 8, true),
        method: view.getUint16(at + 10, true),
        crc: view.getUint32(at + 16, true),
        packed: view.getUint32(at + 20, true),
        size: view.getUint32(at + 24, true),
        offset: view.getUint32(at + 42, true),
      });
    }
    at = next;
  }
  const entry = found.find(({ name }) => name.toLowerCase() === "doc.kml") ?? found[0];
  if (entry === undefined) throw damaged("holds no document whose name ends in .kml");
  return { document: unpack(bytes, view, entry, maximum), others: found.length - 1 };
}

interface Entry {
  readonly name: string;
  readonly flags: number;
  readonly method: number;
  readonly crc: number;
  readonly packed: number;
  readonly size: number;
  readonly offset: number;
}

function unpack(bytes: Uint8Array, view: DataView, entry: Entry, maximum: number): Uint8Array {
  const { flags, method, crc, packed, size, offset } = entry;
  if ((flags & 1) !== 0) throw damaged("holds a document that is encrypted");
  if (size > maximum) {
    throw new FeeringError(
      "too-large",
      `the document in the archive has ${size} bytes, at most ${maximum} are read (options.maximumLength)`,
      { argument: "input", value: size },
    );
  }
  if (offset + 30 > bytes.length || view.getUint32(offset, true) !== 0x04034b50)
    throw damaged("has no entry where its directory says");
  const from = offset + 30 + view.getUint16(offset + 26, true) + view.getUint16(offset + 28, true);
  if (from + packed > bytes.length) throw damaged("ends inside of its document");
  const data = bytes.subarray(from, from + packed);
  if (method !== 0 && method !== 8) throw damaged(`holds a document packed by method ${method}, needs 0 or 8`);
  if (method === 0 ? size !== packed : size > TIGHTEST * packed + TIGHTEST) {
    throw damaged(`claims ${size} bytes of document in ${packed}`);
  }
  let document: Uint8Array;
  try {
    // room for one byte more than is claimed, so that more is seen; the rest is not written
    document = method === 0 ? data : inflateSync(data, { out: new Uint8Array(size + 1) });
  } catch (cause) {
    throw damaged("holds a document that can't be unpacked", cause);
  }
  if (document.length !== size || crc32(document, 0, size) !== crc) {
    throw damaged("holds a document whose size or checksum is not that of the directory");
  }
  return document;
}

/** Where the record at the archive's end begins; behind it a comment of up to 65535 bytes may stand. */
function endOfDirectory(view: DataView): number {
  const last = view.byteLength - 22;
  for (let at = last; at >= 0 && at >= last - 65_535; at--) {
    if (view.getUint32(at, true) === 0x06054b50 && at + 22 + view.getUint16(at + 20, true) === view.byteLength)
      return at;
  }
  throw damaged("has no directory at its end: it was cut off");
}

function isKml(bytes: Uint8Array, at: number, length: number): boolean {
  if (length < 4) return false;
  const tail = String.fromCharCode(...bytes.subarray(at + length - 4, at + length));
  return tail.toLowerCase() === ".kml";
}

function damaged(problem: string, cause?: unknown): FeeringError {
  return new FeeringError("bad-format", `the archive ${problem}`, { argument: "input", cause });
}
