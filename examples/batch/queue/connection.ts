import { Queue } from "bullmq";
import type { Job } from "../job.js";

/** Where the queue is: options that enqueue, worker and collect share. */
export const queueOptions: {
  readonly redis: { readonly type: "string"; readonly default: string };
  readonly queue: { readonly type: "string"; readonly default: string };
} = {
  redis: { type: "string", default: process.env["REDIS_URL"] ?? "redis://127.0.0.1:6379" },
  queue: { type: "string", default: "fields" },
};

/** Jobs go in, lines of results come back. */
export type FieldQueue = Queue<Job, string>;

/** Tries to connect, half a second apart, until a Redis is taken to be none. */
const TRIES = 6;

/** A queue to put jobs in and to look at; gives up where there is no Redis. */
export async function openQueue(url: string, name: string): Promise<FieldQueue> {
  const retryStrategy = (times: number): number | null => (times < TRIES ? 500 : null);
  const queue: FieldQueue = new Queue(name, { connection: { url, maxRetriesPerRequest: TRIES, retryStrategy } });
  let reason = "";
  queue.on("error", (error: NodeJS.ErrnoException) => (reason ||= error.message || (error.code ?? "")));
  try {
    await queue.waitUntilReady();
  } catch (error) {
    throw new Error(`no Redis at ${new URL(url).host}: ${reason || (error as Error).message}`);
  }
  return queue;
}
