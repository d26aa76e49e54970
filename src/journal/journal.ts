import { crc32 } from "../coverage/crc32.js";
import { FeeringError, requireNumber, requireObject } from "../errors/index.js";
import { journalName, journalNumber, SNAPSHOT_PART, SNAPSHOTS } from "./file-names.js";
import type { JournalOptions, ResumePlace, StorageState } from "./journal-options.js";
import type { JournalStorage } from "./journal-storage.js";
import { JournalWriter } from "./journal-writer.js";
import { listFiles } from "./recover.js";
import { encodeHeader, JOURNAL_HEADER } from "./record-format.js";
import { sayError } from "./say-error.js";
import { encodeSnapshot } from "./snapshot-file.js";

/**
 * An append-only record in files, with snapshots in between. It knows nothing of what the bytes mean.
 *
 * Records go into a buffer ({@link Journal.reserve}, {@link Journal.commit}) and from there to the storage with {@link Journal.sync}; what has been synced
 * outlives a power cut. After a call that threw nothing more is added to that file, whose end is in doubt: all since the last good sync is
 * written again into the next one. Two snapshots alternate, each written aside, synced, read back and renamed; journal files are removed only
 * when neither of the two needs them.
 *
 * No method but the static ones throws.
 */
export class Journal {
  /** whether what is recorded is safe */
  readonly state: StorageState;

  readonly #storage: JournalStorage;
  readonly #writer: JournalWriter;
  readonly #identity: number;
  readonly #keep: boolean;
  readonly #fileSize: number;
  readonly #state: { -readonly [K in keyof StorageState]: StorageState[K] };
  /** the file that records go into */
  #number: number;
  #header: Uint8Array;
  /** bytes of it that are safe; 0 before it was made */
  #size = 0;
  /** a write of it was tried and failed, so that its end is in doubt */
  #doubtful = false;
  /** records were dropped for want of room: only a snapshot can stand for them */
  #broken = false;
  /** the last snapshot came to nothing */
  #overdue = false;
  #snapshots: number;
  /** journal file that each snapshot needs; infinite where there is no snapshot */
  readonly #needs: [number, number];
  /** which snapshot is replaced next */
  #next: 0 | 1;

  private constructor(storage: JournalStorage, place: ResumePlace, options: JournalOptions) {
    requireObject(options, "options");
    this.#storage = storage;
    this.#identity = place.identity;
    this.#keep = options.keepJournals === true;
    this.#fileSize = requireNumber(options.fileSize ?? 1 << 20, "options.fileSize", { min: 0 });
    this.#number = place.lastJournal + 1;
    this.#snapshots = place.lastSnapshot;
    this.#next = place.kept.name === SNAPSHOTS[0] ? 1 : 0;
    this.#needs = [place.kept.journal, place.kept.journal];
    const { bytes, salt } = encodeHeader(this.#identity, this.#number, place.sequence);
    this.#header = bytes;
    const most = requireNumber(options.bufferSize ?? 1 << 22, "options.bufferSize", { min: 1024, max: 1 << 28 });
    this.#writer = new JournalWriter(place.sequence, salt, Math.min(most, 1 << 16), most);
    this.#state = { status: "ok", reason: "", failures: 0, pending: 0, records: place.sequence - 1 };
    this.state = this.#state;
  }

  /**
   * Begin the record of a job in an empty storage, with a snapshot of its start, written twice.
   *
   * @param storage - where to; other files in it are left alone
   * @param body - the first snapshot
   * @param options - how the journal is kept
   * @returns the journal; where the storage failed, its state says so and it goes on trying
   * @throws `FeeringError` `wrong-state` when there is a job in the storage already, or it can't list its files; `not-finite` or `out-of-range` for an option
   */
  static start(storage: JournalStorage, body: Uint8Array, options: JournalOptions = {}): Journal {
    requireObject(options, "options");
    const names = listFiles(storage);
    const taken = names.find((name) => SNAPSHOTS.includes(name) || journalNumber(name) > 0);
    if (taken !== undefined) {
      throw new FeeringError("wrong-state", `storage holds a job already: there is ${taken}`, { argument: "storage" });
    }
    const identity = requireNumber(options.identity ?? crc32(body, 0, body.length), "options.identity", {
      min: 0,
      max: 0xffffffff,
    });
    const kept = { name: SNAPSHOTS[1], journal: 1 };
    const place = { identity, sequence: 1, lastJournal: 0, lastSnapshot: 0, kept };
    const journal = new Journal(storage, place, options);
    // records without the snapshot that they begin at lead nowhere
    journal.#broken = true;
    journal.snapshot(body);
    journal.snapshot(body);
    return journal;
  }

  /**
   * Go on with the record of a job that was recovered, in a file of its own. Take a snapshot next.
   *
   * @param storage - where the job was kept
   * @param place - where it goes on
   * @param options - how the journal is kept
   * @returns the journal
   * @throws `FeeringError` `not-finite` or `out-of-range` for an option
   */
  static resume(storage: JournalStorage, place: ResumePlace, options: JournalOptions = {}): Journal {
    return new Journal(storage, place, options);
  }

  /** Number of the journal file that records go into. */
  get number(): number {
    return this.#number;
  }

  /** Which job it is of. */
  get identity(): number {
    return this.#identity;
  }

  /** The buffer that bodies are written into; another one after each {@link Journal.reserve}, perhaps. */
  get view(): DataView {
    return this.#writer.view;
  }

  /** The same as bytes. */
  get bytes(): Uint8Array {
    return this.#writer.bytes;
  }

  /**
   * Make room for a record.
   *
   * @param size - bytes that its body has at most
   * @returns where in {@link Journal.view} the body begins; -1 where there is no room: then call {@link Journal.skip}
   */
  reserve(size: number): number {
    return this.#broken ? -1 : this.#writer.reserve(size);
  }

  /**
   * Take the body just written as a record.
   *
   * @param size - bytes that it has
   */
  commit(size: number): void {
    this.#writer.commit(size);
    this.#state.pending++;
    this.#state.records++;
  }

  /** Count a record for which there was no room: nothing more is kept until a snapshot stands for it and all after it. */
  skip(): void {
    this.#writer.skip();
    this.#broken = true;
    this.#state.pending++;
    this.#state.records++;
    if (this.#state.reason === "") this.#state.reason = "a record is too large for the buffer";
    this.#state.status = "failing";
  }

  /** Whether a snapshot is wanted soon: one failed, or only one can make safe what is pending. */
  get needsSnapshot(): boolean {
    return this.#broken || this.#overdue;
  }

  /**
   * Make safe what is recorded so far.
   *
   * @returns whether it is
   */
  sync(): boolean {
    if (this.#broken) return false;
    const writer = this.#writer;
    if (writer.length === 0) {
      // nothing to lose, whatever failed before
      this.#settle();
      return true;
    }
    if (this.#doubtful && this.#size > 0) this.#begin(writer.firstSequence);
    const name = journalName(this.#number);
    let step = "append to";
    try {
      const records = writer.framed();
      if (this.#size === 0) {
        // a new file is written whole, so that what a failed try left of it is gone
        step = "write";
        this.#storage.write(name, joined(this.#header, records));
      } else this.#storage.append(name, records);
      step = "sync";
      this.#storage.sync(name);
    } catch (error) {
      this.#doubtful = true;
      this.#fail(step, name, error);
      return false;
    }
    this.#doubtful = false;
    this.#size = (this.#size === 0 ? JOURNAL_HEADER : this.#size) + writer.length;
    writer.clear();
    this.#settle();
    return true;
  }

  /**
   * Put away a snapshot that stands for all recorded so far.
   *
   * @param body - what is to be put away
   * @returns whether it is safe; if not, the two before it still are, and so are their records
   */
  snapshot(body: Uint8Array): boolean {
    const writer = this.#writer;
    const inFile = this.sync() && this.#size < this.#fileSize;
    // after it comes this file, or one that there is nothing of yet
    const untouched = this.#size === 0 && !this.#doubtful;
    const journal = inFile || untouched ? this.#number : this.#number + 1;
    const offset = inFile && this.#size > 0 ? this.#size : JOURNAL_HEADER;
    const number = this.#snapshots + 1;
    const place = { identity: this.#identity, number, journal, offset, sequence: writer.sequence };
    this.#overdue = true;
    const outcome = this.#putAway(SNAPSHOTS[this.#next], encodeSnapshot(place, body));
    if (outcome !== "safe") {
      // it may have got its name all the same: the records have to go where it says
      if (outcome === "doubtful" && journal !== this.#number) this.#begin(writer.firstSequence);
      return false;
    }
    this.#overdue = false;
    this.#needs[this.#next] = journal;
    this.#next = this.#next === 0 ? 1 : 0;
    this.#snapshots = number;
    writer.clear();
    this.#broken = false;
    if (journal !== this.#number || untouched) {
      this.#number = journal - 1;
      this.#begin(writer.sequence);
    }
    this.#settle();
    if (!this.#keep) this.#removeOld();
    return true;
  }

  /** Write a snapshot aside, and give it its name once it is whole. */
  #putAway(name: string, bytes: Uint8Array): "safe" | "failed" | "doubtful" {
    const storage = this.#storage;
    let step = "write";
    let named = false;
    try {
      storage.write(SNAPSHOT_PART, bytes);
      step = "sync";
      storage.sync(SNAPSHOT_PART);
      step = "read";
      // an older snapshot is given up for it: better look
      if (!same(storage.read(SNAPSHOT_PART), bytes)) throw new Error("what was read is not what was written");
      step = "rename";
      named = true;
      storage.rename(SNAPSHOT_PART, name);
      step = "sync the name of";
      storage.sync(name);
    } catch (error) {
      this.#fail(step, SNAPSHOT_PART, error);
      return named ? "doubtful" : "failed";
    }
    return "safe";
  }

  /** Begin the next file. */
  #begin(firstSequence: number): void {
    this.#number++;
    const { bytes, salt } = encodeHeader(this.#identity, this.#number, firstSequence);
    this.#header = bytes;
    this.#writer.moveTo(salt);
    this.#size = 0;
    this.#doubtful = false;
  }

  /** Remove journal files that neither snapshot needs; what fails is tried again after the next snapshot. */
  #removeOld(): void {
    const needed = Math.min(...this.#needs);
    try {
      for (const name of this.#storage.list()) {
        const number = journalNumber(name);
        if (number > 0 && number < needed) this.#storage.remove(name);
      }
    } catch {
      // a file too many harms nobody
    }
  }

  #fail(step: string, name: string, error: unknown): void {
    const state = this.#state;
    state.status = "failing";
    state.reason = `${step} ${name}: ${sayError(error)}`;
    state.failures++;
  }

  #settle(): void {
    const state = this.#state;
    state.pending = 0;
    if (this.#overdue) return;
    state.status = "ok";
    state.reason = "";
  }
}

function joined(a: Uint8Array, b: Uint8Array): Uint8Array {
  const bytes = new Uint8Array(a.length + b.length);
  bytes.set(a);
  bytes.set(b, a.length);
  return bytes;
}

function same(a: Uint8Array | undefined, b: Uint8Array): boolean {
  if (a?.length !== b.length) return false;
  for (let i = 0; i < b.length; i++) if (a[i] !== b[i]) return false;
  return true;
}
