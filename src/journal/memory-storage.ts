import { FeeringError } from "../errors/index.js";
import type { JournalStorage } from "./journal-storage.js";

/**
 * A storage in memory: for tests, for trying things out, and as the near side of a store that answers later.
 *
 * @param files - what is in it from the start; copied
 * @returns a storage in which everything is safe at once
 * @example
 * ```ts
 * const storage = memoryStorage();
 * storage.append("journal-0000001", Uint8Array.of(1, 2));
 * storage.read("journal-0000001"); // Uint8Array [1, 2]
 * ```
 */
export function memoryStorage(files: Iterable<readonly [name: string, bytes: Uint8Array]> = []): JournalStorage {
  const kept = new Map<string, Buffered>();
  const put = (name: string, bytes: Uint8Array): void => {
    kept.set(name, { bytes: bytes.slice(), length: bytes.length });
  };
  for (const [name, bytes] of files) put(name, bytes);
  return {
    read: (name) => {
      const file = kept.get(name);
      return file?.bytes.slice(0, file.length);
    },
    append: (name, bytes) => {
      const file = kept.get(name);
      if (file === undefined) return put(name, bytes);
      const length = file.length + bytes.length;
      if (length > file.bytes.length) {
        const larger = new Uint8Array(2 * length);
        larger.set(file.bytes.subarray(0, file.length));
        file.bytes = larger;
      }
      file.bytes.set(bytes, file.length);
      file.length = length;
    },
    write: put,
    sync: () => undefined,
    rename: (from, to) => {
      const file = kept.get(from);
      if (file === undefined) {
        throw new FeeringError("wrong-state", `there is no file ${from}`, { argument: "from", value: from });
      }
      kept.delete(from);
      kept.set(to, file);
    },
    remove: (name) => {
      kept.delete(name);
    },
    list: () => [...kept.keys()],
  };
}

/** A file that grows without being copied each time. */
interface Buffered {
  bytes: Uint8Array;
  length: number;
}
