import { describe, expect, it } from "vitest";
import { findSnapshots, type JournalStorage, memoryStorage, readJournal, readTail } from "../../src/journal/index.js";
import { JOURNAL_HEADER } from "../../src/journal/record-format.js";
import { decodeSnapshot, encodeSnapshot } from "../../src/journal/snapshot-file.js";
import { Chain, chainStates } from "./chain.js";
import { faultyStorage } from "./faulty-storage.js";

const states = chainStates(200);
const FILES = ["journal-0000001", "journal-0000002", "journal-0000003", "journal-0000004"] as const;

/** Four files of 10 records each, and snapshots only of the very start: each file begun because the end of the one before was in doubt. */
function fourFiles(): JournalStorage {
  const storage = faultyStorage();
  const chain = Chain.start(storage, { keepJournals: true });
  for (let file = 0; file < 4; file++) {
    for (let i = 0; i < 10; i++) chain.take(chain.count + 1);
    expect(chain.journal.sync()).toBe(true);
    if (file === 3) break;
    // the sync after this throws before anything is done, so the next one begins a file
    chain.take(chain.count + 1);
    storage.fail = () => "throw";
    expect(chain.journal.sync()).toBe(false);
    storage.fail = undefined;
  }
  expect(
    storage
      .list()
      .filter((name) => name.startsWith("journal"))
      .sort(),
  ).toEqual(FILES);
  return memoryStorage(storage.list().map((name) => [name, storage.read(name)!]));
}

describe("recovery over several files", () => {
  it("goes from file to file without a gap", () => {
    const storage = fourFiles();
    const { chain, tail } = Chain.recover(storage)!;
    expect(chain.count).toBe(43);
    expect(chain.value).toBe(states[43]);
    expect(tail).toMatchObject({ dropped: null, refused: [], superseded: false });
    // 10 records in the first file, 11 in each other: the one that waited and 10 more
    const firsts = FILES.map((name) => readJournal(storage.read(name)!).header!.firstSequence);
    expect(firsts).toEqual([1, 11, 22, 33]);
  });

  it("stops where a file is missing, and says what lies behind", () => {
    const storage = fourFiles();
    storage.remove(FILES[1]);
    const { chain, tail } = Chain.recover(storage)!;
    expect(chain.value).toBe(states[10]);
    expect(tail.dropped).toMatchObject({ name: FILES[2], reason: "missing" });
    expect(tail.dropped!.stranded.map((record) => record.sequence)).toEqual(
      Array.from({ length: 22 }, (_, i) => 22 + i),
    );
    const rest = [FILES[2], FILES[3]].map((name) => storage.read(name)!.length - JOURNAL_HEADER);
    expect(tail.dropped!.bytes).toBe(rest[0]! + rest[1]!);
  });

  it("stops where a record is damaged, with all files behind it", () => {
    const storage = fourFiles();
    const bytes = storage.read(FILES[1])!;
    const record = readJournal(bytes).records[4]!;
    bytes[record.start]! ^= 1;
    storage.write(FILES[1], bytes);
    const { chain, tail } = Chain.recover(storage)!;
    expect(chain.value).toBe(states[14]);
    expect(tail.dropped).toMatchObject({ name: FILES[1], reason: "damaged" });
    expect(tail.dropped!.stranded.map((one) => one.sequence)).toEqual(Array.from({ length: 28 }, (_, i) => 16 + i));
    const rest = [FILES[2], FILES[3]].map((name) => storage.read(name)!.length - JOURNAL_HEADER);
    expect(tail.dropped!.bytes).toBe(bytes.length - (record.start - 12) + rest[0]! + rest[1]!);
  });

  it("does not mind damage behind the place where a later file takes up", () => {
    const storage = fourFiles();
    storage.append(FILES[0], Uint8Array.of(1, 2, 3));
    storage.append(FILES[1], new Uint8Array(600));
    const { chain, tail } = Chain.recover(storage)!;
    expect(chain.value).toBe(states[43]);
    expect(tail).toMatchObject({ dropped: null, refused: [] });
  });

  it("takes records from the later file where two have the same", () => {
    const storage = fourFiles();
    // the first file holds a record 11 as well, of other content
    const chain = Chain.recover(
      memoryStorage([...contents(storage)].filter(([name]) => !name.startsWith("journal-"))),
    )!;
    expect(chain.chain.count).toBe(0);
    const longer = faultyStorage();
    const other = Chain.start(longer);
    for (let i = 0; i < 10; i++) other.take(i + 1);
    other.take(999);
    other.journal.sync();
    storage.write(FILES[0], longer.read(FILES[0])!);
    expect(readJournal(storage.read(FILES[0])!).records).toHaveLength(11);
    const { chain: again, tail } = Chain.recover(storage)!;
    expect(again.value).toBe(states[43]);
    expect(tail.dropped).toBeNull();
  });

  it.each([
    ["an unreadable header", (bytes: Uint8Array) => changed(bytes, 9, 77), "is damaged: its header is none", 300],
    ["another version", (bytes: Uint8Array) => changed(bytes, 4, 2), "is of another version of the format", 300],
  ])("refuses a file with %s, says so, and counts what it holds as dropped", (_, spoil, reason, least) => {
    const storage = fourFiles();
    const bytes = spoil(storage.read(FILES[3])!);
    storage.write(FILES[3], bytes);
    const { chain, tail } = Chain.recover(storage)!;
    expect(chain.value).toBe(states[32]);
    expect(tail.refused).toEqual([{ name: FILES[3], reason, bytes: bytes.length }]);
    expect(tail.dropped).toEqual({ name: FILES[3], reason: "missing", bytes: bytes.length, stranded: [] });
    expect(bytes.length).toBeLessThan(least);
  });

  it("refuses a file of another job, or one under another's name", () => {
    for (const foreign of ["job", "number"]) {
      const storage = fourFiles();
      const other = memoryStorage();
      const chain = Chain.start(other, { identity: 5 });
      chain.take(33);
      chain.journal.sync();
      storage.write(FILES[3], foreign === "job" ? other.read(FILES[0])! : storage.read(FILES[2])!);
      const { chain: again, tail } = Chain.recover(storage)!;
      expect(again.value).toBe(states[32]);
      expect(tail.refused.map((file) => file.reason)).toEqual(["is of another job, or another file of this one"]);
      expect(tail.dropped!.reason).toBe("missing");
    }
  });

  it("a file that can't be read is one that is missing; one that is empty holds nothing", () => {
    const files = contents(fourFiles());
    const dumb = (name: string, answer: () => Uint8Array | undefined): JournalStorage => {
      const storage = memoryStorage(files);
      return { ...storage, read: (file) => (file === name ? answer() : storage.read(file)) };
    };
    const thrower = (): never => {
      throw new Error("EIO");
    };
    const last = readTailOf(dumb(FILES[3], thrower));
    expect(last.refused).toEqual([{ name: FILES[3], reason: "can't be read: EIO", bytes: 0 }]);
    expect(last.dropped).toMatchObject({ name: FILES[3], reason: "missing", bytes: 0 });
    expect(last.records).toHaveLength(32);
    const middle = readTailOf(dumb(FILES[2], thrower));
    expect(middle.records).toHaveLength(21);
    expect(middle.dropped).toMatchObject({ name: FILES[3], reason: "missing" });
    // gone between the listing and the reading, or made and no more
    for (const answer of [() => undefined, () => new Uint8Array(0)]) {
      const tail = readTailOf(dumb(FILES[3], answer));
      expect(tail).toMatchObject({ refused: [], dropped: null });
      expect(tail.records).toHaveLength(32);
    }
    const all = readTailOf({
      ...memoryStorage(files),
      read: (name) => (name.startsWith("snap") ? memoryStorage(files).read(name) : thrower()),
    });
    expect(all.records).toEqual([]);
    expect(all.dropped).toMatchObject({ name: FILES[0], reason: "missing" });
    // refused, but gone past: nothing is lost
    const first = readTailOf(dumb(FILES[0], thrower), 11);
    expect(first.records).toHaveLength(33);
    expect(first.dropped).toBeNull();
  });

  it("begins in the middle of a file where the snapshot says so, whatever lies before", () => {
    const storage = memoryStorage();
    const chain = Chain.start(storage);
    for (let i = 1; i <= 20; i++) chain.take(i);
    chain.checkpoint();
    for (let i = 21; i <= 30; i++) chain.take(i);
    chain.journal.sync();
    const bytes = storage.read(FILES[0])!;
    // the other snapshot would need what is spoilt here
    bytes.fill(0, 30, 60);
    storage.write(FILES[0], bytes);
    const { chain: again, file, tail } = Chain.recover(storage)!;
    expect(file.sequence).toBe(21);
    expect(again.value).toBe(states[30]);
    expect(tail.records.map((record) => record.sequence)).toEqual(Array.from({ length: 10 }, (_, i) => 21 + i));
  });

  it("finds neither snapshot nor journal in files of other names", () => {
    const storage = memoryStorage([
      ["snapshot-c", Uint8Array.of(1)],
      ["snapshot-part", Uint8Array.of(1)],
      ["journal-12", Uint8Array.of(1)],
    ]);
    expect(findSnapshots(storage)).toEqual({ snapshots: [], refused: [], journals: [] });
  });

  it("says of each snapshot why it can't be used, and gives the good ones newest first", () => {
    const storage = memoryStorage();
    const chain = Chain.start(storage);
    expect(findSnapshots(storage).snapshots.map((file) => [file.name, file.number])).toEqual([
      ["snapshot-b", 2],
      ["snapshot-a", 1],
    ]);
    chain.take(1);
    chain.checkpoint();
    expect(findSnapshots(storage).snapshots.map((file) => file.name)).toEqual(["snapshot-a", "snapshot-b"]);
    const broken: JournalStorage = {
      ...storage,
      read: (name) => {
        if (name === "snapshot-a") throw new Error("EIO");
        return Uint8Array.of(1, 2, 3);
      },
    };
    expect(findSnapshots(broken)).toMatchObject({
      snapshots: [],
      refused: [
        { name: "snapshot-a", reason: "can't be read: EIO", bytes: 0 },
        { name: "snapshot-b", reason: "has 3 bytes, a snapshot has at least 44", bytes: 3 },
      ],
      journals: [1],
    });
  });
});

describe("a journal whose buffer is too small", () => {
  it("counts what it could not take, says so, and is whole again with a snapshot", () => {
    const storage = memoryStorage();
    const chain = Chain.start(storage, { bufferSize: 1024 });
    chain.take(1, 50);
    expect(chain.journal.needsSnapshot).toBe(false);
    chain.take(2, 2000);
    expect(chain.journal.needsSnapshot).toBe(true);
    expect(chain.journal.state).toEqual({
      status: "failing",
      reason: "a record is too large for the buffer",
      failures: 0,
      pending: 2,
      records: 2,
    });
    chain.take(3, 50);
    expect(chain.journal.sync()).toBe(false);
    expect(Chain.recover(memoryStorage(contents(storage)))!.chain.count).toBe(0);
    expect(chain.checkpoint()).toBe(true);
    expect(chain.journal.state).toEqual({ status: "ok", reason: "", failures: 0, pending: 0, records: 3 });
    chain.take(4);
    expect(chain.journal.sync()).toBe(true);
    expect(Chain.recover(storage)!.chain.value).toBe(states[4]);
  });

  it("keeps the reason that a storage gave", () => {
    const storage = faultyStorage();
    const chain = Chain.start(storage, { bufferSize: 1024 });
    storage.fail = () => "throw";
    chain.take(1);
    chain.journal.sync();
    chain.take(2, 2000);
    expect(chain.journal.state).toMatchObject({
      status: "failing",
      reason: "write journal-0000001: write journal-0000001 failed: throw",
      failures: 1,
      pending: 2,
    });
  });
});

describe("a snapshot that fails", () => {
  it("is told until one is safe, though all records are", () => {
    const storage = faultyStorage();
    const chain = Chain.start(storage);
    chain.take(1);
    storage.fail = (_, verb) => (verb === "rename" ? "throw" : undefined);
    expect(chain.checkpoint()).toBe(false);
    chain.take(2);
    expect(chain.journal.sync()).toBe(true);
    expect(chain.journal.state).toMatchObject({ status: "failing", pending: 0, failures: 1 });
    expect(chain.journal.state.reason).toMatch(/^rename snapshot-part: /);
    expect(chain.journal.needsSnapshot).toBe(true);
    storage.fail = undefined;
    expect(chain.checkpoint()).toBe(true);
    expect(chain.journal.state).toMatchObject({ status: "ok", reason: "" });
    expect(chain.journal.needsSnapshot).toBe(false);
  });

  it("is one that reads back as something else, or not at all", () => {
    for (const change of [
      (bytes: Uint8Array | undefined) => bytes?.subarray(1),
      (bytes: Uint8Array | undefined) => bytes && changed(bytes, bytes.length - 1, bytes.at(-1)! ^ 1),
      () => undefined,
    ]) {
      const disk = memoryStorage();
      const chain = Chain.start({ ...disk, read: (name) => change(disk.read(name)) });
      expect(chain.journal.state).toMatchObject({ status: "failing", failures: 2 });
      expect(chain.journal.state.reason).toBe("read snapshot-part: what was read is not what was written");
      expect(disk.list()).toEqual(["snapshot-part"]);
    }
  });

  it("of which only the name is in doubt leads to the records all the same", () => {
    for (const how of ["throw", "done"] as const) {
      // each shape of what may follow the snapshot: this file, and another
      for (const fileSize of [1, 1e6]) {
        const storage = faultyStorage();
        const chain = Chain.start(storage, { fileSize });
        for (let i = 1; i <= 10; i++) chain.take(i);
        chain.journal.sync();
        storage.fail = (_, verb) => (verb === "rename" ? how : undefined);
        expect(chain.checkpoint()).toBe(false);
        storage.fail = undefined;
        for (let i = 11; i <= 15; i++) chain.take(i);
        chain.journal.sync();
        const again = Chain.recover(storage)!.chain;
        expect(again.value, `${how}, files of ${fileSize}`).toBe(states[15]);
      }
    }
  });
});

it("a snapshot of a file's very start is no other when put away again", () => {
  const place = { identity: 1, number: 1, journal: 1, offset: JOURNAL_HEADER, sequence: 1 };
  const bytes = encodeSnapshot(place, Uint8Array.of(9));
  const file = decodeSnapshot("snapshot-a", bytes);
  expect(typeof file === "string" ? file : encodeSnapshot(file, file.body)).toEqual(bytes);
});

function contents(storage: JournalStorage): [string, Uint8Array][] {
  return storage.list().map((name) => [name, storage.read(name)!]);
}

function readTailOf(storage: JournalStorage, sequence?: number): ReturnType<typeof readTail> {
  const { snapshots, journals } = findSnapshots(storage);
  const file = snapshots[0]!;
  return readTail(storage, journals, sequence === undefined ? file : { ...file, sequence });
}

function changed(bytes: Uint8Array, at: number, byte: number): Uint8Array {
  const copy = bytes.slice();
  copy[at] = byte;
  return copy;
}
