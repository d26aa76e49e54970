import {
  closeSync,
  fstatSync,
  fsyncSync,
  ftruncateSync,
  mkdirSync,
  openSync,
  readSync,
  renameSync,
  writeSync,
} from "node:fs";
import { dirname } from "node:path";
import type { JobFailed, JobResult, Job } from "./job.js";

/** A line of results. */
export type ResultLine = {
  readonly key: string;
  readonly field: string;
  readonly settings: string;
  /** what it was made by, see `codeVersion` */
  readonly code: string;
} & (JobResult | JobFailed);

/** The line of a job. */
export function resultLine(key: string, job: Job, code: string, result: JobResult | JobFailed): string {
  const line: ResultLine = { key, field: job.field.id, settings: job.settings.id, code, ...result };
  return `${JSON.stringify(line)}\n`;
}

/** What is kept of a line. */
export interface KnownLine {
  readonly key: string;
  readonly code: string;
  readonly status: string;
  /** bytes, the end of the line among them */
  readonly start: number;
  readonly length: number;
}

const CHUNK = 1 << 20;
const NEWLINE = 10;

/**
 * A file of lines that is added to, and opened again after a stop of any kind. A half last line is cut off. One process at a time writes
 * to it.
 */
export class ResultsFile {
  /** lines that were there when it was opened, in their order */
  readonly lines: readonly KnownLine[];
  /** bytes of a half last line that were cut off */
  readonly cut: number;
  private file: number;

  constructor(private readonly path: string) {
    mkdirSync(dirname(path), { recursive: true });
    this.file = openSync(path, "a+");
    const { lines, whole } = scan(this.file, path);
    this.lines = lines;
    this.cut = fstatSync(this.file).size - whole;
    if (this.cut > 0) ftruncateSync(this.file, whole);
  }

  /** Add one line, or several. */
  add(text: string): void {
    const bytes = Buffer.from(text);
    for (let at = 0; at < bytes.length; ) at += writeSync(this.file, bytes, at);
  }

  /** Put what was added on the disk. */
  sync(): void {
    fsyncSync(this.file);
  }

  close(): void {
    this.sync();
    closeSync(this.file);
  }

  /**
   * Write the file anew with some of its lines as it stands now, in another order or not: under another name first, so that a stop leaves one or the other.
   *
   * @param choose - lines in their new order
   */
  rewrite(choose: (lines: readonly KnownLine[]) => readonly KnownLine[]): void {
    const { lines } = scan(this.file, this.path);
    const other = `${this.path}.new`;
    const to = openSync(other, "w");
    for (const { start, length } of choose(lines)) {
      const bytes = Buffer.alloc(length);
      readSync(this.file, bytes, 0, length, start);
      for (let at = 0; at < length; ) at += writeSync(to, bytes, at);
    }
    fsyncSync(to);
    closeSync(to);
    closeSync(this.file);
    renameSync(other, this.path);
    this.file = openSync(this.path, "a+");
  }
}

/** Lines sorted by key, as units of text compare; of several with one key the last. */
export function sortedLines(lines: readonly KnownLine[]): KnownLine[] {
  const last = new Map(lines.map((line) => [line.key, line]));
  return [...last.values()].sort((a, b) => (a.key < b.key ? -1 : 1));
}

/** Lines of a file, and up to where they are whole. */
function scan(file: number, path: string): { lines: KnownLine[]; whole: number } {
  const lines: KnownLine[] = [];
  const chunk = Buffer.alloc(CHUNK);
  let rest: Buffer = Buffer.alloc(0);
  let whole = 0;
  for (let at = 0; ; ) {
    const count = readSync(file, chunk, 0, CHUNK, at);
    if (count === 0) break;
    at += count;
    const bytes = Buffer.concat([rest, chunk.subarray(0, count)]);
    let from = 0;
    for (let end = bytes.indexOf(NEWLINE); end >= 0; end = bytes.indexOf(NEWLINE, from)) {
      const length = end + 1 - from;
      lines.push(known(bytes.toString("utf8", from, end), whole, length, `${path}:${lines.length + 1}`));
      whole += length;
      from = end + 1;
    }
    rest = bytes.subarray(from);
  }
  return { lines, whole };
}

function known(text: string, start: number, length: number, place: string): KnownLine {
  try {
    const { key, code, status } = JSON.parse(text) as ResultLine;
    if (typeof key === "string") return { key, code: String(code), status: String(status), start, length };
  } catch {
    // told below
  }
  throw new Error(`${place} is no line of results: is it the right file?`);
}
