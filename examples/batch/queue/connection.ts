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

/** A queue to put jobs in and to look at; gives up where there is no Redis. */
export function openQueue(url: string, name: string): FieldQueue {
  const queue: FieldQueue = new Queue(name, { connection: { url, maxRetriesPerRequest: 3 } });
  // what fails is told by the call that waits for it
  queue.on("error", () => {});
  return queue;
}
