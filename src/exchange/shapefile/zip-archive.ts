import { Inflate } from "fflate";
import { crc32 } from "../../coverage/crc32.js";
import { FeeringError } from "../../errors/index.js";

/** A file in an archive, as the directory tells of it. */
export interface ZipEntry {
  /** path with forward slashes */
  readonly name: string;
  readonly flags: number;
  readonly method: number;
  readonly crc: number;
  readonly packed: number;
  readonly size: number;
  readonly offset: number;
}

/** most files that a directory is read of; real archives of layers have dozens */
const MOST_ENTRIES = 10_000;
/** a file packed more tightly than this is taken for a bomb, where it is large; real tables of blanks reach some 200 */
const HIGHEST_RATIO = 400;
/** bytes: smaller files do no harm, however tightly they are packed */
const SMALL = 1 << 20;
/** bytes handed to the inflater at once: it makes 1032 times as many of them at most */
const PIECE = 16_384;

/** Whether bytes begin as a zip archive does, an empty one too. */
export function isZip(bytes: Uint8Array): boolean {
  return (
    bytes[0] === 0x50 && bytes[1] === 0x4b && ((bytes[2] === 3 && bytes[3] === 4) || (bytes[2] === 5 && bytes[3] === 6))
  );
}

/**
 * Files of a zip archive, by its directory; directories themselves are left out. Nothing is unpacked yet.
 *
 * @throws `FeeringError` `bad-format` for what is damaged, `too-large` for too many files
 * @see PKWARE .ZIP File Format Specification (APPNOTE) 6.3.9, sections 4.3.12 and 4.3.16
 */
export function zipEntries(bytes: Uint8Array): ZipEntry[] {
  const view = viewOf(bytes);
  const end = endOfDirectory(view);
  const count = view.getUint16(end + 10, true);
  const size = view.getUint32(end + 12, true);
  const start = view.getUint32(end + 16, true);
  if (start === 0xffffffff || size === 0xffffffff || count === 0xffff) throw damaged("is of the 64 bit kind, not read");
  if (view.getUint16(end + 4, true) !== 0 || view.getUint16(end + 8, true) !== count) {
    throw damaged("is split over several files");
  }
  if (count > MOST_ENTRIES) {
    throw new FeeringError("too-large", `the archive has ${count} files, at most ${MOST_ENTRIES} are looked at`, {
      argument: "input",
      value: count,
    });
  }
  if (start + size > end) throw damaged(`has a directory of ${size} bytes at ${start}, past its end`);
  const entries: ZipEntry[] = [];
  let at = start;
  for (let i = 0; i < count; i++) {
    if (at + 46 > start + size || view.getUint32(at, true) !== 0x02014b50) {
      throw damaged(`has no file ${i} in its directory, ${count} are claimed`);
    }
    const length = view.getUint16(at + 28, true);
    const next = at + 46 + length + view.getUint16(at + 30, true) + view.getUint16(at + 32, true);
    if (next > start + size) throw damaged(`has a file ${i} past the end of its directory`);
    const flags = view.getUint16(at + 8, true);
    const name = nameOf(bytes.subarray(at + 46, at + 46 + length));
    if (!name.endsWith("/")) {
      entries.push({
        name,
        flags,
        method: view.getUint16(at + 10, true),
        crc: view.getUint32(at + 16, true),
        packed: view.getUint32(at + 20, true),
        size: view.getUint32(at + 24, true),
        offset: view.getUint32(at + 42, true),
      });
    }
    at = next;
  }
  return entries;
}

/**
 * Unpack one file. Its claims are held against what is there before memory is taken; unpacking stops as soon as more comes out
 * than was claimed; size and CRC-32 have to agree in the end.
 *
 * @throws `FeeringError` `bad-format`, `too-large` where it is packed too tightly to be true
 */
export function unpackEntry(bytes: Uint8Array, entry: ZipEntry): Uint8Array {
  const { name, flags, method, crc, packed, size, offset } = entry;
  const view = viewOf(bytes);
  const bad = (problem: string, cause?: unknown): FeeringError => damaged(`${problem}: ${name}`, cause);
  if ((flags & 0x41) !== 0) throw bad("holds a file that is encrypted");
  if (method !== 0 && method !== 8) throw bad(`holds a file packed by method ${method}, needs 0 or 8`);
  if (offset + 30 > bytes.length || view.getUint32(offset, true) !== 0x04034b50) {
    throw bad("has no file where its directory says");
  }
  // sizes may be left open in the local header (bit 3); where they are given they have to be the same
  const open = (view.getUint16(offset + 6, true) & 8) !== 0;
  const same =
    view.getUint16(offset + 8, true) === method &&
    (open ||
      (view.getUint32(offset + 14, true) === crc &&
        view.getUint32(offset + 18, true) === packed &&
        view.getUint32(offset + 22, true) === size));
  if (!same) throw bad("has a file whose header is not that of the directory");
  const from = offset + 30 + view.getUint16(offset + 26, true) + view.getUint16(offset + 28, true);
  if (from + packed > bytes.length) throw bad("ends inside of a file");
  if (method === 0 && size !== packed) throw bad(`claims ${size} bytes in ${packed} that are not packed`);
  if (size > SMALL && size > HIGHEST_RATIO * packed) {
    throw new FeeringError(
      "too-large",
      `the archive claims ${size} bytes packed in ${packed}, at most ${HIGHEST_RATIO} times as many are unpacked: ${name}`,
      { argument: "input", value: size },
    );
  }
  const data = bytes.subarray(from, from + packed);
  const content = method === 0 ? data : inflated(data, size, bad);
  if (crc32(content, 0, content.length) !== crc) throw bad("holds a file with a wrong checksum");
  return content;
}

function inflated(data: Uint8Array, size: number, bad: (problem: string, cause?: unknown) => FeeringError): Uint8Array {
  const out = new Uint8Array(size);
  let length = 0;
  let over = false;
  const inflate = new Inflate((chunk) => {
    if (length + chunk.length <= size) out.set(chunk, length);
    else over = true;
    length += chunk.length;
  });
  try {
    for (let at = 0; at < data.length && !over; at += PIECE) {
      inflate.push(data.subarray(at, at + PIECE), at + PIECE >= data.length);
    }
  } catch (cause) {
    throw bad("holds a file that can't be unpacked", cause);
  }
  if (length !== size) throw bad(`holds ${over ? "more" : "less"} than the ${size} bytes claimed of a file`);
  return out;
}

/** Where the record at the archive's end begins; behind it a comment of up to 65535 bytes may stand. */
function endOfDirectory(view: DataView): number {
  const last = view.byteLength - 22;
  for (let at = last; at >= 0 && at >= last - 65_535; at--) {
    if (view.getUint32(at, true) === 0x06054b50 && at + 22 + view.getUint16(at + 20, true) === view.byteLength) {
      return at;
    }
  }
  throw damaged("has no directory at its end: it was cut off");
}

/** A name in UTF-8; older archives have code page 437, of which the letters without accents are the same. */
function nameOf(bytes: Uint8Array): string {
  let name: string;
  try {
    name = new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    name = new TextDecoder("windows-1252").decode(bytes);
  }
  return name.replaceAll("\\", "/");
}

function viewOf(bytes: Uint8Array): DataView {
  return new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
}

function damaged(problem: string, cause?: unknown): FeeringError {
  return new FeeringError("bad-format", `the archive ${problem}`, {
    argument: "input",
    ...(cause === undefined ? {} : { cause }),
  });
}
