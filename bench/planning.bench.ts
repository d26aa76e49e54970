// Parcels planned a minute on two worker threads, with the batch's pool: planning alone, and the whole job of examples/batch with its check.
import type { Job } from "../examples/batch/job.js";
import { JobPool } from "../examples/batch/pool.js";
import type { PlanOptions } from "../src/planning/index.js";
import { geometryOf, realParcels } from "./planning-parcels.js";

const WORKERS = 2;
const MACHINES: readonly (readonly [string, PlanOptions])[] = [
  ["24 m", { swathWidth: 24, minimumRadius: 9, rounds: 2 }],
  ["12 m", { swathWidth: 12, minimumRadius: 7, rounds: 2 }],
];

const parcels = realParcels();
if (parcels.length === 0) console.log("skipped: recorded parcels are not here (set FEERING_DATA to their folder)");
else {
  console.log(`\n${parcels.length} real parcels on ${WORKERS} worker threads`);
  for (const [name, plan] of MACHINES) {
    const settings = { id: name, plan };
    const planned = parcels.map((parcel): Job => jobOf(parcel.name, parcel.field, settings));
    const whole = parcels.map((parcel): Job => jobOf(parcel.name, geometryOf(parcel), settings));
    const alone = await minutes(planned, new URL("./planning-thread.ts", import.meta.url));
    const checked = await minutes(whole);
    const rate = (minutesTaken: number): string => (parcels.length / minutesTaken).toFixed(0).padStart(5);
    console.log(`  ${name}: ${rate(alone)} planned a minute, ${rate(checked)} with reading, frame and check`);
  }
}

function jobOf(id: string, geometry: unknown, settings: Job["settings"]): Job {
  return { field: { id, geometry }, settings, seed: 1, simulate: false };
}

/** Minutes that jobs take; threads are there and warm. */
async function minutes(jobs: readonly Job[], module?: URL): Promise<number> {
  const pool = new JobPool<object>({ workers: WORKERS, ...(module === undefined ? {} : { module }) });
  const each = async (list: readonly Job[]): Promise<void> => {
    let next = 0;
    const work = async (): Promise<void> => {
      while (next < list.length) {
        const result = await pool.run(list[next++]!);
        if ("reason" in result) throw new Error(result.reason);
      }
    };
    await Promise.all(Array.from({ length: WORKERS }, work));
  };
  await each(jobs.slice(0, 20));
  const start = performance.now();
  await each(jobs);
  const taken = (performance.now() - start) / 60_000;
  await pool.close();
  return taken;
}
