/** How a journal is kept. */
export interface JournalOptions {
  /**
   * a number that tells this job from others that were kept in the same place before, 0 to 2^32 - 1: the time of day, say; default made
   * of the first snapshot, which is enough where the storage keeps what it was told to
   */
  readonly identity?: number;
  /** keep all journal files, as evidence, instead of those only that recovery may need; default false */
  readonly keepJournals?: boolean;
  /** bytes after which, with the next snapshot, another journal file is begun; default 1 MiB */
  readonly fileSize?: number;
  /** bytes of records held while the storage fails, before the next snapshot has to stand for them; default 4 MiB */
  readonly bufferSize?: number;
}

/** Whether what is recorded is safe: one object, owned by the journal and overwritten by it. */
export interface StorageState {
  /** `failing` from the first call that threw until all is safe that it was to make safe */
  readonly status: "ok" | "failing";
  /** what failed last, in words; empty while nothing does */
  readonly reason: string;
  /** calls that threw since the journal was opened */
  readonly failures: number;
  /** records that are not safe yet */
  readonly pending: number;
  /** records so far */
  readonly records: number;
}

/** Where a journal goes on after recovery. */
export interface ResumePlace {
  /** which job it is of */
  readonly identity: number;
  /** sequence of the next record */
  readonly sequence: number;
  /** largest number of any journal file there is, or that a snapshot names */
  readonly lastJournal: number;
  /** largest number of any snapshot there is */
  readonly lastSnapshot: number;
  /** name of the snapshot to be kept, and the journal file that follows it; the next snapshot replaces the other one */
  readonly kept: {
    /** its name */
    readonly name: string;
    /** number of the journal file that follows it */
    readonly journal: number;
  };
}
