import { requireObject } from "../errors/index.js";
import type { JournalStorage } from "./journal-storage.js";

/** The calls of Node's `fs` that {@link fileStorage} makes: hand in `node:fs` itself. */
export interface NodeFiles {
  /** open a file, giving its descriptor */
  openSync(path: string, flags: string): number;
  /** write a part of a buffer, giving how much was written */
  writeSync(descriptor: number, bytes: Uint8Array, offset: number, length: number): number;
  /** wait until a file is on the disk */
  fsyncSync(descriptor: number): void;
  /** close a descriptor */
  closeSync(descriptor: number): void;
  /** read a whole file */
  readFileSync(path: string): Uint8Array;
  /** rename a file over another */
  renameSync(from: string, to: string): void;
  /** remove a file */
  rmSync(path: string, options: { readonly force: boolean }): void;
  /** names in a directory */
  readdirSync(path: string): string[];
  /** make a directory and those above it */
  mkdirSync(path: string, options: { readonly recursive: boolean }): unknown;
}

/** A {@link JournalStorage} on files, which keeps the file that it last appended to open. */
export interface FileStorage extends JournalStorage {
  /** Let go of the open file; the next append opens it again. */
  close(): void;
}

/**
 * A storage of files in a directory of their own, by Node's synchronous calls.
 *
 * `sync` waits for the file and, where its name is new, for the directory. Where a platform can't sync a
 * directory (Windows), that step is left out. One program at a time: the directory is not locked.
 *
 * @param fs - `node:fs`, or anything with these calls
 * @param directory - path of the directory, made where it is missing; one job each
 * @returns the storage; each of its calls throws what `fs` throws
 * @throws what `fs` throws when the directory can't be made; `FeeringError` `not-finite` where `fs` is none
 * @example
 * ```ts
 * import * as fs from "node:fs";
 * const storage = fileStorage(fs, "jobs/pond-piece");
 * ```
 */
export function fileStorage(fs: NodeFiles, directory: string): FileStorage {
  requireObject(fs, "fs");
  fs.mkdirSync(directory, { recursive: true });
  const path = (name: string): string => `${directory}/${name}`;
  let open: { readonly name: string; readonly descriptor: number } | undefined;
  /** names made since the directory was last synced */
  const fresh = new Set<string>();

  const close = (): void => {
    if (open === undefined) return;
    const { descriptor } = open;
    // whatever comes of it, the descriptor is not used again
    open = undefined;
    fs.closeSync(descriptor);
  };
  const writeAll = (descriptor: number, bytes: Uint8Array): void => {
    // a write may take a part only
    for (let at = 0; at < bytes.length; ) at += fs.writeSync(descriptor, bytes, at, bytes.length - at);
  };
  const through = (name: string, flags: string, use: (descriptor: number) => void): void => {
    const descriptor = fs.openSync(path(name), flags);
    try {
      use(descriptor);
    } finally {
      fs.closeSync(descriptor);
    }
  };
  const syncDirectory = (): void => {
    let descriptor: number;
    try {
      descriptor = fs.openSync(directory, "r");
    } catch {
      return; // no such thing as an open directory here
    }
    try {
      fs.fsyncSync(descriptor);
    } catch (error) {
      // a directory that can't be synced on this platform; a disk that fails is told
      if (codeOf(error) !== "EPERM" && codeOf(error) !== "EINVAL" && codeOf(error) !== "EISDIR") throw error;
    } finally {
      fs.closeSync(descriptor);
    }
    fresh.clear();
  };

  return {
    close,
    read: (name) => {
      try {
        return fs.readFileSync(path(name));
      } catch (error) {
        if (codeOf(error) === "ENOENT") return undefined;
        throw error;
      }
    },
    append: (name, bytes) => {
      if (open?.name !== name) {
        close();
        open = { name, descriptor: fs.openSync(path(name), "a") };
        fresh.add(name);
      }
      writeAll(open.descriptor, bytes);
    },
    write: (name, bytes) => {
      if (open?.name === name) close();
      fresh.add(name);
      through(name, "w", (descriptor) => writeAll(descriptor, bytes));
    },
    sync: (name) => {
      if (open?.name === name) fs.fsyncSync(open.descriptor);
      else through(name, "r+", (descriptor) => fs.fsyncSync(descriptor));
      if (fresh.has(name)) syncDirectory();
    },
    rename: (from, to) => {
      if (open?.name === from || open?.name === to) close();
      fs.renameSync(path(from), path(to));
      fresh.add(to);
    },
    remove: (name) => {
      if (open?.name === name) close();
      fs.rmSync(path(name), { force: true });
    },
    list: () => fs.readdirSync(directory),
  };
}

function codeOf(error: unknown): unknown {
  return (error as { code?: unknown } | null | undefined)?.code;
}
