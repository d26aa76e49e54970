import { describe, expect, it } from "vitest";
import { crc32 } from "../../src/coverage/crc32.js";
import {
  fileStorage,
  findSnapshots,
  Journal,
  type JournalStorage,
  memoryStorage,
  type NodeFiles,
  readJournal,
  readTail,
} from "../../src/journal/index.js";
import { journalName, journalNumber, SNAPSHOTS } from "../../src/journal/file-names.js";
import { JournalWriter } from "../../src/journal/journal-writer.js";
import { strandedRecords } from "../../src/journal/read-journal.js";
import { decodeHeader, encodeHeader, JOURNAL_HEADER, RECORD_HEADER, viewOf } from "../../src/journal/record-format.js";
import { decodeSnapshot, encodeSnapshot } from "../../src/journal/snapshot-file.js";
import { Chain } from "./chain.js";
import { faultyStorage } from "./faulty-storage.js";

/** A file system in memory that says what is done to it. */
function watched(): NodeFiles & { readonly calls: string[]; readonly open: Map<number, string>; fail: string } {
  const files = new Map<string, Uint8Array>();
  const open = new Map<number, string>();
  const calls: string[] = [];
  let descriptors = 2;
  const fs = {
    calls,
    open,
    fail: "",
    say(call: string): void {
      calls.push(call);
      if (call.startsWith(fs.fail) && fs.fail !== "") throw Object.assign(new Error("no"), { code: "EIO" });
    },
    openSync(path: string, flags: string): number {
      fs.say(`open ${path} ${flags}`);
      if (flags === "w" || !files.has(path)) files.set(path, new Uint8Array());
      open.set(++descriptors, path);
      return descriptors;
    },
    writeSync(descriptor: number, bytes: Uint8Array, offset: number, length: number): number {
      const path = open.get(descriptor)!;
      fs.say(`write ${path}`);
      files.set(path, new Uint8Array([...files.get(path)!, ...bytes.subarray(offset, offset + length)]));
      return length;
    },
    fsyncSync: (descriptor: number) => fs.say(`sync ${open.get(descriptor)!}`),
    closeSync(descriptor: number): void {
      fs.say(`close ${open.get(descriptor)!}`);
      open.delete(descriptor);
    },
    readFileSync: (path: string) => files.get(path)!,
    renameSync(from: string, to: string): void {
      fs.say(`rename ${from} ${to}`);
      files.set(to, files.get(from)!);
      files.delete(from);
    },
    rmSync: (path: string) => fs.say(`remove ${path}`),
    readdirSync: () => [...files.keys()],
    mkdirSync: () => undefined,
  };
  return fs;
}

describe("the open file of a storage of files", () => {
  const one = Uint8Array.of(1);
  const opened = (): { fs: ReturnType<typeof watched>; storage: ReturnType<typeof fileStorage> } => {
    const fs = watched();
    const storage = fileStorage(fs, "d");
    storage.append("a", one);
    storage.sync("a");
    fs.calls.length = 0;
    return { fs, storage };
  };

  it("is appended to and synced as it is", () => {
    const { fs, storage } = opened();
    storage.append("a", one);
    storage.sync("a");
    expect(fs.calls).toEqual(["write d/a", "sync d/a"]);
  });

  it("stays open while other files are written, renamed and removed", () => {
    const { fs, storage } = opened();
    storage.write("b", one);
    storage.rename("b", "c");
    storage.remove("c");
    expect(fs.calls).toEqual(["open d/b w", "write d/b", "close d/b", "rename d/b d/c", "remove d/c"]);
    expect([...fs.open.values()]).toEqual(["d/a"]);
  });

  it.each([
    ["written anew", (storage: JournalStorage) => storage.write("a", one)],
    ["renamed", (storage: JournalStorage) => storage.rename("a", "z")],
    ["renamed over", (storage: JournalStorage) => storage.rename("b", "a")],
    ["removed", (storage: JournalStorage) => storage.remove("a")],
  ])("is let go before it is %s", (_, change) => {
    const { fs, storage } = opened();
    storage.write("b", one);
    fs.calls.length = 0;
    change(storage);
    expect(fs.calls[0]).toBe("close d/a");
    expect([...fs.open.values()]).toEqual([]);
  });

  it("is closed once, and every descriptor is, whatever fails", () => {
    const { fs, storage } = opened();
    fs.fail = "write d/b";
    expect(() => storage.write("b", one)).toThrow("no");
    fs.fail = "sync d";
    storage.write("c", one);
    expect(() => storage.sync("c")).toThrow("no");
    fs.fail = "";
    storage.sync("c");
    expect([...fs.open.values()]).toEqual(["d/a"]);
    fs.fail = "close";
    expect(() => {
      storage.close();
    }).toThrow("no");
    fs.fail = "";
    storage.close();
    storage.append("a", one);
    expect(fs.calls.at(-2)).toBe("open d/a a");
  });

  it("a directory is closed where it can't be synced", () => {
    const { fs, storage } = opened();
    storage.write("b", one);
    storage.sync("b");
    expect(fs.calls).toEqual([
      "open d/b w",
      "write d/b",
      "close d/b",
      "open d/b r+",
      "sync d/b",
      "close d/b",
      "open d r",
      "sync d",
      "close d",
    ]);
  });

  it("an error that is nothing at all is passed on", () => {
    const fs = watched();
    const storage = fileStorage(
      {
        ...fs,
        readFileSync: () => {
          // eslint-disable-next-line @typescript-eslint/only-throw-error -- any may throw anything
          throw undefined;
        },
      },
      "d",
    );
    let caught: unknown = "none";
    try {
      storage.read("a");
    } catch (error) {
      caught = error;
    }
    expect(caught).toBeUndefined();
  });
});

describe("a journal", () => {
  const body = Uint8Array.of(9);
  const put = (journal: Journal, size = 8): void => {
    expect(journal.reserve(size)).toBeGreaterThan(0);
    journal.commit(size);
  };

  it("tells its file and its job", () => {
    const journal = Journal.start(memoryStorage(), body, { identity: 77 });
    expect(journal.identity).toBe(77);
    expect(journal.number).toBe(1);
  });

  it("names the argument where a job is there already", () => {
    const storage = memoryStorage([["journal-0000004", body]]);
    try {
      Journal.start(storage, body);
      expect.fail("taken");
    } catch (error) {
      expect(error).toMatchObject({ code: "wrong-state", argument: "storage" });
    }
  });

  it("takes no record before its first snapshot is safe", () => {
    const storage = faultyStorage();
    storage.fail = (_, verb) => (verb === "list" ? undefined : "throw");
    const journal = Journal.start(storage, body);
    expect(journal.needsSnapshot).toBe(true);
    expect(journal.reserve(8)).toBe(-1);
    storage.fail = undefined;
    expect(journal.snapshot(body)).toBe(true);
    expect(journal.needsSnapshot).toBe(false);
    expect(journal.reserve(8)).toBeGreaterThan(0);
  });

  it("says of a sync whether all is safe, with and without anything to do", () => {
    const journal = Journal.start(memoryStorage(), body);
    expect(journal.sync()).toBe(true);
    put(journal);
    expect(journal.state.pending).toBe(1);
    expect(journal.sync()).toBe(true);
    expect(journal.state).toMatchObject({ pending: 0, records: 1, status: "ok" });
  });

  it("gone on with keeps the snapshot that it goes on from, and removes what that does not need", () => {
    for (const name of SNAPSHOTS) {
      const storage = memoryStorage([
        [name, encodeSnapshot({ identity: 5, number: 3, journal: 4, offset: JOURNAL_HEADER, sequence: 9 }, body)],
        ["journal-0000003", encodeHeader(5, 3, 1).bytes],
        ["journal-0000004", encodeHeader(5, 4, 9).bytes],
      ]);
      const place = { identity: 5, sequence: 9, lastJournal: 4, lastSnapshot: 3, kept: { name, journal: 4 } };
      const journal = Journal.resume(storage, place);
      expect(journal.needsSnapshot).toBe(false);
      expect(journal.state).toMatchObject({ status: "ok", records: 8 });
      put(journal);
      expect(journal.snapshot(Uint8Array.of(8))).toBe(true);
      const found = findSnapshots(storage);
      expect(found.snapshots.map((file) => file.name)).toEqual([SNAPSHOTS.find((other) => other !== name), name]);
      expect(found.journals).toEqual([4, 5]);
      expect(journal.snapshot(Uint8Array.of(7))).toBe(true);
      expect(findSnapshots(storage).journals).toEqual([5]);
    }
  });

  it("begins a file with the snapshot after the one before is full, to the byte", () => {
    const full = JOURNAL_HEADER + RECORD_HEADER + 8;
    for (const [fileSize, number] of [
      [full, 2],
      [full + 1, 1],
    ] as const) {
      const storage = memoryStorage();
      const journal = Journal.start(storage, body, { fileSize });
      put(journal);
      expect(journal.sync()).toBe(true);
      expect(storage.read(journalName(1))).toHaveLength(full);
      expect(journal.snapshot(body)).toBe(true);
      expect(journal.number, `${fileSize}`).toBe(number);
      const snapshot = findSnapshots(storage).snapshots[0]!;
      expect([snapshot.journal, snapshot.offset]).toEqual([number, number === 1 ? full : JOURNAL_HEADER]);
    }
  });

  it("writes a file whose first write failed again under the same name", () => {
    const storage = faultyStorage();
    const journal = Journal.start(storage, body);
    put(journal);
    storage.fail = () => "throw";
    expect(journal.sync()).toBe(false);
    storage.fail = undefined;
    expect(journal.sync()).toBe(true);
    expect(journal.number).toBe(1);
    expect(readJournal(storage.read(journalName(1))!).records).toHaveLength(1);
  });

  it("begins no file for a snapshot without records, and says that the next one begins after its header", () => {
    const storage = memoryStorage();
    const journal = Journal.start(storage, body, { fileSize: 1 });
    expect(findSnapshots(storage).snapshots.map(({ offset, journal: file }) => [file, offset])).toEqual([
      [1, JOURNAL_HEADER],
      [1, JOURNAL_HEADER],
    ]);
    put(journal);
    expect(journal.snapshot(body)).toBe(true);
    expect(journal.number).toBe(2);
    expect(journal.snapshot(body)).toBe(true);
    expect(journal.number).toBe(2);
  });

  it.each([
    ["its write failed", "write", 1, 1],
    ["its name is in doubt, in a full file", "rename", 1, 2],
    ["its name is in doubt, in a file with room", "rename", 1 << 20, 1],
  ])("where %s the records go on where that snapshot may say", (_, failing, fileSize, number) => {
    const storage = faultyStorage();
    const journal = Journal.start(storage, body, { fileSize });
    put(journal);
    expect(journal.sync()).toBe(true);
    storage.fail = (_call, verb) => (verb === failing ? "throw" : undefined);
    expect(journal.snapshot(body)).toBe(false);
    storage.fail = undefined;
    expect(journal.number).toBe(number);
  });

  it("stays in its file where a snapshot failed but the records are safe", () => {
    const storage = faultyStorage();
    const journal = Journal.start(storage, body);
    put(journal);
    expect(journal.sync()).toBe(true);
    let calls = 0;
    storage.fail = () => (++calls === 1 ? "throw" : undefined);
    expect(journal.snapshot(body)).toBe(false);
    storage.fail = undefined;
    expect(journal.number).toBe(1);
    put(journal);
    expect(journal.sync()).toBe(true);
    expect(journal.number).toBe(1);
    expect(readJournal(storage.read(journalName(1))!).records).toHaveLength(2);
  });
});

describe("names and headers", () => {
  it("number 0 is no journal", () => {
    expect(journalNumber(journalName(0))).toBe(0);
    expect(journalNumber("journal-000000x")).toBe(0);
    expect(journalNumber("journal-0000NaN")).toBe(0);
    expect(journalNumber(journalName(12))).toBe(12);
  });

  it("with another first word are none, whatever their checks say", () => {
    const header = encodeHeader(1, 2, 3).bytes;
    viewOf(header).setUint32(0, 5, true);
    viewOf(header).setUint32(20, crc32(header, 0, 20), true);
    expect(decodeHeader(header)).toBe("header");
    const snapshot = encodeSnapshot({ identity: 1, number: 1, journal: 1, offset: 24, sequence: 1 }, new Uint8Array(2));
    viewOf(snapshot).setUint32(0, 5, true);
    viewOf(snapshot).setUint32(40, crc32(snapshot, 0, 40), true);
    expect(decodeSnapshot("snapshot-a", snapshot)).toContain("does not begin");
  });
});

describe("a writer", () => {
  it("grows to what it may, and moves records that fill it to the last byte", () => {
    const writer = new JournalWriter(1, 7, 32, 100);
    const at = writer.reserve(100 - RECORD_HEADER);
    expect(at).toBeGreaterThan(0);
    writer.commit(100 - RECORD_HEADER);
    expect(writer.bytes).toHaveLength(100);
    writer.moveTo(9);
    expect(writer.framed()).toHaveLength(100);
  });
});

describe("a storage in memory", () => {
  it("names what is wrong with a name", () => {
    try {
      memoryStorage().rename("none", "other");
      expect.fail("taken");
    } catch (error) {
      expect(error).toMatchObject({ code: "wrong-state", argument: "from", value: "none" });
    }
  });
});

describe("records beyond a damage", () => {
  it("are found to the very end of the file, bodies of no length too, and above a sequence only", () => {
    const { bytes: head, salt } = encodeHeader(1, 1, 1);
    const writer = new JournalWriter(1, salt, 1024, 1024);
    for (const size of [3, 0, 5, 0]) {
      writer.reserve(size);
      writer.commit(size);
    }
    const bytes = new Uint8Array([...head, ...writer.framed()]);
    const header = decodeHeader(bytes);
    if (typeof header === "string") throw new Error(header);
    const found = (from: number, after: number): number[] =>
      strandedRecords(bytes, header, from, after).map((record) => record.sequence);
    expect(found(JOURNAL_HEADER, 0)).toEqual([1, 2, 3, 4]);
    expect(found(JOURNAL_HEADER + 1, 0)).toEqual([2, 3, 4]);
    expect(found(JOURNAL_HEADER, 2)).toEqual([3, 4]);
    expect(found(bytes.length - RECORD_HEADER, 0)).toEqual([4]);
    expect(found(bytes.length - RECORD_HEADER + 1, 0)).toEqual([]);
    // a sequence far beyond what a file can hold is chance
    const far = new JournalWriter(1 + bytes.length, salt, 1024, 1024);
    far.reserve(0);
    far.commit(0);
    const other = new Uint8Array([...head, ...far.framed()]);
    expect(strandedRecords(other, header, JOURNAL_HEADER, 1 + bytes.length - other.length)).toHaveLength(1);
    expect(strandedRecords(other, header, JOURNAL_HEADER, bytes.length - other.length)).toHaveLength(0);
  });
});

describe("recovery", () => {
  const filled = (): JournalStorage => {
    const storage = memoryStorage();
    const chain = Chain.start(storage, { fileSize: 1, keepJournals: true });
    for (let i = 1; i <= 4; i++) {
      chain.take(i);
      chain.journal.sync();
      chain.checkpoint();
    }
    return storage;
  };

  it("goes by numbers, in whatever order the storage lists its files", () => {
    const storage = filled();
    const backwards: JournalStorage = { ...storage, list: () => [...storage.list()].reverse() };
    const numbers = findSnapshots(backwards).journals;
    expect(numbers).toEqual([...numbers].sort((a, b) => a - b));
    expect(numbers.length).toBeGreaterThan(3);
  });

  it("tells files older than the snapshot's own from those after it", () => {
    const storage = filled();
    const found = findSnapshots(storage);
    // an older file that is damaged is none of its business
    storage.write(journalName(1), Uint8Array.of(1, 2, 3));
    const tail = readTail(storage, found.journals, found.snapshots[0]!);
    expect(tail).toMatchObject({ dropped: null, refused: [], superseded: false });
  });

  it("refuses a file of another job, and one that lies under another's name", () => {
    const place = { identity: 5, journal: 1, offset: JOURNAL_HEADER, sequence: 1 };
    for (const header of [encodeHeader(6, 1, 1), encodeHeader(5, 2, 1)]) {
      const storage = memoryStorage([[journalName(1), header.bytes]]);
      expect(readTail(storage, [1], place).refused).toMatchObject([{ name: journalName(1), bytes: JOURNAL_HEADER }]);
    }
  });

  /** A file of records of a byte each. */
  const record = (number: number, firstSequence: number, ...values: readonly number[]): [string, Uint8Array] => {
    const { bytes, salt } = encodeHeader(5, number, firstSequence);
    const writer = new JournalWriter(firstSequence, salt, 1024, 1024);
    for (const value of values) {
      const at = writer.reserve(1);
      writer.bytes[at] = value;
      writer.commit(1);
    }
    return [journalName(number), new Uint8Array([...bytes, ...writer.framed()])];
  };

  it("takes from a later file all that it holds, though one between began later", () => {
    const place = { identity: 5, journal: 1, offset: JOURNAL_HEADER, sequence: 1 };
    const storage = memoryStorage([record(1, 1, 1, 2, 3, 4), record(2, 5, 5), record(3, 3, 13, 14, 15)]);
    const { records, dropped } = readTail(storage, [1, 2, 3], place);
    expect(dropped).toBeNull();
    expect(records.map(({ bytes, start }) => bytes[start])).toEqual([1, 2, 13, 14, 15]);
  });

  it("goes on past a file that can't be read where the next one joins", () => {
    const place = { identity: 5, journal: 1, offset: JOURNAL_HEADER, sequence: 1 };
    const storage = memoryStorage([
      record(1, 1, 1),
      record(2, 2, 2),
      [journalName(3), Uint8Array.of(1, 2, 3)],
      record(4, 3, 3),
    ]);
    const { records, dropped, refused } = readTail(storage, [1, 2, 3, 4], place);
    expect(records).toHaveLength(3);
    expect(refused.map(({ name }) => name)).toEqual([journalName(3)]);
    expect(dropped).toBeNull();
    storage.remove(journalName(4));
    expect(readTail(storage, [1, 2, 3], place).dropped).toMatchObject({ name: journalName(3), reason: "missing" });
  });

  it("tells of the very next record after a gap of one", () => {
    const place = { identity: 5, journal: 1, offset: JOURNAL_HEADER, sequence: 1 };
    const storage = memoryStorage([record(1, 1, 1), record(2, 3, 3, 4)]);
    const { dropped } = readTail(storage, [1, 2], place);
    expect(dropped).toMatchObject({ name: journalName(2), reason: "missing" });
    expect(dropped!.stranded.map(({ sequence }) => sequence)).toEqual([3, 4]);
  });

  it("lets a later file that begins no later stand for an earlier one", () => {
    const place = { identity: 5, journal: 1, offset: JOURNAL_HEADER, sequence: 1 };
    const storage = memoryStorage([record(1, 1, 1), record(2, 2, 2), record(3, 2, 3), record(4, 3, 4)]);
    const { records, dropped } = readTail(storage, [1, 2, 3, 4], place);
    expect(dropped).toBeNull();
    expect(records.map(({ bytes, start, sequence }) => [sequence, bytes[start]])).toEqual([
      [1, 1],
      [2, 3],
      [3, 4],
    ]);
  });
});
