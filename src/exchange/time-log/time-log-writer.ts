import { FeeringError, requireObject } from "../../errors/index.js";
import { checkHeader } from "./check-header.js";
import { RecordLayout } from "./record-layout.js";
import { LONGEST_RECORD, type TimeLogHeader } from "./time-log-header.js";
import type { TimeLogRecord } from "./time-log-record.js";

/** Bytes of a page. */
const PAGE = 16_384;

/**
 * Writes the records of a time log (TLGxxxxx.BIN of ISO 11783-10) of any length in constant memory: bytes are handed out in pages of 16 384, the last one shorter.
 *
 * The header file is written by `writeTimeLogHeader` of the same header; what the header fixes for all records, or does not have, is left out of them. After public
 * descriptions of the format (secondary); a record written against them byte for byte is in tests/exchange/time-log.test.ts.
 *
 * @example
 * ```ts
 * const writer = new TimeLogWriter(header, (bytes) => file.write(bytes));
 * const record = new TimeLogRecord();
 * for (const fix of fixes) {
 *   record.clear();
 *   record.setTime(fix.time, 7200);
 *   record.latitude = fix.latitude;
 *   record.longitude = fix.longitude;
 *   record.add(0, 6000);
 *   writer.write(record);
 * }
 * writer.end();
 * ```
 */
export class TimeLogWriter {
  /** what the records have */
  readonly header: TimeLogHeader;

  private readonly layout: RecordLayout;
  private readonly sink: (bytes: Uint8Array) => void;
  /** the page that is being filled, and room for a record that goes on in the next */
  private readonly page = new Uint8Array(PAGE + LONGEST_RECORD);
  private filled = 0;
  private handedOut = 0;
  private state: "open" | "ended" | "failed" = "open";

  /**
   * @param header - what the records have
   * @param sink - called with each page, which is its own to keep; what it throws ends the writing
   * @throws `FeeringError` `out-of-range`, `not-finite` or `too-large` with the path in the header; `bad-format` for a sink that cannot be called
   */
  constructor(header: TimeLogHeader, sink: (bytes: Uint8Array) => void) {
    if (typeof sink !== "function") {
      throw new FeeringError("bad-format", `sink is ${typeof sink}, needs a function`, {
        argument: "sink",
        value: sink,
      });
    }
    this.header = checkHeader(header);
    this.layout = new RecordLayout(this.header);
    this.sink = sink;
  }

  /** Bytes of all records so far: attribute B of the element TLG that names the log. */
  get length(): number {
    return this.handedOut + this.filled;
  }

  /**
   * Write a record. Numbers are rounded to what the format has: 1e-7 degrees, 1 mm, 1 ms, 0.1 of a dilution; NaN is not available.
   *
   * @param record - not kept: one, used again and again, will do
   * @throws `FeeringError` `out-of-range` with the name of what does not fit, `too-large` for more than 255 values; nothing of the record is written then, and the
   * next may be. `wrong-state` after the end, or after an error of the sink
   */
  write(record: TimeLogRecord): void {
    // hot: once a record
    if (this.state !== "open") throw closed();
    requireObject(record, "record");
    this.filled = this.layout.encode(record, this.page, this.filled);
    if (this.filled >= PAGE) this.handOut(PAGE);
  }

  /**
   * Hand out what the last page has.
   *
   * @throws `FeeringError` `wrong-state` after an error of the sink
   */
  end(): void {
    if (this.state === "failed") throw closed();
    if (this.filled > 0) this.handOut(this.filled);
    this.state = "ended";
  }

  private handOut(length: number): void {
    const { page, sink } = this;
    const bytes = page.slice(0, length);
    page.copyWithin(0, length, this.filled);
    this.filled -= length;
    this.handedOut += length;
    this.state = "failed";
    sink(bytes);
    this.state = "open";
  }
}

function closed(): FeeringError {
  return new FeeringError("wrong-state", "the log has ended, or its sink has failed before", { argument: "writer" });
}
