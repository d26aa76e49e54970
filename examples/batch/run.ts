// npx tsx examples/batch/run.ts --fields <folder or file> --settings <file> --out <file.jsonl>
// [--workers N] [--simulate] [--seed N] [--slice i/n] [--sort] [--other keep|drop] [--retry-failed] [--time-limit s] [--memory MB] [--tries N]
import { availableParallelism } from "node:os";
import { parseArgs } from "node:util";
import { OtherResults, runBatch } from "./batch.js";
import { readSettings } from "./read-settings.js";
import { parseSlice, wholeNumber } from "./arguments.js";

const { values } = parseArgs({
  options: {
    fields: { type: "string" },
    settings: { type: "string" },
    out: { type: "string" },
    workers: { type: "string" },
    simulate: { type: "boolean", default: false },
    seed: { type: "string", default: "1" },
    slice: { type: "string" },
    sort: { type: "boolean", default: false },
    other: { type: "string", default: "stop" },
    "retry-failed": { type: "boolean", default: false },
    "time-limit": { type: "string", default: "300" },
    memory: { type: "string", default: "2048" },
    tries: { type: "string", default: "2" },
  },
});
const { fields, settings, out, other } = values;
const control = new AbortController();

// the first time jobs in hand are brought to an end; the second time the process ends as it would have
const stop = (): void => {
  process.stderr.write("\nstopping after the jobs in hand; once more stops at once, and they are done again\n");
  control.abort();
};
process.once("SIGINT", stop);
process.once("SIGTERM", stop);

try {
  if (fields === undefined || settings === undefined || out === undefined) {
    throw new Error("needs --fields <folder or file> --settings <file> --out <file.jsonl>");
  }
  if (other !== "stop" && other !== "keep" && other !== "drop") throw new Error("--other is keep or drop");
  const slice = parseSlice(values.slice);
  const summary = await runBatch({
    fields,
    settings: readSettings(settings),
    out,
    simulate: values.simulate,
    seed: wholeNumber("seed", values.seed),
    workers: wholeNumber("workers", values.workers ?? String(availableParallelism()), 1),
    timeLimit: wholeNumber("time-limit", values["time-limit"], 1),
    memory: wholeNumber("memory", values.memory, 16),
    tries: wholeNumber("tries", values.tries, 1),
    other,
    retryFailed: values["retry-failed"],
    sort: values.sort,
    output: process.stderr,
    signal: control.signal,
    ...(slice === undefined ? {} : { slice }),
  });
  const { total, skipped, done, error, failed, left } = summary;
  console.log(
    `${total} jobs: ${skipped} there before, ${done} done, ${error} with errors, ${failed} failed, ${left} left; ${out}`,
  );
  if (left > 0) process.exitCode = 130;
  else if (failed > 0) process.exitCode = 1;
} catch (error) {
  console.error((error as Error).message);
  process.exitCode = error instanceof OtherResults ? 3 : 2;
}
