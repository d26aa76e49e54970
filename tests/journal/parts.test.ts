import * as fs from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, describe, expect, it } from "vitest";
import {
  fileStorage,
  Journal,
  JournalWriter,
  memoryStorage,
  type NodeFiles,
  readJournal,
} from "../../src/journal/index.js";
import { journalName, journalNumber } from "../../src/journal/file-names.js";
import { sayError } from "../../src/journal/say-error.js";
import { decodeSnapshot, encodeSnapshot } from "../../src/journal/snapshot-file.js";
import { expectCode } from "../helpers/within.js";
import { Chain, chainStates } from "./chain.js";

const made: string[] = [];
afterEach(() => {
  for (const directory of made.splice(0)) fs.rmSync(directory, { recursive: true, force: true });
});
function directory(): string {
  const path = fs.mkdtempSync(join(tmpdir(), "journal-"));
  made.push(path);
  return path;
}

describe("a snapshot's file", () => {
  const place = { identity: 5, number: 7, journal: 3, offset: 5e9, sequence: 0xfffffff0 };
  const bytes = encodeSnapshot(place, Uint8Array.of(1, 2, 3, 4));

  it("gives back what was put away, and where it stands", () => {
    const file = decodeSnapshot("snapshot-a", bytes);
    expect(file).toEqual({ ...place, name: "snapshot-a", body: Uint8Array.of(1, 2, 3, 4) });
    expect(decodeSnapshot("s", encodeSnapshot(place, new Uint8Array(0)))).toMatchObject({ body: new Uint8Array(0) });
  });

  it("is refused for every bit flipped, every cut, and a byte too many", () => {
    for (let bit = 0; bit < 8 * bytes.length; bit++) {
      const spoilt = bytes.slice();
      spoilt[bit >> 3]! ^= 1 << (bit & 7);
      expect(typeof decodeSnapshot("s", spoilt), `bit ${bit}`).toBe("string");
    }
    for (let length = 0; length < bytes.length; length++) {
      expect(typeof decodeSnapshot("s", bytes.subarray(0, length)), `cut at ${length}`).toBe("string");
    }
    expect(decodeSnapshot("s", new Uint8Array([...bytes, 0]))).toMatch(/body of 5 bytes, its header says 4/);
  });

  it("of another version says so", () => {
    const later = bytes.slice();
    later[4] = 9;
    expect(decodeSnapshot("s", later)).toMatch(/version 9, this release reads 1/);
  });
});

describe("names of files", () => {
  it("tell their number, and no others do", () => {
    for (const number of [1, 42, 1e7, 4294967295]) expect(journalNumber(journalName(number))).toBe(number);
    for (const name of [
      "journal-1",
      "journal-0000000",
      "journal-00000001",
      "journal-",
      "snapshot-a",
      "journal--000001",
    ]) {
      expect(journalNumber(name), name).toBe(0);
    }
  });
});

describe("what a storage threw", () => {
  it("is said in words, whatever it was", () => {
    expect(sayError(new Error("disk full"))).toBe("disk full");
    expect(sayError("EIO")).toBe("EIO");
    expect(sayError({ toString: () => expect.fail("looked at") })).toBe("an error without a message");
  });
});

describe("the writer", () => {
  it("makes room as long as it may, and refuses what is too large", () => {
    const writer = new JournalWriter(1, 0, 32, 200);
    const first = writer.bytes;
    expect(writer.reserve(20)).toBe(12);
    writer.commit(20);
    expect(writer.bytes).toBe(first);
    expect(writer.reserve(21)).toBe(44);
    writer.commit(21);
    expect(writer.bytes.length).toBeGreaterThan(first.length);
    expect(writer.length).toBe(65);
    expect(writer.reserve(200 - 65 - 12)).toBe(77);
    expect(writer.reserve(200 - 65 - 11)).toBe(-1);
    expect(new JournalWriter(1, 0, 16, 1 << 26).reserve(1 << 24)).toBe(-1);
    expect(new JournalWriter(1, 0, 16, 1 << 26).reserve((1 << 24) - 1)).toBe(12);
  });

  it("counts on after a record that it could not take, without those before", () => {
    const writer = new JournalWriter(5, 0);
    writer.commit(writer.reserve(3));
    writer.skip();
    expect(writer).toMatchObject({ length: 0, sequence: 7, firstSequence: 7 });
  });
});

describe("a storage in memory", () => {
  it("is no one else's bytes", () => {
    const bytes = Uint8Array.of(1, 2);
    const storage = memoryStorage([["a", bytes]]);
    storage.append("b", bytes);
    storage.append("b", bytes);
    bytes[0] = 9;
    storage.read("a")![1] = 9;
    expect(storage.read("a")).toEqual(Uint8Array.of(1, 2));
    expect(storage.read("b")).toEqual(Uint8Array.of(1, 2, 1, 2));
    storage.rename("b", "a");
    expect(storage.list()).toEqual(["a"]);
    storage.remove("a");
    storage.remove("a");
    expect(storage.read("a")).toBeUndefined();
    expectCode(() => storage.rename("c", "a"), "wrong-state");
  });
});

describe("a storage of files", () => {
  it("keeps a journal from one program to the next", () => {
    const path = join(directory(), "a", "b");
    const storage = fileStorage(fs, path);
    const chain = Chain.start(storage, { fileSize: 300 });
    for (let i = 1; i <= 100; i++) {
      chain.take(i);
      chain.journal.sync();
      if (i % 20 === 0) chain.checkpoint();
    }
    expect(chain.journal.state).toMatchObject({ status: "ok", failures: 0, reason: "" });
    storage.close();
    storage.close();
    const again = Chain.recover(fileStorage(fs, path))!.chain;
    expect(again.value).toBe(chainStates(100)[100]);
    again.take(101);
    expect(again.checkpoint()).toBe(true);
    expect(Chain.recover(fileStorage(fs, path))!.chain.value).toBe(chainStates(101)[101]);
  });

  it("writes all, where a write takes a part only", () => {
    const path = directory();
    const slow: NodeFiles = {
      ...fs,
      writeSync: (d, bytes, at, length) => fs.writeSync(d, bytes, at, Math.min(7, length)),
    };
    const storage = fileStorage(slow, path);
    const bytes = Uint8Array.from({ length: 100 }, (_, i) => i);
    storage.write("a", bytes);
    storage.append("a", bytes);
    expect(Uint8Array.from(storage.read("a")!)).toEqual(new Uint8Array([...bytes, ...bytes]));
    storage.remove("a");
    expect(storage.read("a")).toBeUndefined();
    storage.remove("a");
  });

  it("syncs the file, and the directory where a name is new", () => {
    const path = directory();
    const synced: string[] = [];
    const names = new Map<number, string>();
    const watched: NodeFiles = {
      ...fs,
      openSync: (file, flags) => {
        const descriptor = fs.openSync(file, flags);
        names.set(descriptor, file.slice(path.length));
        return descriptor;
      },
      fsyncSync: (descriptor) => {
        synced.push(names.get(descriptor)!);
        fs.fsyncSync(descriptor);
      },
    };
    const storage = fileStorage(watched, path);
    storage.append("a", Uint8Array.of(1));
    storage.sync("a");
    storage.append("a", Uint8Array.of(1));
    storage.sync("a");
    storage.write("p", Uint8Array.of(1));
    storage.sync("p");
    storage.rename("p", "q");
    storage.sync("q");
    expect(synced).toEqual(["/a", "", "/a", "/p", "", "/q", ""]);
    // the open file is let go before its name goes to another
    storage.append("a", Uint8Array.of(2));
    storage.rename("q", "a");
    storage.append("a", Uint8Array.of(3));
    expect(Uint8Array.from(storage.read("a")!)).toEqual(Uint8Array.of(1, 3));
    storage.write("a", Uint8Array.of(4));
    storage.append("a", Uint8Array.of(5));
    expect(Uint8Array.from(storage.read("a")!)).toEqual(Uint8Array.of(4, 5));
    storage.close();
  });

  it.each([
    ["EPERM", true],
    ["EINVAL", true],
    ["EISDIR", true],
    ["EIO", false],
  ])("a directory that can't be synced (%s) is no failure where the platform has none: %s", (code, fine) => {
    const path = directory();
    let directories = new Set<number>();
    const watched: NodeFiles = {
      ...fs,
      openSync: (file, flags) => {
        const descriptor = fs.openSync(file, flags);
        if (file === path) directories = new Set([descriptor]);
        else directories.delete(descriptor);
        return descriptor;
      },
      fsyncSync: (descriptor) => {
        if (directories.has(descriptor)) throw Object.assign(new Error("no"), { code });
        fs.fsyncSync(descriptor);
      },
    };
    const storage = fileStorage(watched, path);
    storage.write("a", Uint8Array.of(1));
    if (fine) storage.sync("a");
    else expect(() => storage.sync("a")).toThrow("no");
    const closed: NodeFiles = {
      ...fs,
      openSync: (file, flags) => {
        if (file === path) throw new Error("no directories here");
        return fs.openSync(file, flags);
      },
    };
    const other = fileStorage(closed, path);
    other.write("b", Uint8Array.of(1));
    other.sync("b");
  });

  it("tells a file that is not there from one that can't be read", () => {
    const path = directory();
    const storage = fileStorage(fs, path);
    fs.mkdirSync(join(path, "journal-0000001"));
    expect(storage.read("none")).toBeUndefined();
    expect(() => storage.read("journal-0000001")).toThrow();
    expect(() => storage.sync("none")).toThrow();
    expectCode(() => fileStorage(null as never, path), "not-finite");
  });
});

describe("options of a journal", () => {
  it.each([
    ["not-finite", null],
    ["not-finite", { fileSize: Number.NaN }],
    ["out-of-range", { fileSize: -1 }],
    ["out-of-range", { bufferSize: 10 }],
    ["not-finite", { bufferSize: "4" }],
    ["out-of-range", { identity: -1 }],
    ["out-of-range", { identity: 2 ** 32 }],
  ])("are checked: %s for %j", (code, options) => {
    const storage = memoryStorage();
    expectCode(() => Journal.start(storage, new Uint8Array(1), options as never), code);
    expect(storage.list()).toEqual([]);
  });

  it("take an identity, which marks every file", () => {
    const storage = memoryStorage();
    const chain = Chain.start(storage, { identity: 123 });
    chain.take(1);
    chain.journal.sync();
    expect(chain.journal.identity).toBe(123);
    expect(readJournal(storage.read("journal-0000001")!).header!.identity).toBe(123);
    expect(Chain.recover(storage)!.file.identity).toBe(123);
  });
});
