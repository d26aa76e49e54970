import { FeeringError } from "../../errors/index.js";
import { checkHeader } from "./check-header.js";
import { readTimeLogHeader } from "./read-time-log-header.js";
import { RecordLayout } from "./record-layout.js";
import { LONGEST_RECORD, type TimeLogHeader } from "./time-log-header.js";
import { TimeLogRecord } from "./time-log-record.js";

/** How a time log is read. */
export interface ReadTimeLogOptions {
  /**
   * what becomes of damage: `refuse` (default) throws at the first; `keep`, for a log that a power cut broke off, gives all whole records, and counts the bytes of a
   * last one that is not whole, numbers out of range (given as not available) and values of no channel (left out)
   */
  readonly damage?: "refuse" | "keep";
}

/** What a reader has seen so far. */
export interface TimeLogCounts {
  /** whole records */
  readonly records: number;
  /** bytes of them */
  readonly bytes: number;
  /** bytes behind them that are no whole record; while a log is being read those that wait for the rest */
  readonly leftOver: number;
  /** records with a time or place that is none, given as not available */
  readonly outOfRange: number;
  /** values left out, as they name a channel that the header does not have */
  readonly strayValues: number;
}

/**
 * Reads the records of a time log (TLGxxxxx.BIN of ISO 11783-10) from bytes as they come, in pieces of any size, in constant memory.
 *
 * After public descriptions of the format (secondary); a record read against them byte for byte is in tests/exchange/time-log.test.ts. Nothing is allocated for a
 * record: there is one, overwritten each time.
 *
 * @example
 * ```ts
 * const reader = new TimeLogReader(headerFile);
 * for (const piece of pieces) {
 *   reader.push(piece, (record) => {
 *     for (let i = 0; i < record.count; i++) {
 *       const { ddi } = reader.header.channels[record.channels[i]];
 *       console.log(record.time, record.latitude, record.longitude, ddi, record.values[i]);
 *     }
 *   });
 * }
 * reader.end();
 * ```
 */
export class TimeLogReader {
  /** what the records have */
  readonly header: TimeLogHeader;
  /** the record read last, overwritten by the next */
  readonly record: TimeLogRecord = new TimeLogRecord();

  private readonly layout: RecordLayout;
  private readonly keep: boolean;
  private readonly channels: number;
  /** a record whose rest has not come yet */
  private readonly carry = new Uint8Array(LONGEST_RECORD);
  private carried = 0;
  private piece: Uint8Array = new Uint8Array(0);
  private at = 0;
  private records = 0;
  private bytes = 0;
  private outOfRange = 0;
  private strayValues = 0;
  private state: "open" | "ended" | "failed" = "open";

  /**
   * @param header - the header file as bytes or text, or what `readTimeLogHeader` made of it
   * @param options - what becomes of damage
   * @throws `FeeringError` as `readTimeLogHeader`, or `out-of-range` with the path in a header that is damaged
   */
  constructor(header: TimeLogHeader | string | Uint8Array, options: ReadTimeLogOptions = {}) {
    const given = typeof header === "string" || header instanceof Uint8Array ? readTimeLogHeader(header) : header;
    this.header = checkHeader(given);
    this.layout = new RecordLayout(this.header);
    this.keep = options.damage === "keep";
    this.channels = this.header.channels.length;
  }

  /** What was read so far. */
  get counts(): TimeLogCounts {
    const { records, bytes, outOfRange, strayValues } = this;
    const leftOver = this.carried + this.piece.length - this.at;
    return { records, bytes, leftOver, outOfRange, strayValues };
  }

  /**
   * Take the next bytes.
   *
   * @param bytes - of any length; not kept
   * @param onRecord - called with the reader's own record, which the next overwrites; what it throws ends the reading
   * @throws `FeeringError` `bad-format` with the record's first byte in the log as `index`, for a number out of range or a value of no channel; `wrong-state`
   * after the end or an error
   */
  push(bytes: Uint8Array, onRecord: (record: TimeLogRecord) => void): void {
    this.take(bytes);
    this.state = "failed";
    while (this.next()) onRecord(this.record);
    this.state = "open";
  }

  /**
   * Say that no more bytes come.
   *
   * @returns what was read
   * @throws `FeeringError` `bad-format` with an offset as `index` where the last record is not whole, unless damage is kept; `wrong-state` after an error
   */
  end(): TimeLogCounts {
    if (this.state === "failed") throw closed();
    this.state = "ended";
    if (this.carried > 0 && !this.keep) {
      this.state = "failed";
      throw this.refuse(`the log ends within a record, after ${this.carried} bytes of it`);
    }
    return this.counts;
  }

  /** Take bytes that {@link TimeLogReader.next} goes through; the rest of those before is kept by then. */
  take(bytes: Uint8Array): void {
    if (this.state !== "open") throw closed();
    if (!(bytes instanceof Uint8Array)) {
      throw new FeeringError("bad-format", `bytes is ${typeof bytes}, needs a Uint8Array`, { argument: "bytes" });
    }
    this.piece = bytes;
    this.at = 0;
  }

  /** Read the next whole record of what was taken; false where there is none, and the rest is put by. */
  next(): boolean {
    // hot: once a record
    const { piece, layout } = this;
    const counted = layout.fixedLength;
    if (this.carried === 0) {
      const at = this.at;
      const left = piece.length - at;
      if (left >= counted) {
        const length = counted + 5 * piece[at + counted - 1]!;
        if (left >= length) {
          this.at = at + length;
          this.decode(piece, at, length);
          return true;
        }
      }
    }
    if (!this.fill(counted)) return false;
    const length = counted + 5 * this.carry[counted - 1]!;
    if (!this.fill(length)) return false;
    this.carried = 0;
    this.decode(this.carry, 0, length);
    return true;
  }

  /** Bring what waits up to a length; false where the bytes do not suffice. */
  private fill(length: number): boolean {
    const { carry, piece } = this;
    let carried = this.carried;
    let at = this.at;
    while (carried < length && at < piece.length) carry[carried++] = piece[at++]!;
    this.carried = carried;
    this.at = at;
    return carried >= length;
  }

  private decode(bytes: Uint8Array, at: number, length: number): void {
    const record = this.record;
    const bad = this.layout.decode(bytes, at, record);
    if (bad !== 0) {
      if (!this.keep) throw this.fail(this.layout.describe(bad));
      this.outOfRange++;
    }
    const channels = this.channels;
    for (let i = 0; i < record.count; i++) {
      if (record.channels[i]! < channels) continue;
      if (!this.keep) {
        throw this.fail(`value ${i} is of channel ${record.channels[i]}, the header has ${channels}`);
      }
      this.leaveOutStray();
      break;
    }
    record.index = this.records++;
    record.offset = this.bytes;
    this.bytes += length;
  }

  private leaveOutStray(): void {
    const record = this.record;
    let kept = 0;
    for (let i = 0; i < record.count; i++) {
      if (record.channels[i]! >= this.channels) continue;
      record.channels[kept] = record.channels[i]!;
      record.values[kept] = record.values[i]!;
      kept++;
    }
    this.strayValues += record.count - kept;
    record.count = kept;
  }

  private fail(problem: string): FeeringError {
    this.state = "failed";
    return this.refuse(problem);
  }

  private refuse(problem: string): FeeringError {
    const place = `record ${this.records}, at byte ${this.bytes}`;
    return new FeeringError("bad-format", `${place}: ${problem}`, { argument: "bytes", index: this.bytes });
  }
}

function closed(): FeeringError {
  return new FeeringError("wrong-state", "the log has ended, or has failed before", { argument: "reader" });
}
