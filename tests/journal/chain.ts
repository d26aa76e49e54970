import { crc32 } from "../../src/coverage/crc32.js";
import {
  findSnapshots,
  Journal,
  type JournalOptions,
  type JournalStorage,
  type JournalTail,
  readTail,
  type SnapshotFile,
} from "../../src/journal/index.js";

/**
 * The smallest program that needs a journal: its state is a number made of the one before and the input, so that any state tells all inputs
 * that led to it, and their order.
 */
export class Chain {
  value = 1;
  journal: Journal;
  /** inputs so far */
  count = 0;
  private constructor(journal: Journal | undefined, storage: JournalStorage, options: JournalOptions) {
    this.journal = journal ?? Journal.start(storage, this.body(), options);
  }

  static start(storage: JournalStorage, options: JournalOptions = {}): Chain {
    return new Chain(undefined, storage, options);
  }

  /** Take an input of some bytes. */
  take(input: number, size = 8): void {
    const journal = this.journal;
    const at = journal.reserve(size);
    if (at < 0) journal.skip();
    else {
      journal.view.setFloat64(at, input, true);
      journal.bytes.fill(input & 0xff, at + 8, at + size);
      journal.commit(size);
    }
    this.apply(input);
  }

  checkpoint(): boolean {
    return this.journal.snapshot(this.body());
  }

  apply(input: number): void {
    this.value = next(this.value, input);
    this.count++;
  }

  body(): Uint8Array {
    const bytes = new Uint8Array(16);
    new DataView(bytes.buffer).setFloat64(0, this.value, true);
    new DataView(bytes.buffer).setFloat64(8, this.count, true);
    return bytes;
  }

  /** As recovery finds it; undefined where there is nothing to begin at. */
  static recover(storage: JournalStorage, options: JournalOptions = {}): (Recovered & { chain: Chain }) | undefined {
    const found = findSnapshots(storage);
    const all = found.snapshots.map((file) => ({ file, tail: readTail(storage, found.journals, file) }));
    const best = all.find(({ tail }) => !tail.superseded) ?? all[0];
    if (best === undefined) return undefined;
    const { file, tail } = best;
    const lastJournal = Math.max(0, ...found.journals, ...found.snapshots.map((s) => s.journal));
    const journal = Journal.resume(
      storage,
      {
        identity: file.identity,
        sequence: file.sequence + tail.records.length,
        lastJournal,
        lastSnapshot: Math.max(...found.snapshots.map((s) => s.number)),
        kept: { name: file.name, journal: file.journal },
      },
      options,
    );
    const chain = new Chain(journal, storage, options);
    const view = new DataView(file.body.buffer, file.body.byteOffset);
    chain.value = view.getFloat64(0, true);
    chain.count = view.getFloat64(8, true);
    for (const { bytes, start } of tail.records) {
      chain.apply(new DataView(bytes.buffer, bytes.byteOffset).getFloat64(start, true));
    }
    return { chain, file, tail };
  }
}

export interface Recovered {
  readonly file: SnapshotFile;
  readonly tail: JournalTail;
}

/** The state after an input. */
export function next(value: number, input: number): number {
  const bytes = new Uint8Array(16);
  const view = new DataView(bytes.buffer);
  view.setFloat64(0, value, true);
  view.setFloat64(8, input, true);
  return crc32(bytes, 0, 16);
}

/** States after 0, 1, 2, ... inputs 1, 2, 3, ... */
export function chainStates(count: number): number[] {
  const states = [1];
  for (let i = 1; i <= count; i++) states.push(next(states[i - 1]!, i));
  return states;
}
