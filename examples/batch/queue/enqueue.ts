// npx tsx examples/batch/queue/enqueue.ts --fields <folder or file> --settings <file> [--simulate] [--seed N] [--slice i/n] [--redis url] [--queue name]
import { parseArgs } from "node:util";
import { parseSlice, wholeNumber } from "../arguments.js";
import { jobsOf, type KeyedJob } from "../jobs.js";
import { readSettings } from "../read-settings.js";
import { openQueue, queueOptions } from "./connection.js";

/** Jobs sent at a time. */
const CHUNK = 100;

const { values } = parseArgs({
  options: {
    ...queueOptions,
    fields: { type: "string" },
    settings: { type: "string" },
    simulate: { type: "boolean", default: false },
    seed: { type: "string", default: "1" },
    slice: { type: "string" },
  },
});

try {
  const { fields, settings, simulate, redis, queue: name } = values;
  if (fields === undefined || settings === undefined) {
    throw new Error("needs --fields <folder or file> --settings <file>");
  }
  const slice = parseSlice(values.slice);
  const seed = wholeNumber("seed", values.seed);
  const source = {
    fields,
    settings: readSettings(settings),
    simulate,
    seed,
    ...(slice === undefined ? {} : { slice }),
  };
  const queue = await openQueue(redis, name);
  try {
    let count = 0;
    let chunk: KeyedJob[] = [];
    const send = async (): Promise<void> => {
      // the key is the queue's id: a job that is there already stays as it is. Nothing is removed before it was collected
      await queue.addBulk(
        chunk.map(({ key, job }) => ({
          name: "field",
          data: job,
          opts: { jobId: key, attempts: 3, removeOnComplete: false, removeOnFail: false },
        })),
      );
      count += chunk.length;
      chunk = [];
    };
    for await (const one of jobsOf(source)) {
      chunk.push(one);
      if (chunk.length >= CHUNK) await send();
    }
    if (chunk.length > 0) await send();
    console.log(`${count} jobs in queue ${name}`);
  } finally {
    await queue.close();
  }
} catch (error) {
  console.error((error as Error).message);
  process.exitCode = 2;
}
