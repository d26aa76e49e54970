// npx tsx examples/batch/queue/collect.ts --out <file.jsonl> [--wait] [--remove] [--sort] [--redis url] [--queue name]
import { parseArgs } from "node:util";
import { codeVersion } from "../code-version.js";
import { resultLine, ResultsFile, sortedLines } from "../results-file.js";
import { type FieldQueue, openQueue, queueOptions } from "./connection.js";

/** Jobs looked at a time. */
const PAGE = 100;
/** Milliseconds between two looks with --wait. */
const PAUSE = 500;

const { values } = parseArgs({
  options: {
    ...queueOptions,
    out: { type: "string" },
    wait: { type: "boolean", default: false },
    remove: { type: "boolean", default: false },
    sort: { type: "boolean", default: false },
  },
});

try {
  const { out, wait, remove, sort } = values;
  if (out === undefined) throw new Error("needs --out <file.jsonl>");
  const code = codeVersion();
  const queue = await openQueue(values.redis, values.queue);
  const file = new ResultsFile(out);
  try {
    const known = new Set(file.lines.map(({ key }) => key));
    const before = known.size;
    let left: number;
    for (;;) {
      // counted first: what ends in between is found by the look after
      left = await queue.getJobCountByTypes("waiting", "active", "delayed", "prioritized");
      await look(queue, file, known, code, remove);
      if (left === 0 || !wait) break;
      await new Promise((resolve) => setTimeout(resolve, PAUSE));
    }
    if (sort) file.rewrite(sortedLines);
    console.log(`${known.size - before} results collected, ${before} there before, ${left} jobs left; ${out}`);
  } finally {
    file.close();
    await queue.close();
  }
} catch (error) {
  console.error((error as Error).message);
  process.exitCode = 2;
}

/** Add what is done and not known yet. Jobs are removed only once their lines are on the disk. */
async function look(
  queue: FieldQueue,
  file: ResultsFile,
  known: Set<string>,
  code: string,
  remove: boolean,
): Promise<void> {
  for (const type of ["completed", "failed"] as const) {
    for (let at = 0; ; at += remove ? 0 : PAGE) {
      // the oldest first: what is done meanwhile comes after
      const jobs = await queue.getJobs(type, at, at + PAGE - 1, true);
      for (const job of jobs) {
        if (known.has(job.id!)) continue;
        known.add(job.id!);
        if (type === "completed") file.add(job.returnvalue);
        else {
          const { failedReason: reason, attemptsStarted: tries } = job;
          file.add(resultLine(job.id!, job.data, code, { status: "failed", reason, tries }));
        }
      }
      file.sync();
      if (remove) for (const job of jobs) await job.remove();
      if (jobs.length < PAGE) break;
    }
  }
}
