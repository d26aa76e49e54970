import { FeeringError, requireNumber, requireObject } from "../errors/index.js";
import type { JournalOptions } from "../journal/index.js";

/** Longest text of {@link RecordOptions.software}, characters. */
const LONGEST_TEXT = 10_000;

/** How a job is recorded. */
export interface RecordOptions extends JournalOptions {
  /** most work that a power cut may take, s of the fixes' clock; default 1 */
  readonly syncInterval?: number;
  /** time between snapshots, s of the fixes' clock: how much has to be done again when the job is opened; default 60 */
  readonly snapshotInterval?: number;
  /** what program records, with its version: plain text, kept with the records, read by nothing */
  readonly software?: string;
}

/** {@link RecordOptions} with defaults filled in. */
export type CheckedOptions = JournalOptions &
  Required<Pick<RecordOptions, "syncInterval" | "snapshotInterval" | "software">>;

/** Check the options of a record, and fill in the defaults; the journal checks its own. */
export function checkOptions(options: RecordOptions): CheckedOptions {
  requireObject(options, "options");
  const { syncInterval = 1, snapshotInterval = 60, software = "" } = options;
  requireNumber(syncInterval, "options.syncInterval", { min: 0, max: 60 });
  requireNumber(snapshotInterval, "options.snapshotInterval", { above: 0 });
  if (typeof software !== "string" || software.length > LONGEST_TEXT) {
    throw new FeeringError("out-of-range", `options.software is ${typeof software}, needs a short text`, {
      argument: "options.software",
    });
  }
  return { ...options, syncInterval, snapshotInterval, software };
}
