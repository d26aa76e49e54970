import type { BatchSettings, Job } from "./job.js";
import { fieldSeed, jobKey } from "./key.js";
import { readFields } from "./read-fields.js";

/** What jobs are made of. */
export interface JobSource {
  /** folder or file */
  readonly fields: string;
  readonly settings: readonly BatchSettings[];
  readonly simulate: boolean;
  /** whole number that all chance comes from */
  readonly seed: number;
  /** one of so many equal parts of all jobs, from 0; default all of them */
  readonly slice?: { readonly index: number; readonly of: number };
}

/** A job with its key. */
export interface KeyedJob {
  readonly key: string;
  readonly job: Job;
}

/** All jobs of a source, field by field, each once however often its field is there. */
export async function* jobsOf({ fields, settings, simulate, seed, slice }: JobSource): AsyncGenerator<KeyedJob> {
  let number = 0;
  for await (const field of readFields(fields)) {
    const own = fieldSeed(seed, field.geometry);
    for (const one of settings) {
      if (slice !== undefined && number++ % slice.of !== slice.index) continue;
      const job: Job = { field, settings: one, seed: own, simulate };
      yield { key: jobKey(job), job };
    }
  }
}
