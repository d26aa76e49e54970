import { Tinypool } from "tinypool";
import type { Job, JobFailed, JobResult } from "./job.js";
import type { ThreadTask } from "./thread.js";

/** How jobs are run. */
export interface PoolOptions {
  /** threads */
  readonly workers: number;
  /** seconds that one try of a job may take, about one of them for the start of a thread; default 300 */
  readonly timeLimit?: number;
  /** MB of heap that a thread may have; default 2048 */
  readonly memory?: number;
  /** how often a job is tried that brings its thread down; default 2 */
  readonly tries?: number;
  /** module whose default export runs a job in a thread; default the real one */
  readonly module?: URL;
}

/**
 * Threads that run jobs, and outlive what jobs do to them: a thread that ends, runs out of memory or out of time is replaced, its job tried
 * again, and marked as failed at last. Other jobs do not notice. `Result` is what the module gives.
 */
export class JobPool<Result extends object = JobResult> {
  /** how many jobs to give it at a time */
  readonly workers: number;
  private readonly pool: Tinypool;
  private readonly timeLimit: number;
  private readonly tries: number;
  /** number of the thread that has a place's job; 0: none yet */
  private readonly taken: Int32Array;
  private readonly free: number[];
  private readonly stops = new Map<number, (reason: string) => void>();
  private readonly watched = new WeakSet<object>();

  constructor({ workers, timeLimit = 300, memory = 2048, tries = 2, module }: PoolOptions) {
    this.workers = workers;
    this.timeLimit = timeLimit;
    this.tries = tries;
    this.taken = new Int32Array(new SharedArrayBuffer(4 * workers));
    this.free = Array.from({ length: workers }, (_, i) => i);
    this.pool = new Tinypool({
      filename: new URL("./thread-start.mjs", import.meta.url).href,
      workerData: { module: (module ?? new URL("./thread.ts", import.meta.url)).href },
      minThreads: workers,
      maxThreads: workers,
      // the thread brings its own loader, whatever the main thread was started by
      execArgv: [],
      resourceLimits: { maxOldGenerationSizeMb: memory },
    });
    // of a thread that falls over between jobs: the next job gets another
    this.pool.on("error", () => {});
  }

  /** Run a job; give no more than `workers` at a time. Never throws for what a job does. */
  async run(job: Job): Promise<Result | JobFailed> {
    let reason = "";
    for (let attempt = 0; attempt < this.tries; attempt++) {
      const place = this.free.pop();
      if (place === undefined) throw new Error(`more than ${this.workers} jobs at a time`);
      try {
        return await this.attempt(job, place);
      } catch (error) {
        reason = (error as Error).message;
      } finally {
        this.stops.delete(place);
        this.free.push(place);
      }
    }
    return { status: "failed", reason, tries: this.tries };
  }

  async close(): Promise<void> {
    await this.pool.destroy();
  }

  private async attempt(job: Job, place: number): Promise<Result> {
    const control = new AbortController();
    let stopped: string | null = null;
    const stop = (reason: string): void => {
      stopped ??= reason;
      control.abort();
    };
    Atomics.store(this.taken, place, 0);
    this.stops.set(place, stop);
    const timer = setTimeout(() => stop(`took longer than ${this.timeLimit} s`), 1000 * this.timeLimit);
    try {
      const task: ThreadTask = { job, taken: this.taken, place };
      const result = this.pool.run(task, { signal: control.signal });
      this.watch();
      return (await result) as Result;
    } catch (error) {
      throw new Error(stopped ?? reasonOf(error));
    } finally {
      clearTimeout(timer);
    }
  }

  /** The pool does not notice a thread that ends by itself (process.exit): its job would never come back. */
  private watch(): void {
    for (const thread of this.pool.threads) {
      if (this.watched.has(thread)) continue;
      this.watched.add(thread);
      const { threadId } = thread;
      const exited = (code: number): void => {
        for (const [place, stop] of this.stops) {
          if (Atomics.load(this.taken, place) === threadId) stop(`ended its thread with code ${code}`);
        }
      };
      // an error, of which the pool does tell, is told before
      thread.once("exit", (code: number) => setImmediate(exited, code));
    }
  }
}

function reasonOf(error: unknown): string {
  if ((error as { code?: string }).code === "ERR_WORKER_OUT_OF_MEMORY") return "ran out of memory";
  return error instanceof Error ? error.message : String(error);
}
