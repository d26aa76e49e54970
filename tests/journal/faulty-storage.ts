import type { JournalStorage } from "../../src/journal/index.js";

/** A disk of tests: what was synced stays, what was not may go in any part when the power does; and any call may fail. */
export interface FaultyStorage extends JournalStorage {
  /** calls so far, of those that change or read something */
  readonly calls: number;
  /** names of the calls, for messages */
  readonly log: string[];
  /** each call from here on asks whether it fails: `throw` before anything is done, `half` after a part, `done` after all of it */
  fail: ((call: number, verb: string) => Failure | undefined) | undefined;
  /** What is on the disk after a power cut, by chance. */
  powerCut(chance: () => number): FaultyStorage;
}

export type Failure = "throw" | "half" | "done";

interface File {
  /** as a program sees it */
  now: Uint8Array;
  /** as it is on the disk for certain; undefined where not even the name is */
  safe: Uint8Array | undefined;
}

const PAGE = 512;

export function faultyStorage(start: Iterable<readonly [string, Uint8Array]> = []): FaultyStorage {
  const files = new Map<string, File>();
  for (const [name, bytes] of start) files.set(name, { now: bytes, safe: bytes });
  /** what a rename or a removal took away and a power cut may bring back */
  const old = new Map<string, Uint8Array>();
  let calls = 0;
  const storage: FaultyStorage = {
    get calls() {
      return calls;
    },
    log: [],
    fail: undefined,
    read: (name) =>
      step(
        "read",
        name,
        () => undefined,
        () => files.get(name)?.now.slice(),
      ),
    append: (name, bytes) => {
      const file = files.get(name) ?? { now: new Uint8Array(0), safe: undefined };
      const put = (count: number): void => {
        files.set(name, file);
        file.now = join(file.now, bytes.slice(0, count));
      };
      step(
        "append",
        name,
        () => put(bytes.length >> 1),
        () => put(bytes.length),
      );
    },
    write: (name, bytes) => {
      const put = (count: number): void => {
        files.set(name, { now: bytes.slice(0, count), safe: files.get(name)?.safe });
      };
      step(
        "write",
        name,
        () => put(bytes.length >> 1),
        () => put(bytes.length),
      );
    },
    sync: (name) => {
      step(
        "sync",
        name,
        () => undefined,
        () => {
          const file = files.get(name);
          if (file === undefined) throw new Error(`no file ${name}`);
          file.safe = file.now;
          old.delete(name);
        },
      );
    },
    rename: (from, to) => {
      step(
        "rename",
        from,
        () => undefined,
        () => {
          const file = files.get(from);
          if (file === undefined) throw new Error(`no file ${from}`);
          const before = files.get(to)?.safe;
          if (before !== undefined) old.set(to, before);
          files.delete(from);
          files.set(to, file);
        },
      );
    },
    remove: (name) => {
      step(
        "remove",
        name,
        () => undefined,
        () => {
          const before = files.get(name)?.safe;
          if (before !== undefined) old.set(name, before);
          files.delete(name);
        },
      );
    },
    list: () =>
      step(
        "list",
        "",
        () => undefined,
        () => [...files.keys()],
      ) ?? [],
    powerCut: (chance) => {
      const after = new Map<string, Uint8Array>();
      for (const [name, file] of files) {
        const bytes = torn(file, chance);
        if (bytes !== undefined) after.set(name, bytes);
      }
      // the directory itself may be as it was a moment before
      for (const [name, bytes] of old) if (chance() < 0.3) after.set(name, bytes);
      return faultyStorage(after);
    },
  };
  return storage;

  function step<T>(verb: string, name: string, half: () => void, all: () => T): T {
    const failure = storage.fail?.(calls++, verb);
    storage.log.push(`${verb} ${name}`);
    if (failure === undefined) return all();
    if (failure === "half") half();
    if (failure === "done") all();
    throw new Error(`${verb} ${name} failed: ${failure}`);
  }
}

/** A file after a power cut: its safe bytes, and of what came after any pages, any length, zeros where a page was lost. */
function torn({ now, safe }: File, chance: () => number): Uint8Array | undefined {
  if (safe === now) return now;
  if (safe === undefined && chance() < 0.3) return undefined;
  const before = safe ?? new Uint8Array(0);
  const grown = now.length >= before.length && before.every((byte, i) => now[i] === byte);
  const from = grown ? before.length : 0;
  const length = from + Math.floor(chance() * (now.length - from + 1));
  const bytes = now.slice(0, length);
  for (let page = Math.floor(from / PAGE) * PAGE; page < length; page += PAGE) {
    if (chance() < 0.6) continue;
    // a page that did not get there: zeros, or what it held before
    for (let i = Math.max(page, from); i < Math.min(page + PAGE, length); i++) bytes[i] = grown ? 0 : (before[i] ?? 0);
  }
  return bytes;
}

function join(a: Uint8Array, b: Uint8Array): Uint8Array {
  const bytes = new Uint8Array(a.length + b.length);
  bytes.set(a);
  bytes.set(b, a.length);
  return bytes;
}
