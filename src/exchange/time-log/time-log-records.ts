import type { TimeLogHeader } from "./time-log-header.js";
import { type ReadTimeLogOptions, TimeLogReader } from "./time-log-reader.js";
import type { TimeLogRecord } from "./time-log-record.js";

/**
 * The records of a time log one after the other, as `TimeLogReader` reads them: constant memory, one record overwritten each time.
 *
 * @param header - the header file as bytes or text, or what `readTimeLogHeader` made of it
 * @param pieces - the bytes of the log, cut anyhow; one `Uint8Array` in a list will do
 * @param options - what becomes of damage
 * @returns the reader's own record each time: copy what is to be kept
 * @throws `FeeringError` as `TimeLogReader`
 * @example
 * ```ts
 * for (const record of timeLogRecords(headerFile, [bytes])) console.log(record.time, record.latitude, record.longitude);
 * ```
 */
export function* timeLogRecords(
  header: TimeLogHeader | string | Uint8Array,
  pieces: Iterable<Uint8Array>,
  options: ReadTimeLogOptions = {},
): Generator<TimeLogRecord, void> {
  const reader = new TimeLogReader(header, options);
  for (const piece of pieces) {
    reader.take(piece);
    while (reader.next()) yield reader.record;
  }
  reader.end();
}
