import { codeVersion } from "./code-version.js";
import { jobsOf, type JobSource } from "./jobs.js";
import { JobPool, type PoolOptions } from "./pool.js";
import { Progress, type ProgressOutput } from "./progress.js";
import { type KnownLine, resultLine, ResultsFile, sortedLines } from "./results-file.js";

/** A batch on one machine. */
export interface BatchOptions extends JobSource, PoolOptions {
  /** file of results, one a line; what is there already is not done again */
  readonly out: string;
  /** what becomes of lines by other code, settings or fields: the batch does not begin, they are left there, or taken out. Default `stop` */
  readonly other?: "stop" | "keep" | "drop";
  /** whether jobs marked as failed are tried again; default false */
  readonly retryFailed?: boolean;
  /** whether the file is sorted by key at the end; default false */
  readonly sort?: boolean;
  /** where progress and notes go */
  readonly output: ProgressOutput;
  /** ends the batch after the jobs that are being run */
  readonly signal?: AbortSignal;
}

/** What a batch came to, jobs. */
export interface BatchSummary {
  readonly total: number;
  /** there before */
  readonly skipped: number;
  readonly done: number;
  readonly error: number;
  readonly failed: number;
  /** not done, as it was stopped */
  readonly left: number;
}

/** The file holds results of something else, and nobody said what to do with them. */
export class OtherResults extends Error {}

/** Seconds between two writes to the disk: so much a loss of power may take. */
const SYNC = 5;

/**
 * Run all jobs that a file of results does not hold yet. Fields are read as they are needed, as many at a time as there are workers; kept are the
 * keys of all jobs, some 100 bytes each. Fields are read twice: keys first, so that it is known what is left.
 *
 * @param pool - what runs jobs, closed at the end
 */
export async function runBatch(
  options: BatchOptions,
  pool: Pick<JobPool, "workers" | "run" | "close"> = new JobPool(options),
): Promise<BatchSummary> {
  const { out, other = "stop", output, signal } = options;
  const code = codeVersion();
  let file: ResultsFile | null = null;
  try {
    file = new ResultsFile(out);
    if (file.cut > 0)
      output.write(`${out}: a half last line of ${file.cut} bytes was cut off, its job is done again\n`);
    const keys = new Set<string>();
    for await (const { key } of jobsOf(options)) keys.add(key);
    const total = keys.size;
    const { kept, told } = sortOut(file.lines, keys, code, options);
    if (told.length > 0 && other === "stop") {
      throw new OtherResults(
        `${out} holds ${told.join(", ")}. Say --other keep to leave them there, --other drop to take them out`,
      );
    }
    if (told.length > 0) output.write(`${out}: ${told.join(", ")}, ${other === "keep" ? "left there" : "taken out"}\n`);
    if (kept.length < file.lines.length) file.rewrite(() => kept);
    for (const { key } of kept) keys.delete(key);
    const skipped = total - keys.size;
    const now = (): number => performance.now() / 1000;
    const progress = new Progress(total, skipped, output, now);
    const counts = { done: 0, error: 0, failed: 0 };
    let synced = now();
    const jobs = jobsOf(options);
    let broken = false;
    const work = async (): Promise<void> => {
      while (signal?.aborted !== true && !broken) {
        const next = await jobs.next();
        if (next.done === true) return;
        const { key, job } = next.value;
        if (!keys.delete(key)) continue;
        const result = await pool.run(job);
        file!.add(resultLine(key, job, code, result));
        counts[result.status]++;
        progress.add(result.status);
        if (now() - synced < SYNC) continue;
        file!.sync();
        synced = now();
      }
    };
    const guarded = (): Promise<void> =>
      work().catch((error: unknown) => {
        broken = true;
        throw error;
      });
    // a disk that is full ends the batch, after the jobs in hand
    const ends = await Promise.allSettled(Array.from({ length: pool.workers }, guarded));
    await jobs.return(undefined);
    progress.end();
    for (const end of ends) if (end.status === "rejected") throw end.reason;
    if (options.sort === true) file.rewrite(sortedLines);
    return { total, skipped, ...counts, left: total - skipped - counts.done - counts.error - counts.failed };
  } finally {
    await pool.close();
    file?.close();
  }
}

/** Lines to keep, and what is to be told of others. */
function sortOut(
  lines: readonly KnownLine[],
  keys: ReadonlySet<string>,
  code: string,
  { other = "stop", retryFailed = false }: BatchOptions,
): { kept: readonly KnownLine[]; told: string[] } {
  const pairs = new Set([...keys].map(pairOf));
  const kept: KnownLine[] = [];
  const codes = new Map<string, number>();
  let changed = 0;
  let foreign = 0;
  for (const line of lines) {
    const known = keys.has(line.key);
    if (known && retryFailed && line.status === "failed") continue;
    if (!known && pairs.has(pairOf(line.key))) changed++;
    else if (!known) foreign++;
    else if (line.code !== code) codes.set(line.code, (codes.get(line.code) ?? 0) + 1);
    if ((known && line.code === code) || other !== "drop") kept.push(line);
  }
  const results = (count: number): string => `${count} ${count === 1 ? "result" : "results"}`;
  const told = [...codes].map(([by, count]) => `${results(count)} by other code (${by}, now ${code})`);
  if (changed > 0) told.push(`${results(changed)} of settings, seed or boundaries that have changed since`);
  if (foreign > 0) told.push(`${results(foreign)} of fields or settings that are not asked for`);
  return { kept, told };
}

/** A key without its hash. */
function pairOf(key: string): string {
  return key.slice(0, key.lastIndexOf("/"));
}
