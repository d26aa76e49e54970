import { type Fix, NmeaReader } from "../../src/receiver/index.js";
import { random } from "../helpers/random.js";
import { bytesOf, epoch, sentence } from "../receiver/sentences.js";

/** What a run of fuzz found. */
export interface FuzzResult {
  readonly bytes: number;
  readonly fixes: number;
  readonly sentences: number;
  readonly accepted: number;
  /** most bytes that the reader held in buffers and text at any look */
  readonly held: number;
}

const TYPES = ["GGA", "RMC", "VTG", "HDT", "THS", "GST", "ZDA", "GNS", "GLL", "GSV"] as const;
const CHARACTERS = "$*,.\r\n0123456789ABCDEFGPNMRTSV-+eE \u0000\u00ff";

/** Bytes that buffers and text of an object hold, however deep. */
function heldBytes(value: unknown, seen: Set<unknown> = new Set()): number {
  if (typeof value === "string") return value.length;
  if (typeof value !== "object" || value === null || seen.has(value)) return 0;
  seen.add(value);
  if (ArrayBuffer.isView(value)) return value.byteLength;
  let sum = 8;
  for (const part of Object.values(value)) sum += 8 + heldBytes(part, seen);
  return sum;
}

function soundFix(fix: Fix): boolean {
  const placed = fix.quality > 0;
  if (placed && !(Math.abs(fix.latitude) <= 90 && Math.abs(fix.longitude) <= 180)) return false;
  if (!placed && !(Number.isNaN(fix.latitude) && Number.isNaN(fix.longitude))) return false;
  for (const value of [fix.speed, fix.course, fix.heading, fix.horizontalAccuracy, fix.altitude]) {
    if (value !== undefined && !(Number.isFinite(value) || Number.isNaN(value))) return false;
  }
  return Number.isFinite(fix.time) || Number.isNaN(fix.time);
}

/** A stretch of stream: real sentences, mutated ones with a right checksum, rubbish. */
function stretch(chance: () => number, second: number): Uint8Array {
  const pick = <T>(values: ArrayLike<T>): T => values[Math.floor(chance() * values.length)]!;
  const kind = Math.floor(chance() * 8);
  if (kind === 0) return Uint8Array.from({ length: Math.floor(chance() * 2000) }, () => Math.floor(chance() * 256));
  if (kind === 1) return Uint8Array.from({ length: Math.floor(chance() * 400) }, () => pick(CHARACTERS).charCodeAt(0));
  let text = "";
  for (let i = 0; i < 8; i++) {
    const types = TYPES.filter(() => chance() < 0.5);
    text += epoch({
      at: Math.floor((second + i / 10) * 100) % 8_640_000,
      types,
      latitude: (chance() - 0.5) * 180,
      longitude: (chance() - 0.5) * 360,
      quality: Math.floor(chance() * 9),
      talker: pick(["GN", "GP", "GL", "GA"]),
    });
  }
  if (kind <= 3) {
    // characters changed in the body, the checksum made anew: what only a range check can find
    text = text
      .split("\r\n")
      .filter((line) => line !== "")
      .map((line) => {
        const body = Array.from(line.slice(1, line.indexOf("*")));
        for (let n = Math.floor(chance() * 4); n > 0; n--) {
          body[Math.floor(chance() * body.length)] = chance() < 0.3 ? "" : pick(CHARACTERS.slice(2));
        }
        return sentence(body.join(""));
      })
      .join("");
  }
  const bytes = bytesOf(text);
  if (kind >= 6) return bytes;
  for (let n = Math.floor(chance() * 20); n > 0; n--)
    bytes[Math.floor(chance() * bytes.length)] = Math.floor(chance() * 256);
  const from = Math.floor(chance() * 40);
  return bytes.subarray(from, Math.max(from, bytes.length - Math.floor(chance() * 40)));
}

/**
 * Feed a reader with so many bytes, cut anywhere, and check what comes out; throws where it is not sound.
 *
 * @param total - bytes
 * @param seed - of the chance
 * @param progress - called now and then with the bytes so far
 */
export function fuzzReader(
  total: number,
  seed: number,
  progress: (bytes: number) => void = () => undefined,
): FuzzResult {
  const chance = random(seed);
  const reader = new NmeaReader();
  const before = heldBytes(reader);
  let bytes = 0;
  let fixes = 0;
  let held = 0;
  let told = 0;
  for (let n = 0; bytes < total; n++) {
    const piece = stretch(chance, n);
    // a stretch is fed again and again in other cuts: making bytes costs more than reading them
    for (let again = 0; again < 4; again++) {
      for (let from = 0; from < piece.length; ) {
        const to = Math.min(piece.length, from + 1 + Math.floor(chance() ** 3 * 3000));
        for (const fix of reader.push(piece.subarray(from, to))) {
          fixes++;
          if (!soundFix(fix)) throw new Error(`seed ${seed}, byte ${bytes}: ${JSON.stringify(fix)}`);
        }
        from = to;
      }
      bytes += piece.length;
    }
    if (n % 64 === 0) {
      const now = heldBytes(reader);
      held = Math.max(held, now);
      if (now > before + 8192) throw new Error(`seed ${seed}, byte ${bytes}: the reader holds ${now} bytes`);
      const c = reader.counts;
      const sum =
        c.accepted + c.ignored + c.malformed + c.outOfRange + c.badChecksum + c.noChecksum + c.incomplete + c.overlong;
      if (sum !== c.sentences)
        throw new Error(`seed ${seed}, byte ${bytes}: ${sum} of ${c.sentences} sentences counted`);
      if (c.fixes !== fixes || c.sentences > bytes) throw new Error(`seed ${seed}, byte ${bytes}: counts do not fit`);
    }
    if (bytes - told >= 1e8) {
      told = bytes;
      progress(bytes);
    }
  }
  return { bytes, fixes, sentences: reader.counts.sentences, accepted: reader.counts.accepted, held };
}
