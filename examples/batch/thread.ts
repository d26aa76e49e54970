// what a worker thread of the pool runs: one job at a time
import { threadId } from "node:worker_threads";
import { type Job, type JobResult } from "./job.js";
import { runJob } from "./run-job.js";

/** A job on its way to a thread. */
export interface ThreadTask {
  readonly job: Job;
  /** shared with the pool: which thread has taken which place */
  readonly taken: Int32Array;
  readonly place: number;
}

/** Say who has taken the job, so that the pool knows which one ends with this thread; then run it. */
export function inThread<Result>(task: ThreadTask, run: (job: Job) => Result): Result {
  Atomics.store(task.taken, task.place, threadId);
  return run(task.job);
}

export default (task: ThreadTask): JobResult => inThread(task, runJob);
