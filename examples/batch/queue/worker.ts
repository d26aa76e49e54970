// npx tsx examples/batch/queue/worker.ts [--workers N] [--time-limit s] [--memory MB] [--tries N] [--stalled-after s] [--redis url] [--queue name]
// as many of these as you like, on as many machines; SIGTERM or SIGINT ends one after the jobs in hand
import { availableParallelism } from "node:os";
import { parseArgs } from "node:util";
import { Worker } from "bullmq";
import { wholeNumber } from "../arguments.js";
import { codeVersion } from "../code-version.js";
import type { Job } from "../job.js";
import { JobPool } from "../pool.js";
import { resultLine } from "../results-file.js";
import { queueOptions } from "./connection.js";

const { values } = parseArgs({
  options: {
    ...queueOptions,
    workers: { type: "string", default: String(availableParallelism()) },
    "time-limit": { type: "string", default: "300" },
    memory: { type: "string", default: "2048" },
    tries: { type: "string", default: "2" },
    "stalled-after": { type: "string", default: "30" },
  },
});

try {
  const workers = wholeNumber("workers", values.workers, 1);
  const tries = wholeNumber("tries", values.tries, 1);
  const stalledAfter = 1000 * wholeNumber("stalled-after", values["stalled-after"], 1);
  const code = codeVersion();
  // jobs run in threads: this one stays free to tell the queue that they are still in hand
  const pool = new JobPool({
    workers,
    timeLimit: wholeNumber("time-limit", values["time-limit"], 1),
    memory: wholeNumber("memory", values.memory, 16),
    tries,
  });
  const worker = new Worker<Job, string>(
    values.queue,
    async ({ id, data }) => {
      console.log(`took ${id}`);
      const line = resultLine(id!, data, code, await pool.run(data));
      console.log(`did ${id}`);
      return line;
    },
    {
      connection: { url: values.redis, maxRetriesPerRequest: null },
      concurrency: workers,
      // a job whose worker has not been heard of for so long goes to another one; one that takes its worker along each time is given up
      lockDuration: stalledAfter,
      stalledInterval: stalledAfter,
      maxStalledCount: tries,
    },
  );
  worker.on("error", (error) => console.error(error.message));
  const end = (): void => {
    void worker
      .close()
      .then(() => pool.close())
      .then(() => process.exit());
  };
  process.once("SIGINT", end);
  process.once("SIGTERM", end);
} catch (error) {
  console.error((error as Error).message);
  process.exitCode = 2;
}
