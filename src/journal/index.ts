export { type FileStorage, fileStorage, type NodeFiles } from "./file-storage.js";
export { Journal } from "./journal.js";
export type { JournalOptions, ResumePlace, StorageState } from "./journal-options.js";
export type { JournalStorage } from "./journal-storage.js";
export { JournalWriter } from "./journal-writer.js";
export { memoryStorage } from "./memory-storage.js";
export { type DamageReason, type JournalContent, type JournalRecord, readJournal } from "./read-journal.js";
export {
  type DroppedRecords,
  findSnapshots,
  type FoundSnapshots,
  type JournalTail,
  readTail,
  type RefusedFile,
} from "./recover.js";
export type { JournalHeader } from "./record-format.js";
export type { SnapshotFile, SnapshotPlace } from "./snapshot-file.js";
export { journalName } from "./file-names.js";
