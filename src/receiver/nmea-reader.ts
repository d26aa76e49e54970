import { requireNumber, requireObject } from "../errors/index.js";
import { Epoch } from "./epoch.js";
import type { Fix } from "./fix.js";
import type { NmeaCounts } from "./nmea-counts.js";
import { decode } from "./decode.js";
import { MAXIMUM_SENTENCE, SentenceFields } from "./sentence-fields.js";

const DOLLAR = 0x24;
const STAR = 0x2a;
const COMMA = 0x2c;
const LINE_FEED = 0x0a;
const RETURN = 0x0d;

/** between sentences */
const OUTSIDE = 0;
/** after the `$` */
const INSIDE = 1;
/** after the `*`, and after its first digit */
const FIRST_DIGIT = 2;
const SECOND_DIGIT = 3;
/** after both digits, before the end of the line */
const ENDING = 4;

/** Options of {@link NmeaReader}. */
export interface NmeaReaderOptions {
  /**
   * Dates before this are taken as those of a receiver whose GPS week number has started again and are moved on by
   * 1024 weeks (19.6 years) until they are not before it: seconds since 1970 UTC; default 0, no date is moved.
   */
  readonly earliestTime?: number;
}

/**
 * Reads the NMEA 0183 sentences of a positioning receiver from bytes and joins them by time to fixes.
 *
 * GGA, GNS, RMC, GLL, VTG, HDT, THS, GST and ZDA of any talker are used. Bytes may come in any pieces; the fixes depend on their
 * sequence alone. Whatever is wrong with them is counted in {@link NmeaReader.counts}, nothing is thrown.
 *
 * A fix goes out with the last sentence of its epoch (the types and their order are learnt), without waiting for the
 * next epoch; where that sentence is missing, with the first sentence of another time, or with {@link NmeaReader.flush}.
 *
 * @see NMEA 0183 and IEC 61162-1; docs/receiver.md for every rule
 *
 * @example
 * ```ts
 * const reader = new NmeaReader();
 * const bytes = new TextEncoder().encode(
 *   "$GNGGA,001043.00,4404.14036,N,12118.85961,W,1,12,0.98,1113.0,M,-21.3,M,,*47\r\n",
 * );
 * reader.push(bytes); // []: the first epoch is not known to be complete
 * const [fix] = reader.flush(); // latitude 44.069006, longitude -121.3143268333, altitude 1091.7
 * ```
 */
export class NmeaReader {
  /** what has been met so far; updated in place */
  readonly counts: Readonly<NmeaCounts>;

  private readonly tally: NmeaCounts;
  private readonly fields = new SentenceFields();
  private readonly epoch: Epoch;
  private state = OUTSIDE;
  private length = 0;
  private sum = 0;
  private stated = 0;

  /**
   * @param options - see {@link NmeaReaderOptions}
   * @throws `FeeringError` with code `not-finite` or `out-of-range` for a bad option
   */
  constructor(options: NmeaReaderOptions = {}) {
    requireObject(options, "options");
    const earliest = requireNumber(options.earliestTime ?? 0, "options.earliestTime", { min: 0, max: 253_402_300_799 });
    this.tally = emptyCounts();
    this.counts = this.tally;
    this.epoch = new Epoch(this.tally, Math.floor(earliest / 86_400));
  }

  /**
   * Take the next bytes and give the fixes that they complete.
   *
   * @param bytes - any piece of the stream, of any length
   * @returns new objects, in the order of the stream; empty when none is complete
   */
  push(bytes: Uint8Array): Fix[] {
    const fixes: Fix[] = [];
    this.epoch.into = fixes;
    this.epoch.onFix = undefined;
    this.read(bytes);
    this.epoch.into = undefined;
    return fixes;
  }

  /**
   * Take the next bytes and hand over each fix that they complete, without making garbage.
   *
   * @param bytes - any piece of the stream, of any length
   * @param onFix - called with each fix; the object is the reader's own and is overwritten by the next, NaN stands for what
   *   is not known. It must not call the reader; what it throws comes out here, and the rest of `bytes` is lost
   */
  pushEach(bytes: Uint8Array, onFix: (fix: Fix) => void): void {
    this.epoch.into = undefined;
    this.epoch.onFix = onFix;
    this.read(bytes);
  }

  /**
   * Give out the fix that waits for more sentences, as at the end of a stream or when the receiver has fallen silent.
   * Half a sentence is dropped.
   *
   * @returns no fix or one
   */
  flush(): Fix[] {
    const fixes: Fix[] = [];
    this.epoch.into = fixes;
    if (this.state === ENDING) this.finish();
    else if (this.state !== OUTSIDE) this.refuse("incomplete");
    this.state = OUTSIDE;
    this.epoch.flush();
    this.epoch.into = undefined;
    return fixes;
  }

  private read(bytes: Uint8Array): void {
    // hot: every byte goes through here
    const kept = this.fields.bytes;
    const starts = this.fields.starts;
    // nothing is nothing new: the loop never throws
    const end = bytes?.length ?? 0;
    let i = 0;
    while (i < end) {
      if (this.state === INSIDE) {
        let length = this.length;
        let sum = this.sum;
        let count = this.fields.count;
        let byte = 0;
        const stop = Math.min(end, i + MAXIMUM_SENTENCE + 1 - length);
        for (; i < stop; i++) {
          byte = bytes[i]!;
          if (byte <= COMMA) {
            if (byte === COMMA) starts[count++] = length + 1;
            else if (byte === STAR || byte === DOLLAR || byte === RETURN || byte === LINE_FEED) break;
          }
          kept[length++] = byte;
          sum ^= byte;
        }
        this.fields.count = count;
        this.length = length;
        this.sum = sum;
        if (i < stop) {
          i++;
          if (byte === STAR) this.state = FIRST_DIGIT;
          else if (byte === DOLLAR) {
            this.refuse("incomplete");
            this.start();
          } else {
            this.refuse("noChecksum");
            this.state = OUTSIDE;
          }
        } else if (length > MAXIMUM_SENTENCE) {
          this.refuse("overlong");
          this.state = OUTSIDE;
        }
        continue;
      }
      const byte = bytes[i++]!;
      if (byte === DOLLAR) {
        if (this.state === ENDING) this.finish();
        else if (this.state !== OUTSIDE) this.refuse("incomplete");
        this.start();
      } else if (this.state === OUTSIDE) {
        if (byte !== RETURN && byte !== LINE_FEED) {
          this.tally.noiseBytes++;
          this.epoch.clean = false;
        }
      } else if (this.state === ENDING) {
        if (byte === RETURN || byte === LINE_FEED) this.finish();
        else this.refuse("badChecksum");
        this.state = OUTSIDE;
      } else {
        const digit = hexadecimal(byte);
        if (digit < 0) {
          this.refuse("badChecksum");
          this.state = OUTSIDE;
        } else if (this.state === FIRST_DIGIT) {
          this.stated = digit << 4;
          this.state = SECOND_DIGIT;
        } else {
          this.stated |= digit;
          this.state = ENDING;
        }
      }
    }
  }

  private start(): void {
    this.state = INSIDE;
    this.length = 0;
    this.sum = 0;
    this.fields.count = 1;
  }

  private refuse(why: "incomplete" | "noChecksum" | "overlong" | "badChecksum"): void {
    this.tally.sentences++;
    this.tally[why]++;
    this.epoch.clean = false;
  }

  private finish(): void {
    if (this.sum !== this.stated) {
      this.refuse("badChecksum");
      return;
    }
    this.tally.sentences++;
    this.tally.valid++;
    decode(this.fields, this.length, this.epoch, this.tally);
  }
}

function hexadecimal(byte: number): number {
  if (byte >= 0x30 && byte <= 0x39) return byte - 0x30;
  const letter = byte | 0x20;
  return letter >= 0x61 && letter <= 0x66 ? letter - 0x57 : -1;
}

function emptyCounts(): NmeaCounts {
  return {
    sentences: 0,
    valid: 0,
    accepted: 0,
    ignored: 0,
    malformed: 0,
    outOfRange: 0,
    badChecksum: 0,
    noChecksum: 0,
    incomplete: 0,
    overlong: 0,
    noiseBytes: 0,
    late: 0,
    badDates: 0,
    dateDisagreements: 0,
    weekRollovers: 0,
    fixes: 0,
    types: { GGA: 0, RMC: 0, VTG: 0, HDT: 0, THS: 0, GST: 0, ZDA: 0, GNS: 0, GLL: 0 },
  };
}
